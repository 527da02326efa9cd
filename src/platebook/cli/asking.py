"""The asking of `platebook import` on a terminal: each thing once, answered by its number.

What was understood is shown first, with a few values of each column. `ask` reads a line and `show`
writes one, so that the same asking runs on a terminal and in a test.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.cli.options import WIDTH

if TYPE_CHECKING:
    from platebook.exchange.headings import Column
    from platebook.exchange.questions import Question
    from platebook.services.sheets.looking import SheetLook
    from platebook.services.sheets.taking_in import Preview

STOP = ("q", "quit")
MOST_SHOWN = 8
"""Corrections shown one by one; the others are counted."""

TYPED = {
    "column": "A number, or the name of a field; Enter: {enter}.",
    "value": "A number, or the value in our words; Enter: {enter}.",
}
BY_NUMBER = "A number; Enter: {enter}."


class Left(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The person left the asking: nothing is stored."""


@dataclass(frozen=True)
class Terminal:
    """How a line is asked for and how one is shown."""

    ask: Callable[[str], str]
    show: Callable[[str], None]


def ask_all(look: "SheetLook", terminal: Terminal) -> "SheetLook":
    """Show what the columns were taken for, then ask until nothing is open."""
    if look.understood.sheets:
        show_columns(look, terminal)
    told = 0
    while look.questions:
        told += 1
        left = len(look.questions)
        look = ask_one(look, look.questions[0], terminal, f"{told} of {told + left - 1}")
    return look


def show_columns(look: "SheetLook", terminal: Terminal) -> None:
    """The headings with what each was taken for and a few values."""
    rows = look.understood.rows
    terminal.show(f"{look.file.name}: {rows} rows. What the columns were taken for:")
    for column in look.understood.columns:
        if column.heading and column.filled:
            terminal.show(column_line(column))


def column_line(column: "Column") -> str:
    """One column: heading, what it was taken for, and a few of its values."""
    from platebook.exchange.questions import label_of

    if column.field is not None:
        own = (column.own,) if column.own is not None else ()
        meaning = label_of(column.field, own)
        if column.own is not None:
            meaning = f"a column of your own: {meaning}"
        if column.unit:
            meaning += f", in {column.unit}"
    else:
        meaning = "?" if column.how == "unclear" else "left out"
    values = ", ".join(" ".join(text.split()) for text in column.samples)
    return f"  {column.heading[:22]:<22} {meaning[:30]:<30} {values}"[:WIDTH]


def ask_one(look: "SheetLook", question: "Question", terminal: Terminal, place: str) -> "SheetLook":
    """Ask one question until it is answered; raises Left where the person wants no more."""
    from platebook.services.sheets.looking import answer

    terminal.show("")
    for line in question_lines(question, place):
        terminal.show(line)
    while True:
        typed = terminal.ask("? ").strip()
        if typed.casefold() in STOP:
            raise Left
        said = meaning_of(question, typed)
        if said is None:
            terminal.show("That is none of the numbers.")
            continue
        if not said:
            terminal.show("Nothing can be stored without an answer; q leaves.")
            continue
        again, expected = answer(look, question, said)
        if again is not None:
            return again
        terminal.show(f"Expected {expected}.")


def meaning_of(question: "Question", typed: str) -> str | None:
    """The answer that a number, a word or Enter stands for; "" for none, None for no number."""
    if not typed:
        return question.by_itself
    if typed.isdecimal() and question.about != "value":
        number = int(typed)
        if not 1 <= number <= len(question.options):
            return None
        return question.options[number - 1].answer
    if typed.isdecimal() and 1 <= int(typed) <= len(question.options):
        return question.options[int(typed) - 1].answer
    words = {option.words.casefold(): option.answer for option in question.options}
    return words.get(typed.casefold(), typed)


def question_lines(question: "Question", place: str) -> Iterator[str]:
    """The question, its options by number, and what may be typed."""
    yield f"({place}) {question.sentence}"
    numbered = [f"{n} {option.words}" for n, option in enumerate(question.options, 1)]
    yield from _in_columns(numbered)
    enter = next(
        (o.words for o in question.options if o.answer == question.by_itself),
        question.without or "asks again",
    )
    yield TYPED.get(question.about, BY_NUMBER).format(enter=enter) + " q leaves."


def _in_columns(words: list[str]) -> Iterator[str]:
    longest = max(map(len, words), default=0)
    across = max(1, (WIDTH - 2) // (longest + 2)) if longest < WIDTH // 2 else 1
    for at in range(0, len(words), across):
        yield "  " + "".join(f"{word:<{longest + 2}}" for word in words[at : at + across]).rstrip()


def preview_lines(seen: "Preview") -> Iterator[str]:
    """What would be stored: "12 new, 3 corrected, 225 known", and what the corrections change."""
    yield seen.summary
    corrected = seen.rows.corrected
    for correction in corrected[:MOST_SHOWN]:
        changes = "; ".join(
            f"{c.field} {c.before or 'empty'} -> {c.after or 'empty'}" for c in correction.changes
        )
        yield f"  line {seen.lines[correction.place]}: {changes}"
    if len(corrected) > MOST_SHOWN:
        yield f"  and {len(corrected) - MOST_SHOWN} more"


def ask_to_take_in(seen: "Preview", terminal: Terminal) -> str:
    """Whether it is to be stored: "all", "new" for only the new ones; raises Left for nothing."""
    for line in preview_lines(seen):
        terminal.show(line)
    if not seen.rows.new and not seen.rows.corrected:
        return "all"
    ways = "Enter takes it in"
    if seen.rows.new and seen.rows.corrected:
        ways += ", n only the new ones"
    typed = terminal.ask(f"{ways}, q leaves everything as it is: ").strip().casefold()
    if typed in STOP:
        raise Left
    return "new" if typed == "n" else "all"


def hints(questions: Iterable["Question"]) -> Iterator[str]:
    """How each open question is answered without a terminal."""
    for question in questions:
        yield f"open: {question.sentence} {question.option_text}"
