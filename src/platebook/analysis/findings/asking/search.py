"""The search: one log made ready to be scored, and which families stand first in it.

Everything that does not depend on how the attempts came out is computed once; `Search.scorer` then
takes any set of outcomes, the observed ones or bootstrap draws. `Search.ranked` says which families
stand first.
"""

import functools
import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.findings.asking.candidates import Candidate, Candidates, Group, candidates
from platebook.analysis.findings.asking.judged_outcomes import (
    JudgedGroup,
    JudgedPart,
    PlacedCells,
    scorer,
)
from platebook.analysis.findings.measured.heights import Height, height_cell, heights
from platebook.analysis.findings.measured.measured_responses import MeasuredPart, enough_measured
from platebook.analysis.models.bayes_factors import (
    Cell,
    ClassPrior,
    Prior,
    cell,
    class_expectations,
    log_odds,
    log_sums,
    log_terms,
)
from platebook.analysis.models.null_model import Nuisance, nuisance
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import LEAST_EVENTS, AttemptLog
from platebook.analysis.variables.columns import Column, columns, variable
from platebook.practice.courses.course import Course
from platebook.values import Value, replace

Scorer = Callable[[Mapping[str, Floats]], Scores]
AnyPart = JudgedPart | MeasuredPart


class Ranked(Value, eq=False):
    """One family: its posterior log odds and probability, and its best cell with U and V."""

    family: str
    log_odds: float
    posterior: float
    cell: Cell
    u: float
    v: float

    def posterior_of_effect(self) -> tuple[float, float]:
        """Mean and standard deviation of the best cell's effect, from its score and its prior."""
        precision = self.v + self.cell.sd**-2
        mean = (self.u + self.cell.mean * self.cell.sd**-2) / precision
        return mean, precision**-0.5


class Search(Value, eq=False, dict=True):
    """All parts of a log's question; cells are counted through the parts in order.

    `heights` are the measured responses that some of the parts ask about. `unsettled` names the
    outcomes about which nothing is asked, since their null model could not be fitted.
    """

    log: AttemptLog
    adjusted: Nuisance
    parts: tuple[AnyPart, ...]
    heights: tuple[Height, ...] = ()
    unsettled: tuple[str, ...] = ()

    @functools.cached_property
    def cells(self) -> tuple[Cell, ...]:
        """Every cell, in the order in which scores give U and V."""
        return tuple(c for part in self.parts for c in part.cells)

    @functools.cached_property
    def prior(self) -> Prior:
        """The cells' priors."""
        return Prior.of(self.cells)

    def part_of(self, cell: Cell) -> tuple[AnyPart, int]:
        """The part that asks this cell, and the cell's column there."""
        return next(
            (part, place)
            for part in self.parts
            for place, other in enumerate(part.cells)
            if other is cell
        )

    def observed(self) -> Scores:
        """U and V (each 1 by cells) of the log as it is."""
        return Scores.joined(1, (part.observed() for part in self.parts))

    def ranked(self) -> tuple[Ranked, ...]:
        """All families, the best first; empty where nothing could be asked."""
        return rank(self.prior, self.observed())

    def scorer(self, *, straight: bool = False) -> Scorer:
        """A function that scores d logs with other outcomes (d by n each, by name).

        `straight` (always so for a large log) scores by the straight line around the observed null.
        """
        blocks = [
            _scorer(list(parts), straight=straight)
            for _, parts in itertools.groupby(self.parts, key=_scored_together)
        ]

        def scores(outcomes: Mapping[str, Floats]) -> Scores:
            draws = len(next(iter(outcomes.values())))
            return Scores.joined(draws, (block(outcomes) for block in blocks))

        return scores


def _scored_together(part: AnyPart) -> int:
    """The same for the parts of one group whose nulls are refitted at once."""
    return id(part.judged if isinstance(part, JudgedPart) else part)


def _scorer(parts: Sequence[AnyPart], *, straight: bool) -> Scorer:
    judged = [part for part in parts if isinstance(part, JudgedPart)]
    if judged:
        return scorer(judged, straight=straight)
    (measured,) = (part for part in parts if isinstance(part, MeasuredPart))
    return lambda outcomes: measured.drawn(outcomes[measured.outcome])


MakeCell = Callable[[Candidate], Cell | None]
"""Gives the cell of a candidate with its prior; None where the pair is not asked about."""


def placed_cells(group: Group, make: MakeCell) -> PlacedCells:
    """The cells that `make` gives for a group's candidates, each with its column there."""
    made = ((place, make(candidate)) for place, candidate in enumerate(group.candidates))
    return tuple((place, cell) for place, cell in made if cell is not None)


def rank(prior: Prior, observed: Scores) -> tuple[Ranked, ...]:
    """The prior's families by these scores of its cells, the best first; empty without cells."""
    if not prior.cells:
        return ()
    terms = log_terms(observed, prior)[0]
    odds = log_odds(log_sums(terms[None, :], prior.family, len(prior.families)))[0]
    ranked: list[Ranked] = []
    for number in np.argsort(-odds, kind="stable"):
        members = np.flatnonzero(prior.family == number).tolist()
        place = _best_place(prior.cells, terms, members)
        family_odds = float(odds[number])
        ranked.append(
            Ranked(
                family=prior.families[int(number)],
                log_odds=family_odds,
                posterior=float(1.0 / (1.0 + np.exp(-family_odds))),
                cell=prior.cells[place],
                u=float(observed.u[0, place]),
                v=float(observed.v[0, place]),
            )
        )
    return tuple(ranked)


def _best_place(cells: Sequence[Cell], terms: Floats, members: list[int]) -> int:
    """The best cell of a family's best variable."""
    totals: dict[str, float] = {}
    for place in members:
        name = cells[place].candidate.column.variable
        totals[name] = float(np.logaddexp(totals.get(name, -np.inf), terms[place]))
    best = max(totals, key=totals.__getitem__)
    own = [p for p in members if cells[p].candidate.column.variable == best]
    return max(own, key=terms.__getitem__)


class AskedGroup(Value, eq=False):
    """What is asked of one group of candidates: the cells by outcome, defects and then heights."""

    group: Group
    cells: Mapping[str, PlacedCells]


class PreparedLog(Value, eq=False, dict=True):
    """A log with its columns, what can be judged of them, and all that every search shares.

    `adjusted` is what every question is adjusted for, `asked` every cell there is.
    """

    log: AttemptLog
    columns: tuple[Column, ...]
    judged: Candidates
    adjusted: Nuisance
    heights: tuple[Height, ...]
    asked: tuple[AskedGroup, ...]

    @classmethod
    def of(
        cls,
        log: AttemptLog,
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
        adjusted = nuisance(log)
        its_columns = columns(log, course)
        judged = candidates(its_columns, log, adjusted)
        measured = heights(log, adjusted) if with_heights else ()
        asked = tuple(
            AskedGroup(
                group,
                _with_class(prior, _defect_cells(group, log, least_events))
                | _with_class(prior, _height_cells(group, measured)),
            )
            for group in judged.groups
        )
        return cls(log, its_columns, judged, adjusted, measured, asked)

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

    @functools.cached_property
    def first_search(self) -> Search:
        """The search of everything beside nothing, made ready once."""
        return self._search((), causes_only=False)

    def search(self, beside: Sequence[Candidate] = (), *, causes_only: bool = False) -> Search:
        """Make it ready, beside the variables already found; their families are not asked again."""
        if not beside and not causes_only:
            return self.first_search
        return self._search(beside, causes_only=causes_only)

    def _search(self, beside: Sequence[Candidate], *, causes_only: bool) -> Search:
        families = {variable(c.column.variable).family for c in beside}
        adjusted = self.adjusted
        if beside:
            adjusted = adjusted.with_columns(np.column_stack([c.filled() for c in beside]))
        by_name = {height.name: height for height in self.heights}
        parts: list[AnyPart] = []
        unsettled: dict[str, None] = {}
        for asked in self.asked:
            left = {
                outcome: cells
                for outcome, placed in asked.cells.items()
                if (cells := _left_to_ask(placed, families, causes_only=causes_only))
            }
            defects = [outcome for outcome in left if outcome not in by_name]
            if defects:
                truths = [self.log.truths(outcome) for outcome in defects]
                judged = JudgedGroup.of(asked.group, defects, truths, adjusted)
                for place, outcome in enumerate(defects):
                    if judged.fits.settled[place]:
                        parts.append(JudgedPart.of(judged, place, left[outcome]))
                    else:
                        unsettled[outcome] = None
            for outcome, cells in left.items():
                if outcome in by_name:
                    measured, known = by_name[outcome].measurements, by_name[outcome].known
                    part = MeasuredPart.of(asked.group, cells, measured, adjusted, known)
                    if part.fit.settled:
                        parts.append(part)
                    else:
                        unsettled[outcome] = None
        return Search(self.log, adjusted, tuple(parts), self.heights, tuple(unsettled))


def _left_to_ask(
    placed: PlacedCells, families: AbstractSet[str], *, causes_only: bool
) -> PlacedCells:
    """The cells of other families than these; without process fields where only causes count."""
    return tuple(
        (place, cell)
        for place, cell in placed
        if cell.family not in families and not (causes_only and cell.candidate.column.process)
    )


def _defect_cells(group: Group, log: AttemptLog, least_events: int) -> dict[str, PlacedCells]:
    """The cells about each outcome that the group's rows show often enough, and not always."""
    shares = log.shares()
    asked: dict[str, PlacedCells] = {}
    for outcome in log.outcomes(least_events):
        truth = log.truths(outcome)[group.rows]
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


def _with_class(prior: ClassPrior | None, cells: dict[str, PlacedCells]) -> dict[str, PlacedCells]:
    """The same cells with what a class expects of each."""
    if prior is None:
        return cells
    expected = class_expectations(prior)
    return {
        outcome: tuple((place, replace(c, by_class=expected.get(c.key))) for place, c in placed)
        for outcome, placed in cells.items()
    }
