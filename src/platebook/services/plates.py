"""The plate under the hand: its positions with what came of each, and the next free one."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from platebook.practice.attempt import Attempt
from platebook.practice.defects import verdicts
from platebook.practice.plate import Plate
from platebook.practice.setter import name_key

POSITIONS = 10
FIRST_PLATE = "1"
UNKNOWN = "?"
"""Stands for a word that the table of defects does not know, and for what was not judged."""


@dataclass(frozen=True)
class PlateCell:
    """One position: a sign and the result; both empty where nothing was set there yet.

    `attempt_id` is the attempt that was last made there, empty where none was.
    """

    position: str
    sign: str
    result: str
    attempt_id: str = ""


@dataclass(frozen=True)
class PlateView:
    """The plate in use; `next_position` is None where it is full.

    `across` is how many positions a row of it has, None where nobody laid it out.
    """

    name: str
    cells: tuple[PlateCell, ...]
    next_position: str | None
    across: int | None = None


def plate_view(attempts: Sequence[Attempt], plates: Sequence[Plate] = ()) -> PlateView:
    """The plate of the last attempt, or the next one where that is full.

    One of the setter's `plates` has the positions it was laid out with; any other has ten. The next
    one is the first of `plates` that holds no attempt, or the number after this one. A parts
    exercise takes a position like any other.
    """
    laid_out = {plate.name: plate for plate in plates if plate.positions}
    used = {a.plate for a in attempts}
    fresh = next((name for name in laid_out if name not in used), None)
    last = next((a.plate for a in reversed(attempts) if a.plate), None)
    if last is not None:
        here = [a for a in attempts if a.plate == last]
        view = _view(last, here, laid_out.get(last))
        if view.next_position is not None:
            return view
    name = fresh or (FIRST_PLATE if last is None else _following(last))
    return _view(name, (), laid_out.get(name))


def plate_named(
    attempts: Sequence[Attempt], plates: Sequence[Plate], name: str
) -> PlateView | None:
    """This plate with what came of each position; None where no plate and no attempt has it.

    A name that none has just so is matched without case and number of blanks.
    """
    names = dict.fromkeys((*(p.name for p in plates), *(a.plate for a in attempts if a.plate)))
    spelt = name if name in names else next((n for n in names if _same(n, name)), name)
    plate = next((p for p in plates if p.name == spelt), None)
    here = [a for a in attempts if a.plate == spelt]
    return _view(spelt, here, plate) if plate is not None or here else None


def _same(one: str, other: str) -> bool:
    return name_key(one) == name_key(other)


def _view(name: str, attempts: Sequence[Attempt], laid_out: Plate | None = None) -> PlateView:
    taken = {a.position: a for a in attempts if a.position}
    names = list(laid_out.positions if laid_out and laid_out.positions else _numbered(taken))
    names += [p for p in taken if p not in names]
    cells = tuple(_cell(n, taken.get(n)) for n in names)
    free = next((c.position for c in cells if c.position not in taken), None)
    return PlateView(name, cells, free, laid_out.across if laid_out is not None else None)


def _numbered(taken: Iterable[str]) -> list[str]:
    """The positions of a plate that nobody laid out: ten, or as many as were named."""
    numbered = [int(p) for p in taken if p.isdigit()]
    return [str(n) for n in range(1, max([POSITIONS, *numbered]) + 1)]


def _cell(position: str, attempt: Attempt | None) -> PlateCell:
    if attempt is None:
        return PlateCell(position, "", "")
    name = attempt.attempt_id or ""
    if not attempt.result:
        return PlateCell(position, UNKNOWN, attempt.ended or "not judged", name)
    first = verdicts().get(attempt.result[0])
    sign = first.sign if first is not None else UNKNOWN
    return PlateCell(position, sign, " + ".join(attempt.result), name)


def _following(name: str) -> str:
    """The name after this one: its last number plus one, or with a 2 behind it."""
    found = re.search(r"(\d+)(\D*)$", name)
    if found is None:
        return f"{name} 2"
    return f"{name[: found.start()]}{int(found[1]) + 1}{found[2]}"
