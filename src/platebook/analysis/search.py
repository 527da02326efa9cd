"""The search: one log made ready to be scored, as it is and as it might have been.

Everything that does not depend on how the attempts came out is computed once; `scores` then takes
any set of outcomes, the observed ones or bootstrap draws.
"""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.candidates import Candidate, Candidates, Group
from platebook.analysis.counted import LEAST_EVENTS, Counted
from platebook.analysis.nuisance import Nuisance
from platebook.analysis.null_model import Frame, NullFit, fit_null
from platebook.analysis.scores import Crossed, score
from platebook.analysis.weigh import Cell, cell

Admit = Callable[[Candidate], bool]

_NEAR_ENOUGH = 0.02
"""For draws: coefficients are then right to about 0.0004."""


@dataclass(frozen=True, eq=False)
class Part:
    """One group's question about one outcome: its cells are the columns `crossed` holds."""

    group: Group
    frame: Frame
    outcome: str
    crossed: Crossed
    cells: tuple[Cell, ...]
    fit: NullFit


@dataclass(frozen=True, eq=False)
class Search:
    """All parts of a log's question; cells are counted through the parts in order."""

    counted: Counted
    adjusted: Nuisance
    frame: Frame
    parts: tuple[Part, ...]

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Every cell, in the order in which `scores` gives U and V."""
        return tuple(c for part in self.parts for c in part.cells)

    def observed(self) -> tuple[Floats, Floats]:
        """U and V (each 1 by cells) of the log as it is."""
        u, v = [np.zeros((1, 0))], [np.zeros((1, 0))]
        for part in self.parts:
            truth = self.counted.truths(part.outcome)[part.group.rows]
            scored = score(part.frame, part.fit, truth[None, :].astype(float), part.crossed)
            u.append(scored.u)
            v.append(scored.v)
        return np.hstack(u), np.hstack(v)

    def scores(self, outcomes: Mapping[str, Floats]) -> tuple[Floats, Floats]:
        """U and V (each d by cells) of d logs with these outcomes (d by n each), null refitted."""
        u, v = [], []
        for part in self.parts:
            drawn = outcomes[part.outcome][:, part.group.rows]
            start = part.fit.fixed[0], part.fit.random[0]
            fit = fit_null(part.frame, drawn, start=start, near=_NEAR_ENOUGH)
            scored = score(part.frame, fit, drawn, part.crossed)
            u.append(scored.u)
            v.append(scored.v)
        return np.hstack(u), np.hstack(v)


def _cells(
    group: Group, outcome: str, shares: Mapping[str, float], admit: Admit
) -> list[tuple[int, Cell]]:
    levels = Counter(c.column.variable for c in group.candidates if c.column.kind == "level")
    found: list[tuple[int, Cell]] = []
    for place, candidate in enumerate(group.candidates):
        if not admit(candidate):
            continue
        share = levels[candidate.column.variable] if candidate.column.kind == "level" else 1
        one = cell(candidate, outcome, shares, share)
        if one is not None:
            found.append((place, one))
    return found


def prepare(
    counted: Counted, judged: Candidates, adjusted: Nuisance, admit: Admit = lambda _: True
) -> Search:
    """Make a log ready; `admit` says which candidates take part."""
    parts: list[Part] = []
    for group in judged.groups:
        frame = Frame.of(adjusted.rows(group.rows))
        for outcome in counted.outcomes():
            truth = counted.truths(outcome)[group.rows]
            events = int(truth.sum())
            if min(events, len(truth) - events) < LEAST_EVENTS:
                continue
            placed = _cells(group, outcome, counted.shares(), admit)
            if placed:
                x = group.x[:, [place for place, _ in placed]]
                fit = fit_null(frame, truth[None, :].astype(float))
                cells = tuple(one for _, one in placed)
                parts.append(Part(group, frame, outcome, Crossed.of(frame, x), cells, fit))
    return Search(counted, adjusted, Frame.of(adjusted), tuple(parts))
