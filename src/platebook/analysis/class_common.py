"""What a class shares: one family after the other, each beside those found before it."""

import functools
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from platebook.analysis import shown, words
from platebook.analysis.bootstrap import Share, best_log_odds
from platebook.analysis.class_findings import ClassFinding
from platebook.analysis.class_search import ClassSearch
from platebook.analysis.class_share import CLASS_DRAWS, CellValues
from platebook.analysis.cutoffs import Cut
from platebook.analysis.cutoffs import cut as cut_at
from platebook.analysis.evidence import CLAIM_SHARE
from platebook.analysis.findings import Count
from platebook.analysis.ranking import Ranked, rank
from platebook.analysis.weigh import Key, Prior

LEAST_SHOWN_SHARE = 0.5


@dataclass(frozen=True, eq=False)
class Shared:
    """The family that stands first in a class, and how often chance alone is as strong."""

    search: ClassSearch
    ranked: Ranked
    share: float

    @property
    def key(self) -> Key:
        """Its cell."""
        return self.ranked.cell.key

    @functools.cached_property
    def _place(self) -> int:
        return [cell.key for cell in self.search.cells].index(self.key)

    def zs(self) -> list[float]:
        """The cell's z in each setter who has it."""
        pairs = (self._own(number) for number in range(len(self.search.shares)))
        return [float(u / np.sqrt(v)) for u, v in pairs if v > 1e-6]

    def stays_first(self) -> bool:
        """Whether the family is still first without the setter in whom it is strongest."""
        sign = np.sign(self.ranked.u)
        pulls = [sign * self._own(number)[0] for number in range(len(self.search.shares))]
        without = self.search.observed(without=int(np.argmax(pulls)))
        return rank(self.search.cells, without)[0].family == self.ranked.family

    def _own(self, number: int) -> tuple[float, float]:
        """U and V of the cell in one setter; nothing where they do not have it."""
        here = np.flatnonzero(self.search.places[number] == self._place)
        own = self.search.shares[number].own
        return float(own.u[0, here].sum()), float(own.v[0, here].sum())


def first_shared(search: ClassSearch) -> Shared | None:
    """What stands first in a class; None where nothing is asked or chance is as strong too often.

    Draws of the whole class are sums of the setters' own draws.
    """
    ranked = rank(search.cells, search.observed()) if search.cells else ()
    if not ranked:
        return None
    best = best_log_odds(search.drawn(), Prior.of(search.cells))
    share = Share(int((best >= ranked[0].log_odds).sum()), CLASS_DRAWS).value
    return Shared(search, ranked[0], share) if share <= LEAST_SHOWN_SHARE else None


def told(found: Shared, values: Iterable[CellValues]) -> ClassFinding:
    """The finding with its counts over the setters' values, as a person reads it."""
    ranked, cell = found.ranked, found.ranked.cell
    precision = ranked.v + cell.sd**-2
    beta = (ranked.u + cell.mean * cell.sd**-2) / precision
    error = precision**-0.5
    more = beta >= 0.0
    zs = found.zs()
    stays = found.stays_first()
    claimed = found.share <= CLAIM_SHARE and stays
    cut, counts = _counts(list(values), more=more)
    notes = [words.holds_for(sum((z > 0) == more for z in zs), len(zs))]
    if not stays:
        notes.append(words.one_setter_carries_it())
    if not claimed:
        notes.append(words.chance(found.share, "class"))
    return ClassFinding(
        variable=cell.candidate.column.variable,
        family=ranked.family,
        defect=cell.outcome,
        direction=shown.direction(cell.candidate, more=more),
        status="claim" if claimed else "lead",
        counts=counts,
        odds_ratio=float(np.exp(beta)),
        low=float(np.exp(beta - 1.96 * error)),
        high=float(np.exp(beta + 1.96 * error)),
        posterior=ranked.posterior,
        share=found.share,
        holds_for=sum((z > 0) == more for z in zs),
        of_setters=len(zs),
        stays_first=stays,
        sentence=words.went_with(cell.outcome, cut.phrase, cut.rest, counts),
        notes=tuple(notes),
    )


def _counts(having: list[CellValues], *, more: bool) -> tuple[Cut, tuple[Count, Count]]:
    """One cut through all setters' values, and the counts on both sides of it.

    For showing only: nothing is decided on merged rows.
    """
    first = having[0].candidate
    values = np.concatenate([one.candidate.column.values for one in having])
    wanted = [one.candidate.column.target for one in having]
    by_attempt = [target for target in wanted if isinstance(target, np.ndarray)]
    target = np.concatenate(by_attempt) if by_attempt else first.column.target
    merged = replace(first, column=replace(first.column, values=values, target=target))
    truth = np.concatenate([one.truth for one in having])
    cut = cut_at(merged, np.ones(len(values), dtype=bool), more=more)
    return cut, shown.counts(cut, truth)
