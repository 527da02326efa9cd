"""What goes with failure in a class: what it shares, and what is one setter's own.

| function | answers |
|---|---|
| `find_class` | what the setters of a class share, and what stands first in one log alone |
| `find_from_answers` | the same, where somebody else answers for each setter |
| `priors_from` | what each setter's class, without the setter, expects |
| `lead_of` | what stands first in one setter's own log |

What the class shares is asked one family after the other. The setter's own share of the class's
question is judged once more by itself, with what the others expect. Of a share without enough
attempts or failures nothing is said.
"""

import functools
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.classes.search import (
    CLASS_DRAWS,
    SEED,
    CellValues,
    ClassSearch,
    ClassShare,
    class_share,
    prepared_for_class,
)
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.asking.search import Ranked, rank
from platebook.analysis.findings.deciding.null_logs import Share, best_log_odds
from platebook.analysis.findings.deciding.support import support_of
from platebook.analysis.findings.telling import sentences
from platebook.analysis.findings.telling.results import (
    CLAIM_SHARE,
    LEAST_FAILURES_FOR_CLAIMS,
    PER_DEVIATION,
    WORDS,
    ClassFinding,
    ClassFindings,
    Count,
    NotJudged,
    Personal,
    Status,
    evidence,
)
from platebook.analysis.models.bayes_factors import (
    ClassPrior,
    Key,
    Prior,
    class_expectations,
    log_odds,
    log_sums,
    log_terms,
)
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import LATELY, Window
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course

MOST_COMMON = 3
LEAST_SHOWN_SHARE = 0.5
OTHERS_SHARE = 0.1
"""Without its strongest setter a common habit may be weaker, but not as weak as chance."""

PERSONAL_DRAWS = 99
PERSONAL_SHARE = 0.2

Courses = Course | Mapping[str, Course] | None
"""One course for all, or each setter's own: what fails in one may pass in another."""


@dataclass(frozen=True, slots=True)
class Lead:
    """The cell that stands first, which way it points, and how often chance alone is as strong."""

    key: Key
    family: str
    more: bool
    posterior: float
    share: float


@dataclass(frozen=True, eq=False)
class CommonFamily:
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


class SetterAnswers(Protocol):
    """Who answers for each setter of a class, setter by setter: here, or in many processes."""

    def shares(self, beside: Sequence[Key] = (), /) -> Mapping[str, ClassShare]:
        """Every setter's share beside these cells, found before, in the order of the class."""

    def leads(
        self, priors: Mapping[str, ClassPrior | None], common: AbstractSet[str]
    ) -> Mapping[str, Lead]:
        """The leads of those setters who have one (`lead_of`)."""


class InOneGo:
    """Answers for a class from its attempts, one setter after the other."""

    def __init__(
        self,
        attempts: Mapping[str, Sequence[Attempt]],
        courses: Courses,
        seed: int,
        *,
        window: Window = LATELY,
    ) -> None:
        self._logs = {
            name: prepared_for_class(
                own,
                courses.get(name) if isinstance(courses, Mapping) else courses,
                window=window,
            )
            for name, own in attempts.items()
        }
        self._first: Mapping[str, ClassShare] = {}
        self._seed = seed

    def shares(self, beside: Sequence[Key] = (), /) -> Mapping[str, ClassShare]:
        """Every setter's share beside these cells, found before."""
        shares = {
            name: class_share(log, beside, seed=self._seed) for name, log in self._logs.items()
        }
        if not beside:
            self._first = shares
        return shares

    def leads(
        self, priors: Mapping[str, ClassPrior | None], common: AbstractSet[str]
    ) -> Mapping[str, Lead]:
        """The leads of those setters who have one (`lead_of`)."""
        asked = {name: lead_of(share, priors[name], common) for name, share in self._first.items()}
        return {name: lead for name, lead in asked.items() if lead is not None}


def priors_from(shares: Mapping[str, ClassShare]) -> dict[str, ClassPrior | None]:
    """What each setter's class, without the setter, expects; None for fewer than five others."""
    return dict(zip(shares, ClassSearch.of(shares).priors(), strict=True))


def find_class(
    attempts: Mapping[str, Sequence[Attempt]],
    *,
    course: Courses = None,
    seed: int = SEED,
    window: Window = LATELY,
) -> ClassFindings:
    """Find what goes with failure across a class, from each setter's attempts by setter.

    `course` is one for all, or each setter's own by setter, with its own rule of what fails.
    `window` says which attempts of each it rests on, as in `find`: a class has a present too, and
    who left it is asked about their own last twelve months.

    Pure. An empty class, or one with too few failures, is told by its counts alone.
    """
    return find_from_answers(InOneGo(attempts, course, seed, window=window))


def find_from_answers(asked: SetterAnswers) -> ClassFindings:
    """Find what goes with failure across a class by what is answered for each setter."""
    shares = asked.shares()
    failures = sum(share.failures for share in shares.values())
    common = _common(asked, shares) if failures >= LEAST_FAILURES_FOR_CLAIMS else []
    personal = _personal(asked, shares, {finding.family for finding in common})
    judged = {name for share in shares.values() for name in share.judged}
    defects = sorted({defect for share in shares.values() for defect in share.defects})
    attempts = sum(share.attempts for share in shares.values())
    checked = sentences.variables_checked(len(judged), defects)
    left_out = sum(share.left_out for share in shares.values())
    counts = sentences.class_counts(len(shares), attempts, failures, left_out)
    return ClassFindings(
        setters=len(shares),
        attempts=attempts,
        failures=failures,
        common=tuple(common),
        personal=tuple(personal),
        not_judged=_not_judged(shares.values(), judged),
        checked=checked,
        answer=(counts, sentences.class_outlook([c.status for c in common], failures), checked),
    )


def _common(asked: SetterAnswers, shares: Mapping[str, ClassShare]) -> list[ClassFinding]:
    findings: list[ClassFinding] = []
    before: list[Key] = []
    while len(findings) < MOST_COMMON:
        here = asked.shares(before) if before else shares
        first = first_common(ClassSearch.of(here))
        if first is None:
            break
        having = [
            name
            for name, share in here.items()
            if any(cell.key == first.key for cell in share.cells)
        ]
        values = [shares[name].values(first.key) for name in having]
        finding = class_finding(first, [v for v in values if v is not None])
        if not cutoffs.bear_out(finding.counts):
            break
        findings.append(finding)
        before.append(first.key)
        if finding.status == "lead":
            break
    return findings


def _personal(
    asked: SetterAnswers, shares: Mapping[str, ClassShare], common: AbstractSet[str]
) -> list[Personal]:
    leads = asked.leads(priors_from(shares), common) if shares else {}
    values = {name: shares[name].values(lead.key) for name, lead in leads.items()}
    told = (
        personal_finding(name, leads[name], value)
        for name, value in values.items()
        if value is not None
    )
    return [personal for personal in told if personal is not None]


def _not_judged(shares: Iterable[ClassShare], judged: AbstractSet[str]) -> tuple[NotJudged, ...]:
    reasons: dict[str, Counter[str]] = {}
    for share in shares:
        for unjudged in share.unjudged:
            reasons.setdefault(unjudged.variable, Counter())[unjudged.reason] += 1
    return tuple(
        NotJudged(variable=name, reason=counts.most_common(1)[0][0])
        for name, counts in reasons.items()
        if name not in judged
    )


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
    cut, counts = _counts(list(values), more=more)
    support = support_of(counts, "claim")
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
        counts=counts,
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
        sentence=sentences.went_with(cell.outcome, cut.phrase, cut.rest, counts),
        notes=tuple(notes),
    )


def _counts(having: list[CellValues], *, more: bool) -> tuple[Cut, tuple[Count, Count]]:
    """One cut through all setters' values, and the counts on both sides of it.

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
    return cut, cutoffs.count_sides(cut, truth, slight)


def lead_of(
    share: ClassShare, prior: ClassPrior | None, common: AbstractSet[str] = frozenset()
) -> Lead | None:
    """The setter's own lead; None where chance gives one as strong too often, or the class has it.

    Pure; `common` are the families that the class shares.
    """
    usual = np.flatnonzero(share.usual)
    if evidence(share.attempts, share.failures) == "counts only" or not len(usual):
        return None
    expected = class_expectations(prior)
    cells = [share.cells[place] for place in usual]
    weighed = Prior.of([replace(cell, by_class=expected.get(cell.key)) for cell in cells])
    v = share.own.v[:, usual]
    first = rank(weighed, Scores(share.own.u[:, usual], v))[0]
    if first.family in common:
        return None
    drawn = Scores(share.drawn.u(PERSONAL_DRAWS)[:, usual], np.repeat(v, PERSONAL_DRAWS, axis=0))
    as_strong = int((best_log_odds(drawn, weighed) >= first.log_odds).sum())
    by_chance = Share(as_strong, PERSONAL_DRAWS).value
    if by_chance > PERSONAL_SHARE:
        return None
    return Lead(first.cell.key, first.family, first.u >= 0.0, first.posterior, by_chance)


def personal_finding(setter: str, lead: Lead, values: CellValues) -> Personal | None:
    """The lead with its counts, as a person reads it; None where the counts speak against it."""
    cut = cutoffs.cut_rows(values.candidate, np.ones(len(values.truth), dtype=bool), more=lead.more)
    counts = cutoffs.count_sides(cut, values.truth, values.slight)
    if not cutoffs.bear_out(counts):
        return None
    return Personal(
        setter=setter,
        variable=lead.key.variable,
        family=lead.family,
        defect=lead.key.outcome,
        direction=cutoffs.direction(values.candidate, more=lead.more),
        counts=counts,
        posterior=lead.posterior,
        share=lead.share,
        sentence=sentences.went_with(lead.key.outcome, cut.phrase, cut.rest, counts),
    )
