"""Ranking: which families stand first in a log, each with its best variable and cell."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.candidates import Candidate, Candidates, candidates
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.columns import columns
from platebook.analysis.counted import LEAST_EVENTS, Counted
from platebook.analysis.heights import Height, heights
from platebook.analysis.nuisance import Nuisance, nuisance
from platebook.analysis.scores import Scores
from platebook.analysis.search import Search, prepare
from platebook.analysis.variables import variable
from platebook.analysis.weigh import Cell, Prior, log_odds, log_sums, log_terms
from platebook.practice.course import Course


@dataclass(frozen=True, eq=False)
class Question:
    """A log with its candidates and with what every question about it is adjusted for."""

    counted: Counted
    judged: Candidates
    adjusted: Nuisance
    prior: ClassPrior | None = None
    heights: tuple[Height, ...] = ()

    @classmethod
    def of(
        cls,
        counted: Counted,
        course: Course | None = None,
        prior: ClassPrior | None = None,
        *,
        with_heights: bool = True,
    ) -> "Question":
        """Make the question of these attempts; `prior` is what the setter's class has shown.

        Heights and tilts that were measured are asked about too, unless told otherwise.
        """
        adjusted = nuisance(counted)
        judged = candidates(columns(counted, course), counted, adjusted)
        measured = heights(counted, adjusted) if with_heights else ()
        return cls(counted, judged, adjusted, prior, measured)

    def search(
        self,
        found: Sequence[Candidate] = (),
        *,
        causes_only: bool = False,
        least_events: int = LEAST_EVENTS,
    ) -> Search:
        """Make it ready, beside the variables already found; their families are not asked again."""
        told = {variable(c.column.variable).family for c in found}

        def admit(candidate: Candidate) -> bool:
            family = variable(candidate.column.variable).family
            return family not in told and not (causes_only and candidate.column.process)

        adjusted = self.adjusted
        if found:
            adjusted = adjusted.adding(np.column_stack([c.filled() for c in found]))
        made = prepare(
            self.counted,
            self.judged,
            adjusted,
            admit=admit,
            least_events=least_events,
            heights=self.heights,
        )
        return made if self.prior is None else made.expecting(self.prior)


@dataclass(frozen=True, eq=False)
class Ranked:
    """One family: its posterior log odds and probability, and its best cell with U and V."""

    family: str
    log_odds: float
    posterior: float
    cell: Cell
    u: float
    v: float


def _best_place(cells: Sequence[Cell], terms: Floats, members: list[int]) -> int:
    totals: dict[str, float] = {}
    for place in members:
        name = cells[place].candidate.column.variable
        totals[name] = float(np.logaddexp(totals.get(name, -np.inf), terms[place]))
    best = max(totals, key=lambda name: totals[name])
    own = [p for p in members if cells[p].candidate.column.variable == best]
    return max(own, key=lambda p: float(terms[p]))


def rank(cells: Sequence[Cell], observed: Scores) -> tuple[Ranked, ...]:
    """All families, the best first; empty where nothing could be asked."""
    if not cells:
        return ()
    prior = Prior.of(cells)
    terms = log_terms(observed, prior)[0]
    odds = log_odds(log_sums(terms[None, :], prior.family, len(prior.families)))[0]
    found: list[Ranked] = []
    for number in np.argsort(-odds, kind="stable"):
        place = _best_place(cells, terms, np.flatnonzero(prior.family == number).tolist())
        one = float(odds[number])
        found.append(
            Ranked(
                family=prior.families[int(number)],
                log_odds=one,
                posterior=float(1.0 / (1.0 + np.exp(-one))),
                cell=cells[place],
                u=float(observed.u[0, place]),
                v=float(observed.v[0, place]),
            )
        )
    return tuple(found)
