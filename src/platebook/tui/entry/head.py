"""The headline of an attempt and of a plate: what is asked now, and the reading beside it.

A digit answers and the next question follows at once, so until that one has an answer the one just
noted is shown, to be checked at a glance. A size stands in large digits; a choice in its own words,
for the digit that chose it is no number of anything.
"""

from textual.content import Content

from platebook.practice.reading.questions import Question, how_read
from platebook.practice.results import SEVERITIES
from platebook.tui.entry.doubts import DOUBT
from platebook.tui.entry.entry import FINISH, RESULT, SEVERITY, Entry, result_text
from platebook.tui.entry.words import TITLES
from platebook.tui.parts.headline import Head
from platebook.tui.parts.signs import VERDICT_SIGNS
from platebook.tui.parts.text import line, stack, txt
from platebook.values import Value

VERDICTS = {
    "inside": Content.styled(f"{VERDICT_SIGNS['inside']} as wanted", "bold $text-success"),
    "outside": Content.styled(f"{VERDICT_SIGNS['outside']} not as wanted", "bold $text-warning"),
}
NOTHING = "—"
LONGEST_LARGE = 8
BETWEEN = " · "
NO_WORDS = Content("")


class Reading(Value):
    """A reading as it is shown: a size in large digits, and the lines beside it."""

    number: str = ""
    beside: Content = NO_WORDS


def attempt_head(entry: Entry, *, narrow: bool = False) -> Head:
    """What is asked, what it means, and where one is; in a narrow window what is noted so far.

    There is no room for a rail there, so the last line tells it in short.
    """
    question, noted = entry.question(), just_noted(entry)
    answer = entry.typed if entry.typed is not None else entry.value(entry.stop)
    reading = Reading()
    if question is not None or (entry.stop == RESULT and noted is not None):
        reading = large(question, answer if question is not None else "", noted)
    sized = question is not None and not question.keys
    if narrow and not sized:
        reading = Reading()
    far = [txt(meaning(entry))] if meaning(entry) else []
    far.append(txt(entry.where, "$muted"))
    mind = so_far(entry) if narrow else NO_WORDS
    return Head(txt(asked(entry)), stack(*far), mind, reading.number, reading.beside)


def asked(entry: Entry) -> str:
    """What is asked at this stop, in a few words."""
    doubt = entry.doubt() if entry.stop == DOUBT else None
    if doubt is not None:
        return doubt.question
    defect = entry.severity_of()
    if defect is not None:
        return f"How bad is {defect}?"
    question = entry.question()
    if question is not None:
        return question.label
    if entry.stop == FINISH:
        return result_text(entry)
    return TITLES.get(entry.stop, entry.stop)


def meaning(entry: Entry) -> str:
    """What the field asked means or how it is read; when a part is good; else nothing."""
    question = entry.question()
    if question is not None and entry.severity_of() is None:
        # A meaning that lists the values would say what the page below it says again.
        told = "" if question.keys and " / " in question.meaning else question.meaning
        return told if question.keys else how_read(question.field) or told
    return entry.criterion if entry.stop == RESULT and entry.part else ""


def so_far(entry: Entry) -> Content:
    """The readings noted, each in its words or by its size, with the sign of its verdict."""
    noted = ((q, entry.value(q.field)) for q in entry.readings if entry.value(q.field))
    told = (
        f"{line(q.label)} {said(q, value)}{f' {sign}' if (sign := _mark(q, value)) else ''}"
        for q, value in noted
    )
    return txt(BETWEEN.join(told), "$muted")


def large(
    question: Question | None, answer: str, noted: tuple[Question, str] | None = None
) -> Reading:
    """The answer of this question, or the one just noted where it has none yet.

    A size being typed always shows its own target.
    """
    waits = question is None or (bool(question.keys) and not answer)
    if waits and noted is not None:
        shown, value = noted
        wanted = [_wanted(shown)] if shown.target and not shown.keys else []
        head = txt(f"just noted: {shown.label}", "$muted")
        beside = stack(head, *_chosen(shown, value), *_verdict(shown, value), *wanted)
        return Reading(_large(shown, value), beside)
    if question is None or waits:
        return Reading()
    wanted = [_wanted(question)] if question.target and not question.keys else []
    unit = [txt(question.unit, "$muted")] if question.unit else []
    beside = stack(*wanted, *_chosen(question, answer), *_verdict(question, answer), *unit)
    return Reading(_large(question, answer), beside)


def just_noted(entry: Entry) -> tuple[Question, str] | None:
    """The reading answered at the stop before this one, or None."""
    before = entry.trail[-1] if entry.trail else ""
    question = next((q for q in entry.readings if q.field == before), None)
    if question is None or not entry.value(before):
        return None
    return question, entry.value(before)


def _wanted(question: Question) -> Content:
    return txt(f"wanted: {question.target}", "bold")


def _verdict(question: Question, value: str) -> list[Content]:
    verdict = question.verdict(value) if value else ""
    return [VERDICTS[verdict]] if verdict else []


def _mark(question: Question, value: str) -> str:
    return VERDICT_SIGNS[question.verdict(value)].strip()


def said(question: Question, value: str) -> str:
    """A value in words; how bad a defect is has no number beside it."""
    weighed = question.field == SEVERITY
    return SEVERITIES[int(value)] if weighed else line(question.in_words(value))


def _chosen(question: Question, value: str) -> list[Content]:
    """A choice in its words; of a size nothing, its digits are large."""
    return [txt(said(question, value), "bold $foreground")] if question.keys and value else []


def _large(question: Question, value: str) -> str:
    return "" if question.keys else line(value)[:LONGEST_LARGE] or NOTHING
