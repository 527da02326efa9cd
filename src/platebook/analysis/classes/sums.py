"""What a class has shown, as sums: each setter's U and V over the cells of all.

What the others of a class expect of a setter is all of it without the setter's own. That needs no
draws, so it is worked out of less than a share (`search`), and setters come in one at a time.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Protocol

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.models.bayes_factors import (
    LEAST_SETTERS,
    Cell,
    CellSum,
    ClassPrior,
    Key,
    cell,
)
from platebook.analysis.models.scores import Scores
from platebook.values import Value


class Summed(Protocol):
    """What is summed of a setter; a whole share has it too."""

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Cells with the setter's own priors and no values."""

    @property
    def own(self) -> Scores:
        """Their U and V as the log is (1 by c)."""

    @property
    def failing(self) -> Mapping[str, int]:
        """How often each defect failed."""


class OwnSums(Value, eq=False):
    """What a class sums of one setter, and nothing else."""

    cells: tuple[Cell, ...]
    own: Scores
    failing: Mapping[str, int]


class ClassSums(Value, eq=False, dict=True):
    """Every setter's U and V over one list of cells (setters by cells), 0 where one has no such."""

    setters: tuple[str, ...]
    cells: tuple[Cell, ...]
    u: Floats
    v: Floats

    @classmethod
    def of(cls, setters: Iterable[tuple[str, Summed]]) -> "ClassSums":
        """Lay the setters' sums over one list of cells; none is held longer than it takes."""
        first: dict[Key, Cell] = {}
        numbers: dict[Key, int] = {}
        failing: Counter[str] = Counter()
        own: dict[str, tuple[Whole, Scores]] = {}
        for name, summed in setters:
            for each in summed.cells:
                first.setdefault(each.key, each)
            places = [numbers.setdefault(each.key, len(numbers)) for each in summed.cells]
            own[name] = np.array(places, dtype=np.intp), summed.own
            failing.update(summed.failing)
        u, v = np.zeros((len(own), len(first))), np.zeros((len(own), len(first)))
        for row, (where, scores) in enumerate(own.values()):
            u[row, where], v[row, where] = scores.u[0], scores.v[0]
        return cls(tuple(own), tuple(class_cells(first, [failing]).values()), u, v)

    @cached_property
    def _total(self) -> tuple[Floats, Floats]:
        """All setters' U and V, summed one after the other as a class does it."""
        u, v = np.zeros(len(self.cells)), np.zeros(len(self.cells))
        for row in range(len(self.setters)):
            u += self.u[row]
            v += self.v[row]
        return u, v

    def prior(self, number: int) -> ClassPrior | None:
        """What the others expect of the setter of this number; None for fewer than five others."""
        others = len(self.setters) - 1
        if others < LEAST_SETTERS:
            return None
        u, v = self._total[0] - self.u[number], self._total[1] - self.v[number]
        sums = [
            CellSum(**c.key._asdict(), u=u[i], v=v[i], weight=c.weight, mean=c.mean, sd=c.sd)
            for i, c in enumerate(self.cells)
        ]
        return ClassPrior(setters=others, cells=tuple(sums))


def class_cells(first: Mapping[Key, Cell], failing: Iterable[Mapping[str, int]]) -> dict[Key, Cell]:
    """The class's own cell for each that a setter has, by how often each defect fails in all."""
    counts: Counter[str] = Counter()
    for of_one in failing:
        counts.update(of_one)
    total = counts.total()
    parts = {defect: count / total for defect, count in counts.items() if count}
    return {key: cell(own.candidate, own.outcome, parts) or own for key, own in first.items()}
