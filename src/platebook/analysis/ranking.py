"""A log made ready to be searched: its columns judged once, and what is asked of each."""

import functools
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

import numpy as np

from platebook.analysis.candidates import Candidate, Candidates, Group, candidates
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.columns import Column, columns
from platebook.analysis.counted import LEAST_EVENTS, Counted
from platebook.analysis.heights import Height, height_cell, heights
from platebook.analysis.measured_part import MeasuredPart, enough_measured
from platebook.analysis.nuisance import Nuisance, nuisance
from platebook.analysis.null_model import Frame
from platebook.analysis.search import Part, PlacedCells, Search, placed_cells
from platebook.analysis.variables import variable
from platebook.analysis.weigh import Cell, cell
from platebook.practice.course import Course


@dataclass(frozen=True, eq=False)
class AskedGroup:
    """What is asked of one group of candidates: the cells by outcome, defects and then heights."""

    group: Group
    cells: Mapping[str, PlacedCells]


@dataclass(frozen=True, eq=False)
class PreparedLog:
    """A log with its columns, what can be judged of them, and all that every search shares.

    `adjusted` is what every question is adjusted for, `asked` every cell there is.
    """

    counted: Counted
    columns: tuple[Column, ...]
    judged: Candidates
    adjusted: Nuisance
    heights: tuple[Height, ...]
    asked: tuple[AskedGroup, ...]

    @classmethod
    def of(
        cls,
        counted: Counted,
        course: Course | None = None,
        prior: ClassPrior | None = None,
        *,
        with_heights: bool = True,
        least_events: int = LEAST_EVENTS,
    ) -> "PreparedLog":
        """Make these attempts ready; `prior` is what the setter's class has shown.

        Heights and tilts that were measured are asked about too, unless told otherwise. An outcome
        is asked about where it happened, and failed to happen, `least_events` times.
        """
        adjusted = nuisance(counted)
        its_columns = columns(counted, course)
        judged = candidates(its_columns, counted, adjusted)
        measured = heights(counted, adjusted) if with_heights else ()
        asked = tuple(
            AskedGroup(
                group,
                _by_class(prior, _defect_cells(group, counted, least_events))
                | _by_class(prior, _height_cells(group, measured)),
            )
            for group in judged.groups
        )
        return cls(counted, its_columns, judged, adjusted, measured, asked)

    def variables_asked(self) -> frozenset[str]:
        """The variables about which something is asked."""
        return frozenset(cell.candidate.column.variable for cell in self._cells())

    def families_asked(self) -> frozenset[str]:
        """The families of those variables."""
        return frozenset(cell.family for cell in self._cells())

    def _cells(self) -> Iterator[Cell]:
        for asked in self.asked:
            for placed in asked.cells.values():
                yield from (cell for _, cell in placed)

    def search(self, beside: Sequence[Candidate] = (), *, causes_only: bool = False) -> Search:
        """Make it ready, beside the variables already found; their families are not asked again."""
        families = {variable(c.column.variable).family for c in beside}
        adjusted = self.adjusted
        if beside:
            adjusted = adjusted.adding(np.column_stack([c.filled() for c in beside]))
        by_name = {height.name: height for height in self.heights}
        parts: list[Part | MeasuredPart] = []
        for asked in self.asked:
            group = asked.group
            frame = Frame.of(adjusted.rows(group.rows))
            for outcome, placed in asked.cells.items():
                left = _left_to_ask(placed, families, causes_only=causes_only)
                if not left:
                    continue
                if outcome in by_name:
                    measured, known = by_name[outcome].measurements, by_name[outcome].known
                    parts.append(MeasuredPart.of(group, left, measured, adjusted, known))
                else:
                    parts.append(Part.of(group, outcome, left, frame, self.counted))
        return Search(self.counted, adjusted, tuple(parts), self.heights)


def _left_to_ask(
    placed: PlacedCells, families: AbstractSet[str], *, causes_only: bool
) -> PlacedCells:
    """The cells of other families than these; without process fields where only causes count."""
    return tuple(
        (place, cell)
        for place, cell in placed
        if cell.family not in families and not (causes_only and cell.candidate.column.process)
    )


def _defect_cells(group: Group, counted: Counted, least_events: int) -> dict[str, PlacedCells]:
    """The cells about each outcome that the group's rows show often enough, and not always."""
    shares = counted.shares()
    asked: dict[str, PlacedCells] = {}
    for outcome in counted.outcomes(least_events):
        truth = counted.truths(outcome)[group.rows]
        events = int(truth.sum())
        if min(events, len(truth) - events) >= least_events:
            make = functools.partial(cell, outcome=outcome, shares=shares)
            asked[outcome] = placed_cells(group, make)
    return asked


def _height_cells(group: Group, measured: Sequence[Height]) -> dict[str, PlacedCells]:
    return {
        height.name: placed_cells(group, functools.partial(height_cell, height=height.name))
        for height in measured
        if enough_measured(group, height.measurements)
    }


def _by_class(prior: ClassPrior | None, cells: dict[str, PlacedCells]) -> dict[str, PlacedCells]:
    """The same cells with what a class expects of each."""
    if prior is None:
        return cells
    expected = prior.expectations()
    return {
        outcome: tuple((place, replace(c, by_class=expected.get(c.key))) for place, c in placed)
        for outcome, placed in cells.items()
    }
