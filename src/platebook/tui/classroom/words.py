"""What the Class screen says of the row marked, and a look under way."""

import re
from typing import TYPE_CHECKING, Literal

from textual.content import Content

from platebook.practice.defects import GOOD, comments_on, looks_of, verdicts
from platebook.practice.results import RESULT_KEYS, SEVERITIES, verdict
from platebook.reports.text.class_text import (
    grade_and_state,
    lately_words,
    practice_line,
    used_lines,
)
from platebook.reports.text.figures import GRADES, place_in_queue
from platebook.services.plates import PlateCell, PlateView
from platebook.trade.phrases import count_of
from platebook.tui.classroom.class_list import DRAWN, DRAWN_WORDS
from platebook.tui.classroom.heads import BLIND
from platebook.tui.parts.signs import legend_of
from platebook.tui.parts.text import keycap, line, stack, txt
from platebook.values import Value, replace

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from platebook.advice.class_standing import QueueRow, SetterLine
    from platebook.practice.results import Outcome
    from platebook.services.classes.plate_looks import PlateToJudge, PositionToJudge


WEIGH = "How bad? 1 slight, 2 clear, 3 lost: set again. Esc takes it back."
COMMENT = "A comment? A digit picks one, w writes one, Enter goes without."
WRITING = "Enter keeps it with your words, Esc takes it back."


class WantedPlate(Value):
    """A plate to judge: a setter's newest one, or the one named, at a position of it."""

    setter_id: str
    plate: str = ""
    position: str = ""


def plates_of(rows: "Sequence[QueueRow | SetterLine]") -> list[WantedPlate]:
    """The plate that each row of the queue lies on, or the newest one of each setter."""
    return [
        WantedPlate(row.setter_id, getattr(row, "plate", ""), getattr(row, "position", ""))
        for row in rows
    ]


class Looking(Value):
    """What was keyed of a look so far; nothing at first."""

    result: str = ""
    severity: str = ""

    @property
    def waits_for(self) -> Literal["result", "severity", "comment"]:
        """What the next key says."""
        if not self.result:
            return "result"
        return "comment" if self.severity or self.result == GOOD else "severity"

    @property
    def comments(self) -> tuple[str, ...]:
        """The stock comments that digits pick now; none before the result is weighed."""
        return comments_on((self.result,)) if self.waits_for == "comment" else ()

    def after(self, key: str) -> "Looking":
        """The look with one more key; the same where the key says nothing here."""
        if self.waits_for == "result" and key in RESULT_KEYS:
            return replace(self, result=RESULT_KEYS[key])
        if self.waits_for == "severity" and key.isdecimal() and int(key) in SEVERITIES:
            return replace(self, severity=key)
        return self

    def prompt(self, *, writing: bool = False) -> str:
        """What to do next, in one or two sentences; `writing` while words are typed."""
        if self.waits_for == "result":
            return f"Look first, then {keys_in_words()}"
        if self.waits_for == "severity":
            return f"{line(self.result)}: {WEIGH}"
        said = verdict((self.result,), (int(self.severity),) if self.severity else ())
        return f"{line(said)}: {WRITING if writing else COMMENT}"


def severity_lines(looking: Looking) -> list[Content]:
    """What slight, clear and lost look like of the defect keyed; nothing where no weight waits."""
    if looking.waits_for != "severity":
        return []
    looks = looks_of(looking.result)
    return [
        _answer(str(size), f"{word}: {looks[str(size)]}" if str(size) in looks else word)
        for size, word in SEVERITIES.items()
    ]


def _answer(key: str, words: str) -> Content:
    return Content.assemble(keycap(key), f" {line(words)}")


TO_JUDGE, TO_BE_JUDGED = "?", "to judge"
"""In the hole of a position that was set and that nobody here has judged; how it reads."""


def blind_plate(
    plate: "PlateToJudge",
    verdict_of: "Callable[[PositionToJudge], tuple[str, ...]]",
    marked: str | None = None,
) -> PlateView:
    """The plate as it lies on the bench, each hole filled by this teacher's own verdict alone."""

    def cell_of(cell: "PositionToJudge") -> PlateCell:
        if not cell.attempt_id:
            return PlateCell(cell.position, "", "")
        result = verdict_of(cell)
        known = verdicts().get(result[0]) if result else None
        sign = known.sign if known is not None else TO_JUDGE
        outcome = cell.given.outcome if cell.given is not None else ""
        return PlateCell(cell.position, sign, " + ".join(result), cell.attempt_id, outcome)

    cells = tuple(map(cell_of, plate.positions))
    return PlateView(plate.plate, cells, marked, plate.across)


def plate_note(plate: "PlateToJudge") -> str:
    """How many of the positions set nobody here has judged; how the sign in their hole reads."""
    set_there = [cell for cell in plate.positions if cell.attempt_id]
    waiting = sum(cell.given is None for cell in set_there)
    if not waiting:
        return f"All {len(set_there)} judged by you."
    return f"{TO_JUDGE} not judged by you: {waiting} of {len(set_there)}. i judges them."


def position_part(cell: "PositionToJudge") -> list[Content]:
    """The position marked: its exercise and grade."""
    lines = [txt(f"position {cell.position}", "bold $accent")]
    lines += [txt(words) for words in (cell.exercise, cell.grade) if words]
    return [*lines, txt("")]


def drawn_lines(plate: "PlateToJudge") -> list[Content]:
    """What the sign behind a position means, where one has it."""
    if not any(cell.drawn for cell in plate.positions):
        return []
    return [txt(""), txt(f"{DRAWN} {DRAWN_WORDS}", "$muted")]


def comment_lines(position: str, result: tuple[str, ...]) -> list[Content]:
    """The stock comments on a verdict, by the digits that pick them."""
    picks = (_answer(str(key), comment) for key, comment in enumerate(comments_on(result), 1))
    head = txt(f"A comment on position {position}:", "bold")
    return [head, *picks, txt("w writes one in words", "$muted")]


def said_lines(plate: "PlateToJudge") -> list[Content]:
    """What was said of each position judged, beside its setter's own verdict, and comments.

    Under a heading, so that no position is read as a key that answers.
    """
    lines: list[Content] = []
    for cell in plate.positions:
        if cell.given is not None:
            own = verdict(cell.given.own_result, cell.given.own_severity)
            yours = verdict(cell.given.result, cell.given.severity)
            lines += [] if lines else [txt(""), txt("Judged so far:", "bold")]
            lines.append(txt(f"{cell.position}: yours {yours}; their own {own}"))
            told = Content.styled(f"   {line(cell.given.comment)}", "$muted")
            lines += [told] if cell.given.comment else []
    return lines


def key_lines(keys: "Mapping[str, str]", columns: int) -> list[Content]:
    """The keys of a look with what each says, in so many columns, read downwards."""
    width = max(map(len, keys.values())) + 3
    cells = [
        Content.assemble(_answer(key, result), " " * (width - len(result)))
        for key, result in keys.items()
    ]
    rows = -(-len(cells) // columns)
    return [Content("").join(cells[n::rows]).rstrip() for n in range(rows)]


def key_of(result: str) -> str:
    """The key that says this result; empty for none."""
    return next((key for key, said in RESULT_KEYS.items() if said == result), "")


def keys_in_words() -> str:
    """The digits with what they say, then the letters: "a digit: 0 good, 1 loose, 2 high"."""
    words = [f"{key} {result}" for key, result in RESULT_KEYS.items()]
    letters = any(not key.isdecimal() for key in RESULT_KEYS)
    return f"a {'digit or letter' if letters else 'digit'}: {', '.join(words)}"


_KEYED = re.compile(
    "|".join(
        rf"(?<!\S){re.escape(key)} (?={re.escape(words)}\b)"
        for key, words in (*RESULT_KEYS.items(), *((str(n), w) for n, w in SEVERITIES.items()))
    )
)


def with_keys(sentence: str) -> Content:
    """The sentence, each key with what it says drawn as a key."""
    told, start = line(sentence), 0
    parts: list[Content] = []
    for key in _KEYED.finditer(told):
        parts += [Content(told[start : key.start()]), keycap(key.group().strip()), Content(" ")]
        start = key.end()
    return Content("").join([*parts, Content(told[start:])])


def legend(setter: "SetterLine", outcomes: "Iterable[Outcome]", width: int) -> Content:
    """What the signs of these outcomes mean, and those of the setter's grades.

    In lines of at most this width, no sign torn from its words.
    """
    states = {grade.state for grade in setter.grades} if setter.attempts else set()
    grades = (f"{sign.drawn} {sign.words}" for state, sign in GRADES.items() if state in states)
    lines = [""]
    for part in (*legend_of(outcomes), *grades):
        longer = f"{lines[-1]}  {part}" if lines[-1] else part
        if len(longer) > width:
            lines.append(part)
        else:
            lines[-1] = longer
    return stack(*map(txt, lines))


def standing_part(setter: "SetterLine", *, brief: bool = False) -> Content:
    """The setter marked, in a few full lines: what the line in the list does not say.

    The grades by the signs of the stair, easiest first; the sign-off that waits; lately, main
    defect and eye; practice, and what it used where that is not left out to be `brief`.
    """
    stair = "".join(GRADES[grade.state].drawn for grade in setter.grades)
    where = grade_and_state(setter) or "no grade yet"
    name = (line(setter.name), "bold $accent")
    if not setter.attempts:
        return stack(Content.assemble(name), txt("Nothing logged yet."))
    parts = [Content.assemble(name, f"  {stair}  {line(where)}" if stair else f"  {line(where)}")]
    if setter.sign_off:
        parts.append(txt(f"{setter.sign_off_title} has its points: s signs it off", "bold"))
    parts.append(txt("; ".join((*lately_words(setter), f"eye: {setter.eye}"))))
    done = [count_of(setter.attempts, "attempt")]
    if setter.practice is not None and setter.practice.a_week is not None:
        done.append(practice_line(setter.practice))
        done += () if brief else used_lines(setter.practice)
    return stack(*parts, txt("; ".join(done), "$muted"))


def due_part(row: "QueueRow", looking: Looking, *, whole: bool = True) -> Content:
    """The position marked; the comments to pick from where one is asked for.

    And why, each reason in its own lines, where the list has only a word or two (not `whole`).
    """
    reasons = [] if whole else [txt(reason.sentence) for reason in row.reasons]
    where = place_in_queue(row)
    drawn = [] if row.reasons else [txt(DRAWN_WORDS.capitalize(), "$muted")]
    if weights := severity_lines(looking):
        return stack(txt(row.setter, "bold $accent"), txt(where, "bold"), *weights)
    if looking.comments:
        picks = (_answer(str(key), comment) for key, comment in enumerate(looking.comments, 1))
        return stack(txt(row.setter, "bold $accent"), txt(where, "bold"), *picks)
    return stack(
        txt(row.setter, "bold $accent"),
        txt(where, "bold"),
        txt(row.grade_title or row.grade),
        *reasons,
        *([txt("s signs it off", "bold")] if row.sign_off else []),
        *drawn,
        txt(BLIND, "$muted"),
    )
