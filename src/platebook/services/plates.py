"""The plate under the hand: its positions with what came of each, and the next free one."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from platebook.practice.attempt import Attempt
from platebook.practice.look import GOOD, MISSED

POSITIONS = 10
FIRST_PLATE = "1"
SIGNS = {
    GOOD: "+",
    MISSED: "x",
    "loose": "L",
    "high": "H",
    "low": "D",
    "tilted": "T",
    "chipped": "C",
    "marred": "M",
    "scratched": "S",
    "gap": "G",
    "off mark": "O",
    "culet out": "P",
}


@dataclass(frozen=True)
class PlateCell:
    """One position: a sign and the result; both empty where nothing was set there yet."""

    position: str
    sign: str
    result: str


@dataclass(frozen=True)
class PlateView:
    """The plate in use; `next_position` is None where it is full."""

    name: str
    cells: tuple[PlateCell, ...]
    next_position: str | None


def plate_view(attempts: Sequence[Attempt]) -> PlateView:
    """The plate of the last attempt, or the next one where that is full.

    A plate nobody laid out has ten positions; a parts exercise takes a position like any other.
    """
    last = next((a for a in reversed(attempts) if a.plate), None)
    if last is None or last.plate is None:
        return _view(FIRST_PLATE, ())
    view = _view(last.plate, [a for a in attempts if a.plate == last.plate])
    return view if view.next_position is not None else _view(_following(last.plate), ())


def _view(name: str, attempts: Sequence[Attempt]) -> PlateView:
    taken = {a.position: a for a in attempts if a.position}
    numbered = [int(p) for p in taken if p.isdigit()]
    names = [str(n) for n in range(1, max([POSITIONS, *numbered]) + 1)]
    names += [p for p in taken if p not in names]
    cells = tuple(_cell(n, taken.get(n)) for n in names)
    free = next((c.position for c in cells if c.position not in taken), None)
    return PlateView(name, cells, free)


def _cell(position: str, attempt: Attempt | None) -> PlateCell:
    if attempt is None:
        return PlateCell(position, "", "")
    if not attempt.result:
        return PlateCell(position, "?", attempt.ended or "not judged")
    return PlateCell(position, SIGNS.get(attempt.result[0], "?"), " + ".join(attempt.result))


def _following(name: str) -> str:
    """The name after this one: its last number plus one, or with a 2 behind it."""
    found = re.search(r"(\d+)(\D*)$", name)
    if found is None:
        return f"{name} 2"
    return f"{name[: found.start()]}{int(found[1]) + 1}{found[2]}"
