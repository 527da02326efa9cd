"""What a setting of a balanced block was planned with, as one text in its record and back.

The record says of each such setting what its block settles and the level planned for each choice:
`loose by seat_bur_mm: seat_bur_mm 1.95 high, burnish_passes 1 low`. What was really used stands in
the fields of those names.
"""

import re
from typing import Literal, NamedTuple

Level = Literal["low", "high"]

_WHOLE = re.compile(r"(?P<defect>[\w' -]+) by (?P<settles>\w+): (?P<levels>.+)")
_LEVEL = re.compile(r"(?P<name>\w+) (?P<value>\S+) (?P<level>low|high)")


class PlannedLevel(NamedTuple):
    """One choice of a block at one setting: its field, the value planned, and which end that is."""

    name: str
    value: str
    level: Level


class BlockLevels(NamedTuple):
    """What a block settles (does `settles` make a difference to `defect`?) and one setting of it.

    `defect` is the record's word, or `any` for failure of any kind.
    """

    defect: str
    settles: str
    levels: tuple[PlannedLevel, ...]

    def level_of(self, name: str) -> PlannedLevel | None:
        """What was planned for this choice; None where the block did not vary it."""
        return next((level for level in self.levels if level.name == name), None)


def write_levels(levels: BlockLevels) -> str:
    """The text of the record."""
    planned = ", ".join(" ".join(level) for level in levels.levels)
    return f"{levels.defect} by {levels.settles}: {planned}"


def read_levels(text: str | None) -> BlockLevels | None:
    """What the text of the record says; None for none, and for one that is written otherwise."""
    whole = _WHOLE.fullmatch(text or "")
    if whole is None:
        return None
    found = [_LEVEL.fullmatch(part) for part in whole["levels"].split(", ")]
    levels = tuple(
        PlannedLevel(m["name"], m["value"], "high" if m["level"] == "high" else "low")
        for m in found
        if m is not None
    )
    return (
        BlockLevels(whole["defect"], whole["settles"], levels)
        if len(levels) == len(found)
        else None
    )
