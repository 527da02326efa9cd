"""What to mind today: the strongest thing that went with failure and still does, in one line.

The words for each variable are `data/minding.toml`. A habit that has gone is thanked for. Nothing
here says that anything is a cause: the line is advice of common practice beside counts.
"""

import functools
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from platebook.tables import toml_table
from platebook.trade.phrases import day_words
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.analysis.findings.telling.habits import Habit
    from platebook.analysis.findings.telling.results import Finding

_SURE = {"claim": "", "lead": " (worth watching)"}


class _Words(NamedTuple):
    """What is said of one variable in one direction."""

    mind: str
    gone: str


class Minded(Value):
    """One line about a habit; `name` tells it from others, `gone` says that it is a thank-you.

    `brief` is the line without what it rests on, which `counts` says.
    """

    name: str
    variable: str
    defect: str
    status: str
    gone: bool
    line: str
    brief: str = ""
    counts: str = ""


@functools.cache
def words_by_variable() -> dict[tuple[str, str], _Words]:
    """The words of the table, by variable and direction; ValueError where two rows share them."""
    rows = toml_table("platebook.advice", "minding.toml")["minding"]
    known = {(row["variable"], row["toward"]): _Words(row["mind"], row["gone"]) for row in rows}
    if len(known) < len(rows):
        raise ValueError("minding.toml has two rows for one variable and direction")
    return known


def strongest(habits: "Iterable[Habit]") -> Minded | None:
    """The line about the first habit that still holds; None where none does."""
    return next(iter(minded(habits)), None)


def minded(habits: "Iterable[Habit]") -> "tuple[Minded, ...]":
    """A line about each habit that still holds, in their order."""
    return tuple(_to_mind(habit) for habit in habits if habit.retired is None)


def name_of(held: "Habit | Finding") -> str:
    """What tells a habit, and the finding it is behind, from others."""
    return f"{held.variable} {held.direction} {held.defect}"


def _to_mind(habit: "Habit") -> Minded:
    words = words_by_variable().get((habit.variable, habit.direction))
    what = words.mind if words is not None else f"the {habit.spoken}"
    return _minded(habit, f"Mind today: {what}", habit.counted, _SURE.get(habit.status, ""))


def thanks(habit: "Habit", today: date) -> Minded | None:
    """The line about a well supported habit that is not done any more; None for any other."""
    since = habit.retired
    if since is None or habit.status != "claim" or not since.counts or since.counts[0].of:
        return None
    words = words_by_variable().get((habit.variable, habit.direction))
    for_what = f" for {words.gone}" if words is not None else ""
    day = f"since {day_words(since.day, today)} " if since.day is not None else ""
    of = sum(count.of for count in since.counts)
    since_when = f"{day}none of {of} with {habit.phrase}."
    return _minded(habit, f"Thank you{for_what}", since_when)


def _minded(habit: "Habit", brief: str, counts: str, sure: str = "") -> Minded:
    gone = habit.retired is not None
    return Minded(
        name=name_of(habit),
        variable=habit.variable,
        defect=habit.defect,
        status=habit.status,
        gone=gone,
        line=f"{brief}: {counts}" if gone else f"{brief}{sure}. {counts}",
        brief=f"{brief}.",
        counts=counts,
    )
