"""The search: one log made ready to be scored, as it is and as it might have been.

Everything that does not depend on how the attempts came out is computed once; `scores` then takes
any set of outcomes, the observed ones or bootstrap draws.
"""

import functools
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.candidates import Candidate, Candidates, Group
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.counted import LEAST_EVENTS, Counted
from platebook.analysis.heights import Height, height_cell
from platebook.analysis.measured_part import MeasuredPart
from platebook.analysis.nuisance import Nuisance
from platebook.analysis.null_model import Frame, NullFit, fit_null
from platebook.analysis.scores import Scores, Straight, score
from platebook.analysis.weigh import Cell, cell

Admit = Callable[[Candidate], bool]
Scorer = Callable[[Mapping[str, Floats]], Scores]

_NEAR_ENOUGH = 0.02
"""For draws: coefficients are then right to about 0.0004."""

MOST_REFITTED = 500
"""Above this many attempts draws are scored by the straight line, not by refitting the null."""


@dataclass(frozen=True, eq=False)
class Part:
    """One group's question about one outcome: a cell for each column of x."""

    group: Group
    frame: Frame
    outcome: str
    x: Floats
    cells: tuple[Cell, ...]
    fit: NullFit

    @property
    def rows(self) -> Whole:
        """The attempts in question."""
        return self.group.rows

    def observed(self, counted: Counted) -> Scores:
        """U and V (1 by c) of the log as it is."""
        truth = counted.truths(self.outcome)[self.rows]
        residual = truth[None, :].astype(float) - self.fit.chance
        return score(self.frame, self.fit.projection, residual, self.x)

    def rule(self, *, straight: bool) -> Callable[[Floats], Scores]:
        """A function that scores d sets of outcomes (d by all attempts)."""
        if straight or len(self.rows) > MOST_REFITTED:
            line = Straight.of(self.frame, self.fit, self.x)
            return lambda outcomes: line.scores(outcomes[:, self.rows])
        return lambda outcomes: self.refitted(outcomes[:, self.rows])

    def refitted(self, outcomes: Floats) -> Scores:
        """U and V of d sets of outcomes (d by the group's rows), the null refitted to each."""
        start = self.fit.fixed[0], self.fit.random[0]
        fit = fit_null(self.frame, outcomes, start=start, near=_NEAR_ENOUGH)
        return score(self.frame, fit.projection, outcomes - fit.chance, self.x)


@dataclass(frozen=True, eq=False)
class Search:
    """All parts of a log's question; cells are counted through the parts in order.

    `heights` are the measured responses that some of the parts ask about.
    """

    counted: Counted
    adjusted: Nuisance
    frame: Frame
    parts: tuple[Part | MeasuredPart, ...]
    heights: tuple[Height, ...] = ()

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Every cell, in the order in which scores give U and V."""
        return tuple(c for part in self.parts for c in part.cells)

    def expecting(self, prior: ClassPrior) -> "Search":
        """The same with what a class expects of each cell."""
        expected = prior.expectations()
        parts: list[Part | MeasuredPart] = []
        for part in self.parts:
            cells = tuple(replace(c, by_class=expected.get(c.key)) for c in part.cells)
            parts.append(replace(part, cells=cells))
        return replace(self, parts=tuple(parts))

    def part_of(self, one: Cell) -> tuple[Part | MeasuredPart, int]:
        """The part that asks this cell, and the cell's column there."""
        return next(
            (part, place)
            for part in self.parts
            for place, other in enumerate(part.cells)
            if other is one
        )

    def observed(self) -> Scores:
        """U and V (each 1 by cells) of the log as it is."""
        return _side_by_side([_nothing(1), *(part.observed(self.counted) for part in self.parts)])

    def scorer(self, *, straight: bool = False) -> Scorer:
        """A function that scores d logs with other outcomes (d by n each, by name).

        `straight` (always so for a large log) scores by the straight line around the observed null.
        """
        rules = [
            part.rule(straight=straight) if isinstance(part, Part) else part.drawn
            for part in self.parts
        ]

        def scores(outcomes: Mapping[str, Floats]) -> Scores:
            found = [_nothing(len(next(iter(outcomes.values()))))]
            for part, rule in zip(self.parts, rules, strict=True):
                found.append(rule(outcomes[part.outcome]))
            return _side_by_side(found)

        return scores


def _nothing(draws: int) -> Scores:
    return Scores(np.zeros((draws, 0)), np.zeros((draws, 0)))


def _side_by_side(found: Sequence[Scores]) -> Scores:
    return Scores(np.hstack([one.u for one in found]), np.hstack([one.v for one in found]))


def placed_cells(
    group: Group, make: Callable[[Candidate, int], Cell | None], admit: Admit = lambda _: True
) -> list[tuple[int, Cell]]:
    """The cells that `make` gives for a group's candidates, each with its column there.

    `make` is told how many level columns share a variable's weight.
    """
    levels = Counter(c.column.variable for c in group.candidates if c.column.kind == "level")
    found: list[tuple[int, Cell]] = []
    for place, candidate in enumerate(group.candidates):
        if not admit(candidate):
            continue
        share = levels[candidate.column.variable] if candidate.column.kind == "level" else 1
        one = make(candidate, share)
        if one is not None:
            found.append((place, one))
    return found


def prepare(
    counted: Counted,
    judged: Candidates,
    adjusted: Nuisance,
    *,
    admit: Admit = lambda _: True,
    least_events: int = LEAST_EVENTS,
    heights: Sequence[Height] = (),
) -> Search:
    """Make a log ready; `admit` says which candidates take part.

    An outcome is asked about where it happened, and failed to happen, `least_events` times.
    """
    parts: list[Part | MeasuredPart] = []
    shares = counted.shares()
    for group in judged.groups:
        frame = Frame.of(adjusted.rows(group.rows))
        for outcome in counted.outcomes(least_events):
            truth = counted.truths(outcome)[group.rows]
            events = int(truth.sum())
            if min(events, len(truth) - events) < least_events:
                continue
            make = functools.partial(_yes_or_no, outcome, shares)
            placed = placed_cells(group, make, admit)
            if placed:
                x = group.x[:, [place for place, _ in placed]]
                fit = fit_null(frame, truth[None, :].astype(float))
                cells = tuple(one for _, one in placed)
                parts.append(Part(group, frame, outcome, x, cells, fit))
        for height in heights:
            placed = placed_cells(group, functools.partial(_height, height.name), admit)
            part = MeasuredPart.of(group, placed, height.readings, adjusted, height.known)
            parts += [] if part is None else [part]
    return Search(counted, adjusted, Frame.of(adjusted), tuple(parts), tuple(heights))


def _yes_or_no(
    outcome: str, shares: Mapping[str, float], candidate: Candidate, levels: int
) -> Cell | None:
    return cell(candidate, outcome, shares, levels)


def _height(name: str, candidate: Candidate, levels: int) -> Cell | None:
    return height_cell(candidate, name, levels)
