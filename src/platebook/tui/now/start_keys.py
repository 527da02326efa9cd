"""The ways into an attempt: plain, as a good one, as a whole plate, or by a first digit.

The digit saves a key on every stone. It works only where the first reading asked is answered by one
digit and the set-up is known, and the screen says which reading that is before the key is pressed.
"""

from typing import TYPE_CHECKING

from textual.content import Content

from platebook.tui.commands import foot_commands
from platebook.tui.keys.command import DIGITS, Command
from platebook.tui.parts.text import keycap, line
from platebook.values import replace

if TYPE_CHECKING:
    from platebook.practice.reading.questions import Question
    from platebook.services.now.now_view import NowView


WHOLE_PLATE = "whole plate"
GOOD_ONE = "good one"
WAYS = ("", GOOD_ONE, WHOLE_PLATE)
"""What may be asked for in place of a digit; plain is empty."""

KEYS_OF_WAYS = {GOOD_ONE: "g", WHOLE_PLATE: "w"}
"""The key of each, as it is told."""

BEGINS = frozenset({"good", "whole_plate"})
"""Actions that begin something, besides Enter."""

NOT_AT_FIRST = frozenset({"throw_away", "suggested"})
"""Actions that nothing is there for before the logbook has answered."""

DECIMAL_KEYS = {"full_stop": ".", "comma": ","}


def reading_by_digit(view: "NowView | None") -> "Question | None":
    """The reading that a digit answers at once; None where a digit says nothing here."""
    if view is None or not (view.readings_asked and view.readings and view.set_up):
        return None
    first = view.readings[0]
    return first if first.keys else None


def means_something(view: "NowView | None", digit: str) -> bool:
    """Whether this digit is an answer to the first reading."""
    reading = reading_by_digit(view)
    return reading is not None and reading.value_for(digit) is not None


def digit_hint(view: "NowView") -> Content | None:
    """Which digits, which reading, and what the first and the last of them mean."""
    reading = reading_by_digit(view)
    if reading is None:
        return None
    (low, first), *_, (high, last) = reading.answers
    ends = (keycap(low), f" {line(first)} … ", keycap(high), f" {line(last)}")
    return Content.assemble(
        (f"{_span(reading)} ", "bold $accent"),
        f"starts it with the {line(reading.label)}: ",
        *(("how many",) if reading.counts else ends),
    )


def foot_with_digits(
    place: str, view: "NowView | None", *, saves: bool = False
) -> tuple[Command, ...]:
    """The key line of a screen, with the digits in place of a good one where they work.

    It says so where Enter `saves`.
    """
    first, *others = foot_commands(place)
    if saves:
        first = replace(first, label="save")
    reading = reading_by_digit(view)
    if reading is None:
        return (first, *others)
    digits = replace(first, keys=(_span(reading),), label=line(reading.label))
    return (first, digits, *(c for c in others if c.action != "good"))


def foot_with_draft(place: str) -> tuple[Command, ...]:
    """The key line while something is unfinished: Enter goes on, and nothing begins anew."""
    first, *others = foot_commands(place)
    going_on = replace(first, label="go on")
    return (going_on, *(c for c in others if c.action not in BEGINS))


def foot_at_first(place: str) -> tuple[Command, ...]:
    """The key line before it is known what Enter does: nothing is offered that may not be so."""
    first, *others = foot_commands(place)
    either = replace(first, label="start or go on")
    return (either, *(c for c in others if c.action not in {*BEGINS, *NOT_AT_FIRST}))


def _span(reading: "Question") -> str:
    digits = [key for key in reading.digits if key in DIGITS]
    return f"{digits[0]}-{digits[-1]}"
