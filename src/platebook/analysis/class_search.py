"""The search over a class: score statistics summed over setters, each with a null of their own.

Rows are never merged: what differs between people (how good, at which grade, with which bench)
would come out as a cause. Summed statistics ask only what goes with failure within each setter.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Whole
from platebook.analysis.bootstrap import Drawer, drawer
from platebook.analysis.candidates import Candidate
from platebook.analysis.class_prior import LEAST_SETTERS, CellSum, ClassPrior
from platebook.analysis.ranking import Question
from platebook.analysis.scores import Scores
from platebook.analysis.search import Search
from platebook.analysis.weigh import Cell, Key, cell

LEAST_EVENTS_OF_A_SETTER = 1


@dataclass(frozen=True, eq=False)
class ClassSearch:
    """Every setter's search, the class's cells, and where each setter's cells lie among them."""

    setters: tuple[str, ...]
    searches: tuple[Search, ...]
    cells: tuple[Cell, ...]
    places: tuple[Whole, ...]

    def added(self, own: Sequence[Scores]) -> Scores:
        """The setters' U and V summed into the class's cells (d by cells)."""
        draws = len(own[0].u) if own else 1
        u, v = np.zeros((draws, len(self.cells))), np.zeros((draws, len(self.cells)))
        for scores, places in zip(own, self.places, strict=True):
            u[:, places] += scores.u
            v[:, places] += scores.v
        return Scores(u, v)

    def observed(self) -> tuple[Scores, ...]:
        """Each setter's own U and V (1 by that setter's cells)."""
        return tuple(search.observed() for search in self.searches)

    def drawer(self) -> Drawer:
        """A function that draws d classes with nothing behind any setter's failures."""
        drawers = [drawer(search, straight=True) for search in self.searches]
        return lambda rng, draws: self.added([one(rng, draws) for one in drawers])

    def prior(self, own: Sequence[Scores], without: int) -> ClassPrior | None:
        """The sums of all setters but one; None for fewer than five."""
        if len(self.setters) - 1 < LEAST_SETTERS:
            return None
        total, one = self.added(own), own[without]
        u, v = total.u[0].copy(), total.v[0].copy()
        u[self.places[without]] -= one.u[0]
        v[self.places[without]] -= one.v[0]
        sums = [
            CellSum(**c.key._asdict(), u=u[i], v=v[i], weight=c.weight, mean=c.mean, sd=c.sd)
            for i, c in enumerate(self.cells)
        ]
        return ClassPrior(setters=len(self.setters) - 1, cells=tuple(sums))


def _shares(searches: Sequence[Search]) -> dict[str, float]:
    counts: dict[str, int] = {}
    for search in searches:
        for defect, bad in search.counted.failing.items():
            counts[defect] = counts.get(defect, 0) + int(bad.sum())
    total = sum(counts.values())
    return {defect: count / total for defect, count in counts.items() if count}


def class_search(questions: Mapping[str, Question], found: Sequence[Key] = ()) -> ClassSearch:
    """Make a class ready, beside the cells already found; only causes are asked."""
    searches = tuple(
        question.search(
            _candidates(question, found), causes_only=True, least_events=LEAST_EVENTS_OF_A_SETTER
        )
        for question in questions.values()
    )
    shares = _shares(searches)
    cells: dict[Key, Cell] = {}
    for search in searches:
        for one in search.cells:
            if one.key not in cells:
                made = cell(one.candidate, one.outcome, shares)
                cells[one.key] = made if made is not None else one
    numbers = {key: place for place, key in enumerate(cells)}
    places = tuple(
        np.array([numbers[one.key] for one in search.cells], dtype=np.intp) for search in searches
    )
    return ClassSearch(tuple(questions), searches, tuple(cells.values()), places)


def _candidates(question: Question, found: Sequence[Key]) -> list[Candidate]:
    wanted = {(key.variable, key.form, key.level) for key in found}
    return [
        candidate
        for group in question.judged.groups
        for candidate in group.candidates
        if (candidate.column.variable, candidate.form, candidate.column.level or "") in wanted
    ]
