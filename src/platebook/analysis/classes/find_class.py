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

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from typing import Protocol

import numpy as np

from platebook.analysis.classes.common_families import class_finding, first_common
from platebook.analysis.classes.search import (
    SEED,
    CellValues,
    ClassSearch,
    ClassShare,
    class_share,
    prepared_for_class,
)
from platebook.analysis.classes.sums import ClassSums
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.search import rank
from platebook.analysis.findings.deciding.null_logs import Share, best_log_odds
from platebook.analysis.findings.telling import sentences
from platebook.analysis.findings.telling.counted import Shown, count_and_tell
from platebook.analysis.findings.telling.results import (
    LEAST_FAILURES_FOR_CLAIMS,
    ClassFinding,
    ClassFindings,
    NotJudged,
    Personal,
    evidence,
)
from platebook.analysis.models.bayes_factors import ClassPrior, Key, Prior, class_expectations
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import LATELY, Window
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.values import Value, replace

MOST_COMMON = 3

PERSONAL_DRAWS = 99
PERSONAL_SHARE = 0.2

Courses = Course | Mapping[str, Course] | None
"""One course for all, or each setter's own: what fails in one may pass in another."""


class Lead(Value):
    """The cell that stands first, which way it points, and how often chance alone is as strong."""

    key: Key
    family: str
    more: bool
    posterior: float
    share: float


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
    sums = ClassSums.of(shares.items())
    return {name: sums.prior(number) for number, name in enumerate(sums.setters)}


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
    shown = Shown(lead.key.outcome, values.truth, values.slight)
    told = count_and_tell(values.candidate, cut, shown, more=lead.more)
    if not cutoffs.bear_out(told.counts):
        return None
    return Personal(
        setter=setter,
        variable=lead.key.variable,
        family=lead.family,
        defect=lead.key.outcome,
        direction=cutoffs.direction(values.candidate, more=lead.more),
        counts=told.counts,
        levels=told.levels,
        tested=told.tested,
        not_steady=told.not_steady,
        posterior=lead.posterior,
        share=lead.share,
        sentence=told.sentence,
    )
