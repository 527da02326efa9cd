"""The answers that digits give at a stop: which there are, which is marked, which are drawn.

The arrows mark one, to look at its drawing; Enter takes the one marked, as its digit would.
"""

from platebook.practice.defects import GOOD, looks_of
from platebook.practice.reading.questions import Question
from platebook.practice.results import SEVERITIES
from platebook.tui.entry.entry import ANOTHER, RESULT, SEVERITY, Entry
from platebook.tui.parts.term_picture import DrawnWord
from platebook.values import replace


def focus_of(entry: Entry) -> Question | None:
    """The question of the stop; the look has its digits too, a list and the finish have none."""
    if entry.stop in {RESULT, ANOTHER}:
        return Question(RESULT, RESULT, tuple(entry.result_keys().items()), wanted=(GOOD,))
    if (defect := entry.severity_of()) is not None:
        looks = looks_of(defect)
        keys = tuple((str(n), f"{w}: {looks.get(str(n), '')}") for n, w in SEVERITIES.items())
        return Question(SEVERITY, f"how bad is {defect}?", keys, target="none")
    return entry.question()


def look(entry: Entry, by: int) -> Entry:
    """The entry with the answer marked that lies this many rows on; past the last none is."""
    focus = focus_of(entry)
    if focus is None or not focus.keys:
        return entry
    ring = ("", *(key for key, _ in focus.keys))
    place = ring.index(entry.marked) if entry.marked in ring else 0
    return replace(entry, marked=ring[(place + by) % len(ring)])


def drawn_answers(entry: Entry) -> tuple[DrawnWord, ...]:
    """The answers of the stop that have a drawing; a part is judged by its criterion: it has none.

    At the question how bad a defect is, the defect is what is drawn.
    """
    if entry.part and entry.stop in {RESULT, ANOTHER}:
        return ()
    if (defect := entry.severity_of()) is not None:
        return DrawnWord.those_drawn(RESULT, (("", defect),))
    focus = focus_of(entry)
    return DrawnWord.those_drawn(focus.field, focus.keys) if focus is not None else ()


def looked_at(entry: Entry) -> DrawnWord | None:
    """The answer whose drawing is shown large: the one marked, or the one given, or one wanted."""
    drawn, focus = drawn_answers(entry), focus_of(entry)
    if focus is None or entry.severity_of() is not None:
        return drawn[0] if drawn else None
    stands = entry.results() if entry.stop in {RESULT, ANOTHER} else (entry.value(entry.stop),)
    wanted = () if any(stands) else focus.wanted
    by_key = (word for word in drawn if word.key == entry.marked)
    likely = (word for value in (*stands, *wanted) for word in drawn if word.value == value)
    return next(by_key, None) if entry.marked else next(likely, None)
