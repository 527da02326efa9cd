"""Ranking: which families stand first in a log, each with its best variable and cell."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.candidates import Candidate, Candidates, candidates
from platebook.analysis.columns import columns
from platebook.analysis.counted import Counted
from platebook.analysis.nuisance import Nuisance, nuisance
from platebook.analysis.search import Search, prepare
from platebook.analysis.variables import variable
from platebook.analysis.weigh import Cell, Prior, log_bayes_factors, log_odds, log_sums
from platebook.practice.course import Course


@dataclass(frozen=True, eq=False)
class Question:
    """A log with its candidates and with what every question about it is adjusted for."""

    counted: Counted
    judged: Candidates
    adjusted: Nuisance

    @classmethod
    def of(cls, counted: Counted, course: Course | None = None) -> "Question":
        """Make the question of these attempts."""
        adjusted = nuisance(counted)
        return cls(counted, candidates(columns(counted, course), counted, adjusted), adjusted)

    def search(self, found: Sequence[Candidate] = (), *, causes_only: bool = False) -> Search:
        """Make it ready, beside the variables already found; their families are not asked again."""
        told = {variable(c.column.variable).family for c in found}

        def admit(candidate: Candidate) -> bool:
            family = variable(candidate.column.variable).family
            return family not in told and not (causes_only and candidate.column.process)

        adjusted = self.adjusted
        if found:
            adjusted = adjusted.adding(np.column_stack([c.filled() for c in found]))
        return prepare(self.counted, self.judged, adjusted, admit)


@dataclass(frozen=True, eq=False)
class Ranked:
    """One family: its posterior log odds and probability, and its best cell's place and scores."""

    family: str
    log_odds: float
    posterior: float
    place: int
    cell: Cell
    u: float
    v: float


def _best_place(search_cells: Sequence[Cell], terms: Floats, members: list[int]) -> int:
    totals: dict[str, float] = {}
    for place in members:
        name = search_cells[place].candidate.column.variable
        totals[name] = float(np.logaddexp(totals.get(name, -np.inf), terms[place]))
    best = max(totals, key=lambda name: totals[name])
    own = [p for p in members if search_cells[p].candidate.column.variable == best]
    return max(own, key=lambda p: float(terms[p]))


def rank(search: Search) -> tuple[Ranked, ...]:
    """All families, the best first; empty where nothing could be asked."""
    cells = search.cells
    if not cells:
        return ()
    prior = Prior.of(cells)
    observed = search.observed()
    u, v = observed.u, observed.v
    terms = (prior.log_share + log_bayes_factors(u, v, prior))[0]
    odds = log_odds(log_sums(terms[None, :], prior.family, len(prior.families)))[0]
    found: list[Ranked] = []
    for number in np.argsort(-odds, kind="stable"):
        members = np.flatnonzero(prior.family == number).tolist()
        place = _best_place(cells, terms, members)
        one = float(odds[number])
        found.append(
            Ranked(
                family=prior.families[int(number)],
                log_odds=one,
                posterior=float(1.0 / (1.0 + np.exp(-one))),
                place=place,
                cell=cells[place],
                u=float(u[0, place]),
                v=float(v[0, place]),
            )
        )
    return tuple(found)
