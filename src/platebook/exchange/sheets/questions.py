"""What an import asks, each thing once: a heading, a value, the order of dates, cells nobody reads.

A question says where it stands, how often, and which answers are near; the first of its options is
what the program would say itself. `answered` adds an answer to those given before.
"""

import difflib
from collections.abc import Mapping, Sequence
from typing import Literal

from platebook.exchange.sheets.answers import ABOVE, KEEP, LEAVE_OUT, NUMBER, OWN, Answers, Table
from platebook.exchange.sheets.cells import CellReader
from platebook.exchange.sheets.meaning import key_of, names_by_key
from platebook.exchange.sheets.words import ROW_ID, TIME, bare, several_meanings
from platebook.practice.courses.course import ExtraField
from platebook.practice.fields import Choice, choices, fields
from platebook.practice.reading.attempt_rows import OFFSET
from platebook.trade.phrases import count_of, noun_for
from platebook.values import Value, replace

About = Literal[
    "column", "value", "dates", "unit", "unreadable", "blanks", "encoding", "rows", "person"
]

FIRST_ROWS = 5
NEAR = 0.8
"""Likeness of a value and its nearest word from which on Enter takes that word (judgement)."""

EXTRA_MEANINGS = {
    TIME: "time of day",
    ROW_ID: "the spreadsheet's own row number",
    OFFSET: "how far ahead of UTC",
    "began": "the day, or day and time",
}


class Option(Value):
    """One answer to choose: what is kept, and its words for a person."""

    answer: str
    words: str


class Question(Value, kw_only=True):
    """One thing that the program cannot tell.

    `heading` is the column, `value` what stands in its cells (several examples are in `samples`),
    `count` how many cells, `lines` the first lines of the file. `must` says that nothing can be
    stored without an answer; otherwise `without` says what happens. `field` is the field that the
    column was taken for. `suggested` says that the first option is likely enough for Enter.
    """

    about: About
    heading: str
    value: str = ""
    count: int = 0
    lines: tuple[int, ...] = ()
    samples: tuple[str, ...] = ()
    expected: str = ""
    options: tuple[Option, ...] = ()
    must: bool = False
    without: str = ""
    field: str = ""
    suggested: bool = False

    @property
    def by_itself(self) -> str:
        """The answer of somebody who only presses Enter; "" where one has to be given."""
        if self.suggested and self.options:
            return self.options[0].answer
        if self.must:
            return ""
        return KEEP if self.about == "value" else LEAVE_OUT

    @property
    def sentence(self) -> str:
        """The question in words, with where and how often."""
        lines = ", ".join(map(str, self.lines))
        more = ", ..." if self.count > len(self.lines) else ""
        where = f"{noun_for(len(self.lines), 'line')} {lines}{more}"
        samples = ", ".join(repr(text) for text in self.samples)
        times = f"\N{MULTIPLICATION SIGN} {self.count}"
        words = {
            "column": f"What is the column {self.heading!r}? It has {samples}.",
            "value": f"{self.heading}: {self.value!r} {times} = ? ({where})",
            "dates": f"{self.heading}: {samples} ({where}): day or month first?",
            "unit": f"{self.heading}: {samples} {times} are no sensible millimetres ({where}).",
            "unreadable": f"{self.heading}: {samples} {times} cannot be read ({where}).",
            "blanks": f"{self.heading} is empty in {_rows(self.count)} ({where}): "
            "what day is meant?",
            "encoding": f"{self.heading} is no UTF-8. Which encoding is it in?",
            "rows": f"{_rows(self.count)} as written: {'; '.join(self.samples)}",
            "person": "Whose settings are these? No column says it.",
        }
        if self.about == "value" and self.field == "setter":
            known = " or ".join(o.words for o in self.options if o.answer != KEEP)
            return f"{self.heading}: {self.value!r} {times}: a new person, or {known}? ({where})"
        return words[self.about]

    @property
    def option_text(self) -> str:
        """The option of the command line that answers it."""
        first = self.options[0].answer if self.options else "..."
        texts: Mapping[About, str] = {
            "column": f'--map "{self.heading}={first if self.suggested else "FIELD"}"',
            "value": f'--map "{self.value}={first if self.suggested else "VALUE"}"',
            "dates": "--dates dmy or --dates mdy",
            "encoding": f"--encoding {first}",
            "person": "--setter NAME, or first platebook setter add NAME",
        }
        if self.about == "value" and self.field == "setter":
            return f'--map "{self.value}={first}", or "{self.value}={KEEP}" for a new person'
        return texts.get(self.about, "--answers FILE, or ask for it on a terminal")


def _rows(count: int) -> str:
    return f"{count_of(count, 'row')} cannot be read"


def label_of(field: str, extra: Sequence[ExtraField] = ()) -> str:
    """A field's name for people: its label and unit."""
    if field in EXTRA_MEANINGS:
        return EXTRA_MEANINGS[field]
    known = fields().get(field)
    if known is not None:
        return f"{known.label} ({known.unit})" if known.unit else known.label
    own = next((f for f in extra if f.name == field), None)
    return own.meaning or field if own is not None else field


def options_for_column(guesses: Sequence[str], extra: Sequence[ExtraField]) -> tuple[Option, ...]:
    """The likely fields, a column of one's own, or left out."""
    return (
        *(Option(name, label_of(name, extra)) for name in guesses),
        Option(OWN, "a column of my own: kept, shown, judged in findings"),
        Option(LEAVE_OUT, "leave the column out"),
    )


def options_for_value(field: str, value: str, listed: Sequence[Choice]) -> tuple[Option, ...]:
    """The nearest listed values first, all the others after them, then as typed or left out."""
    values = [choice.value for choice in (listed or choices().get(field, ()))]
    spelt = {
        word.casefold(): choice.value
        for choice in (listed or choices().get(field, ()))
        for word in (choice.value, *choice.aliases)
    }
    near = several_meanings(field).get(bare(value), ()) or nearest_values(value, spelt)
    ranked = list(dict.fromkeys((*near, *values)))
    keeps = (
        () if field in {"result", "after_cleanup"} else (Option(KEEP, "keep it as it is typed"),)
    )
    return (*(Option(v, v) for v in ranked), *keeps, Option(LEAVE_OUT, "leave these cells out"))


def nearest_values(value: str, spelt: Mapping[str, str]) -> tuple[str, ...]:
    """The values by one of whose spellings a text may be meant, the likeliest first."""
    alike = difflib.get_close_matches(value.casefold(), list(spelt), 3, 0.6)
    return tuple(dict.fromkeys(spelt[word] for word in alike))


def is_near(value: str, options: Sequence[Option]) -> bool:
    """Whether the first option is so like the value that Enter may mean it."""
    first = options[0].answer.casefold() if options else ""
    return difflib.SequenceMatcher(None, value.casefold(), first).ratio() >= NEAR


def answered(answers: Answers, question: Question, typed: str) -> tuple[Answers | None, str]:
    """The answers with this one, or None and what was expected.

    `typed` is an answer of an option, or anything else that fits: a field, a value, a unit.
    """
    said = typed.strip()
    if question.about in {"column", "value"}:
        way = _column_answered if question.about == "column" else _value_answered
        return way(answers, question, said)
    if question.about == "encoding":
        return replace(answers, encoding=said), ""
    listed = [option.answer for option in question.options]
    if said not in listed:
        return None, f"one of: {', '.join(listed)}"
    if question.about == "dates":
        return answers.with_dates("dmy" if said == "dmy" else "mdy"), ""
    if question.about == "rows":
        return replace(answers, broken_rows=said), ""
    return answers.with_entry(_TABLE_OF[question.about], question.heading, said), ""


_TABLE_OF: Mapping[str, Table] = {"unit": "units", "blanks": "blanks", "unreadable": "unreadable"}


def _column_answered(answers: Answers, question: Question, said: str) -> tuple[Answers | None, str]:
    known = {**names_by_key(()), **{key_of(n): n for n in (TIME, ROW_ID, OWN, LEAVE_OUT)}}
    meant = next((o.answer for o in question.options if o.answer == said), None)
    meant = meant or known.get(key_of(said))
    if meant is None:
        near = difflib.get_close_matches(key_of(said), list(known), 3)
        names = ", ".join(known[key] for key in near)
        return None, f"a field of the record{f', such as {names}' if names else ''}"
    return answers.with_entry("columns", question.heading, meant), ""


def _value_answered(answers: Answers, question: Question, said: str) -> tuple[Answers | None, str]:
    if said not in {LEAVE_OUT, KEEP}:
        kind = fields()[question.field].type if question.field in fields() else "text"
        reader = CellReader(question.field, kind, dates=answers.dates)
        meant = reader(said)
        listed = tuple(o.answer for o in question.options)
        if meant.unknown and said not in listed:
            return None, meant.expected
    return answers.with_value(question.heading, question.value, said), ""


UNREADABLE_OPTIONS = (
    Option(NUMBER, "read the one number in each of them"),
    Option(LEAVE_OUT, "leave these cells out"),
)
BLANK_OPTIONS = (
    Option(ABOVE, "the same as in the row above"),
    Option(LEAVE_OUT, "they have none"),
)
ROW_OPTIONS = (Option(LEAVE_OUT, "leave these rows out"),)
DATE_OPTIONS = (
    Option("dmy", "day first: 3/2 is 3 February"),
    Option("mdy", "month first: March 2"),
)
