"""What stands first in a class as a whole, how often chance does as much, and its finding.

Asked of sums over the setters' own scores (`search`). Without cells, or where chance gives as
strong a first family too often, there is none.
"""

import functools
from collections.abc import Iterable

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.classes.search import CLASS_DRAWS, CellValues, ClassSearch
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.search import Ranked, rank
from platebook.analysis.findings.deciding.null_logs import Share, best_log_odds
from platebook.analysis.findings.deciding.support import support_of
from platebook.analysis.findings.telling import sentences
from platebook.analysis.findings.telling.counted import Counted, Shown, count_and_tell
from platebook.analysis.findings.telling.results import (
    CLAIM_SHARE,
    PER_DEVIATION,
    WORDS,
    ClassFinding,
    Status,
)
from platebook.analysis.models.bayes_factors import Key, log_odds, log_sums, log_terms
from platebook.analysis.models.scores import Scores
from platebook.values import Value, replace

LEAST_SHOWN_SHARE = 0.5
OTHERS_SHARE = 0.1
"""Without its strongest setter a common habit may be weaker, but not as weak as chance."""


class CommonFamily(Value, eq=False, dict=True):
    """The family that stands first in a class, and how often chance alone is as strong.

    `share_of_others` is the same without the setter in whom it is strongest, in the class and in
    every drawn one: what one heavy log carries is not shared.
    """

    search: ClassSearch
    ranked: Ranked
    share: float
    share_of_others: float

    @property
    def key(self) -> Key:
        """What the family's best cell asks, the same in every setter's log."""
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
        return rank(self.search.prior, without)[0].family == self.ranked.family

    def _own(self, number: int) -> tuple[float, float]:
        """U and V of the cell in one setter; nothing where they do not have it."""
        here = np.flatnonzero(self.search.places[number] == self._place)
        own = self.search.shares[number].own
        return float(own.u[0, here].sum()), float(own.v[0, here].sum())


def first_common(search: ClassSearch) -> CommonFamily | None:
    """What stands first in a class; None where nothing is asked or chance is as strong too often.

    Draws of the whole class are sums of the setters' own draws.
    """
    if not search.cells:
        return None
    ranked = rank(search.prior, search.observed())
    best = best_log_odds(search.drawn, search.prior)
    share = Share(int((best >= ranked[0].log_odds).sum()), CLASS_DRAWS).value
    if share > LEAST_SHOWN_SHARE:
        return None
    return CommonFamily(search, ranked[0], share, _share_of_others(search))


def _share_of_others(search: ClassSearch) -> float:
    """How often chance gives as strong a first family with its strongest setter left out."""
    observed = _first_of_others(search, search.observed(), drawn=False)[0]
    drawn = _first_of_others(search, search.drawn, drawn=True)
    return Share(int((drawn >= observed).sum()), CLASS_DRAWS).value


def _first_of_others(search: ClassSearch, scores: Scores, *, drawn: bool) -> Floats:
    """The log odds (d) that each class's first family keeps without its strongest setter."""
    prior = search.prior
    terms = log_terms(scores, prior)
    first = log_sums(terms, prior.family, len(prior.families)).argmax(axis=1)
    best = np.where(prior.family == first[:, None], terms, -np.inf).argmax(axis=1)
    up = scores.u[np.arange(len(best)), best] >= 0.0
    left = search.without_strongest(best, up, drawn=drawn)
    odds = log_odds(log_sums(log_terms(left, prior), prior.family, len(prior.families)))
    return np.asarray(odds[np.arange(len(first)), first], dtype=float)


def class_finding(common: CommonFamily, values: Iterable[CellValues]) -> ClassFinding:
    """The finding with its counts over the setters' values, as a person reads it."""
    ranked, cell = common.ranked, common.ranked.cell
    beta, error = ranked.posterior_of_effect()
    more = beta >= 0.0
    zs = common.zs()
    same_way = sum((z > 0) == more for z in zs)
    shared = common.stays_first() and common.share_of_others <= OTHERS_SHARE
    told = _counted(list(values), cell.outcome, more=more)
    support = support_of(told.counts, "claim")
    claimed = common.share <= CLAIM_SHARE and shared
    borne_out = support.low > 0.0
    status: Status = "claim" if claimed and borne_out else "lead"
    notes = [sentences.holds_for(same_way, len(zs))]
    if not shared:
        notes.append(sentences.one_setter_carries_it())
    if claimed and not borne_out:
        notes.append(sentences.holds_no_difference())
    if status == "lead":
        notes.append(sentences.chance(common.share, "class"))
    return ClassFinding(
        variable=cell.candidate.column.variable,
        family=ranked.family,
        defect=cell.outcome,
        direction=cutoffs.direction(cell.candidate, more=more),
        status=status,
        counts=told.counts,
        levels=told.levels,
        tested=told.tested,
        not_steady=told.not_steady,
        between=told.between,
        support=support.model_copy(update={"word": WORDS[status]}),
        odds_ratio_per=PER_DEVIATION,
        odds_ratio=float(np.exp(beta)),
        low=float(np.exp(beta - 1.96 * error)),
        high=float(np.exp(beta + 1.96 * error)),
        posterior=ranked.posterior,
        share=common.share,
        holds_for=same_way,
        of_setters=len(zs),
        stays_first=shared,
        sentence=told.sentence,
        notes=told.with_notes(tuple(notes)),
    )


def _counted(having: list[CellValues], defect: str, *, more: bool) -> Counted:
    """One cut through all setters' values, with the counts and the sentence that tells them.

    For showing only: nothing is decided on merged rows.
    """
    first = having[0].candidate
    values = np.concatenate([own.candidate.column.values for own in having])
    wanted = [own.candidate.column.target for own in having]
    by_attempt = [target for target in wanted if isinstance(target, np.ndarray)]
    target = np.concatenate(by_attempt) if by_attempt else first.column.target
    merged = replace(first, column=replace(first.column, values=values, target=target))
    truth, slight = (
        np.concatenate([getattr(own, name) for own in having]) for name in ("truth", "slight")
    )
    cut = cutoffs.cut_rows(merged, np.ones(len(values), dtype=bool), more=more)
    return count_and_tell(merged, cut, Shown(defect, truth, slight), more=more)
