"""Practice by week, and stones and burs used, in a sentence each."""

from collections.abc import Sequence
from datetime import date

from platebook.analysis.practising import Practice, Used

MOST = 6
"""Kinds of stone or bur that one line names; the rest is counted."""


def practice_line(practice: Practice) -> str:
    """Attempts a week on average and in each of the last weeks; a sentence for none dated."""
    if practice.a_week is None:
        return "No dated practice yet."
    weeks = " ".join(str(week.attempts) for week in practice.weeks)
    shown = f"last {len(practice.weeks)} weeks"
    if not practice.recent:
        until = date.fromisoformat(practice.weeks[-1].monday)
        shown = f"none lately; {len(practice.weeks)} weeks to {until:%-d %B %Y}"
    return f"{practice.a_week:.1f} attempts a week; {shown}: {weeks}"


def used_lines(practice: Practice) -> tuple[str, ...]:
    """Stones by size and seats by bur, a line each; nothing where none is noted."""
    kinds = (("stones used", practice.stones), ("seats by bur", practice.burs))
    return tuple(f"{words}: {_listed(used)}" for words, used in kinds if used)


def _listed(used: Sequence[Used]) -> str:
    """The kinds in their order; of many, those used most, and how many more there are."""
    most = sorted(used, key=lambda one: -one.count)[:MOST]
    named = ", ".join(f"{one.what} × {one.count}" for one in used if one in most)
    more = sum(one.count for one in used) - sum(one.count for one in most)
    return f"{named}, others × {more}" if more else named
