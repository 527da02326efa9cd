"""The search over a class: score statistics summed over setters, each with a null of their own.

Rows are never merged: what differs between people (how good, at which grade, with which bench)
would come out as a cause. Summed statistics ask only what goes with failure within each setter.
"""

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.class_prior import LEAST_SETTERS, CellSum, ClassPrior
from platebook.analysis.class_share import CLASS_DRAWS, ClassShare
from platebook.analysis.scores import Scores
from platebook.analysis.weigh import Cell, Key, Prior, cell


@dataclass(frozen=True, eq=False)
class ClassSearch:
    """Every setter's share, the class's cells, and where each setter's cells lie among them."""

    setters: tuple[str, ...]
    shares: tuple[ClassShare, ...]
    cells: tuple[Cell, ...]
    places: tuple[Whole, ...]

    @classmethod
    def of(cls, shares: Mapping[str, ClassShare]) -> "ClassSearch":
        """Lay the setters' shares over one list of cells, each cell once whoever has it."""
        parts = _defect_parts(shares.values())
        cells: dict[Key, Cell] = {}
        for share in shares.values():
            for own in share.cells:
                if own.key not in cells:
                    cells[own.key] = cell(own.candidate, own.outcome, parts) or own
        numbers = {key: place for place, key in enumerate(cells)}
        places = tuple(
            np.array([numbers[own.key] for own in share.cells], dtype=np.intp)
            for share in shares.values()
        )
        return cls(tuple(shares), tuple(shares.values()), tuple(cells.values()), places)

    @functools.cached_property
    def prior(self) -> Prior:
        """The class's cells weighed against each other."""
        return Prior.of(self.cells)

    def observed(self, *, without: int | None = None) -> Scores:
        """The setters' U and V summed into the class's cells (1 by cells), all or all but one."""
        u, v = np.zeros((1, len(self.cells))), np.zeros((1, len(self.cells)))
        for number, (share, places) in enumerate(zip(self.shares, self.places, strict=True)):
            if number != without:
                u[:, places] += share.own.u
                v[:, places] += share.own.v
        return Scores(u, v)

    def drawn(self) -> Scores:
        """The same for classes with nothing behind any setter's failures (draws by cells)."""
        u = np.zeros((CLASS_DRAWS, len(self.cells)))
        for share, places in zip(self.shares, self.places, strict=True):
            u[:, places] += share.drawn.u()
        return Scores(u, np.repeat(self.observed().v, CLASS_DRAWS, axis=0))

    def priors(self) -> tuple[ClassPrior | None, ...]:
        """What the others expect of each setter; None for fewer than five others."""
        if len(self.setters) - 1 < LEAST_SETTERS:
            return tuple(None for _ in self.setters)
        total = self.observed()
        return tuple(
            self._prior(total.u[0], total.v[0], without=number)
            for number in range(len(self.setters))
        )

    def _prior(self, u: Floats, v: Floats, *, without: int) -> ClassPrior:
        u, v = u.copy(), v.copy()
        own = self.shares[without].own
        u[self.places[without]] -= own.u[0]
        v[self.places[without]] -= own.v[0]
        sums = [
            CellSum(**c.key._asdict(), u=u[i], v=v[i], weight=c.weight, mean=c.mean, sd=c.sd)
            for i, c in enumerate(self.cells)
        ]
        return ClassPrior(setters=len(self.setters) - 1, cells=tuple(sums))


def _defect_parts(shares: Iterable[ClassShare]) -> dict[str, float]:
    counts: dict[str, int] = {}
    for share in shares:
        for defect, bad in share.failing.items():
            counts[defect] = counts.get(defect, 0) + bad
    total = sum(counts.values())
    return {defect: count / total for defect, count in counts.items() if count}
