"""The asking of `platebook import` on a terminal: each thing once, answered by its number.

What was understood is shown first, with a few values of each column. `ask` reads a line and `show`
writes one, so that the same asking runs on a terminal and in a test.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from platebook.values import Value

if TYPE_CHECKING:
    from platebook.exchange.sheets.questions import Question
    from platebook.services.sheets.looking import SheetLook
    from platebook.services.sheets.taking_in import Preview

STOP = ("q", "quit")


class Left(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The person left the asking: nothing is stored."""


class Terminal(Value):
    """How a line is asked for and how one is shown."""

    ask: Callable[[str], str]
    show: Callable[[str], None]


def ask_all(look: "SheetLook", terminal: Terminal) -> "SheetLook":
    """Show what the columns were taken for, then ask until nothing is open."""
    from platebook.services.sheets.wording import column_lines

    told, shown = 0, False
    while True:
        if look.understood.sheets and not shown:
            shown = True
            for line in column_lines(look):
                terminal.show(line)
        if not look.questions:
            return look
        left = len(look.questions)
        if look.understood.sheets:
            told += 1
        place = f"{told} of {told + left - 1}" if told else "first"
        look = ask_one(look, look.questions[0], terminal, place)


def ask_one(look: "SheetLook", question: "Question", terminal: Terminal, place: str) -> "SheetLook":
    """Ask one question until it is answered; raises Left where the person wants no more."""
    from platebook.cli.terminal.options import wrapped
    from platebook.services.sheets.looking import answer
    from platebook.services.sheets.wording import LEAVES, meaning_of, question_lines

    terminal.show("")
    *lines, ways = question_lines(question, place)
    for line in (*lines, ways + LEAVES):
        terminal.show(wrapped(line))
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


def ask_to_take_in(seen: "Preview", terminal: Terminal) -> str:
    """Whether it is to be stored: "all", "new" for only the new ones; raises Left for nothing."""
    from platebook.services.sheets.wording import preview_lines

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
