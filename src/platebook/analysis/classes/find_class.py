"""What goes with failure in a class: what it shares, and what is one setter's own.

| function | answers |
|---|---|
| `find_class` | what the setters of a class share, and what stands first in one log alone |
| `found_in` | the same, where somebody else answers for each setter |
| `priors_from` | what each setter's class, without the setter, expects |
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from typing import Protocol

from platebook.analysis.classes import common_findings
from platebook.analysis.classes.common_findings import Lead, lead_of
from platebook.analysis.classes.results import ClassFinding, ClassFindings, Personal
from platebook.analysis.classes.search import (
    SEED,
    ClassSearch,
    ClassShare,
    class_share,
    prepared_for_class,
)
from platebook.analysis.findings import sentences
from platebook.analysis.findings.results import NotJudged
from platebook.analysis.models.bayes_factors import Key
from platebook.analysis.models.class_prior import ClassPrior
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course

MOST_COMMON = 3
LEAST_FAILURES_OF_A_CLASS = 8


Courses = Course | Mapping[str, Course] | None
"""One course for all, or each setter's own: what fails in one may pass in another."""


class Asked(Protocol):
    """Who answers for each setter of a class, setter by setter: here, or in many processes."""

    def shares(self, found: Sequence[Key] = ()) -> Mapping[str, ClassShare]:
        """Every setter's share beside the cells already found, in the order of the class."""

    def leads(
        self, priors: Mapping[str, ClassPrior | None], common: AbstractSet[str]
    ) -> Mapping[str, Lead]:
        """The leads of those setters who have one (`lead_of`)."""


class InOneGo:
    """Answers for a class from its attempts, one setter after the other."""

    def __init__(
        self, attempts: Mapping[str, Sequence[Attempt]], courses: Courses, seed: int
    ) -> None:
        self._logs = {
            name: prepared_for_class(
                own, courses.get(name) if isinstance(courses, Mapping) else courses
            )
            for name, own in attempts.items()
        }
        self._first: Mapping[str, ClassShare] = {}
        self._seed = seed

    def shares(self, found: Sequence[Key] = ()) -> Mapping[str, ClassShare]:
        """Every setter's share beside the cells already found."""
        made = {name: class_share(log, found, seed=self._seed) for name, log in self._logs.items()}
        if not found:
            self._first = made
        return made

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
    attempts: Mapping[str, Sequence[Attempt]], *, course: Courses = None, seed: int = SEED
) -> ClassFindings:
    """Find what goes with failure across a class, from each setter's attempts by setter.

    `course` is one for all, or each setter's own by setter, with its own rule of what fails.

    Pure. An empty class, or one with too few failures, is told by its counts alone.
    """
    return found_in(InOneGo(attempts, course, seed))


def found_in(asked: Asked) -> ClassFindings:
    """Find what goes with failure across a class by what is answered for each setter."""
    shares = asked.shares()
    failures = sum(share.failures for share in shares.values())
    common = _common(asked, shares) if failures >= LEAST_FAILURES_OF_A_CLASS else []
    personal = _personal(asked, shares, {finding.family for finding in common})
    judged = {name for share in shares.values() for name in share.judged}
    defects = sorted({defect for share in shares.values() for defect in share.defects})
    attempts = sum(share.attempts for share in shares.values())
    checked = sentences.checked(len(judged), defects)
    counts = sentences.class_counts(len(shares), attempts, failures)
    return ClassFindings(
        setters=len(shares),
        attempts=attempts,
        failures=failures,
        common=tuple(common),
        personal=tuple(personal),
        not_judged=_not_judged(shares.values(), judged),
        checked=checked,
        answer=(counts, sentences.class_outlook(len(common)), checked),
    )


def _common(asked: Asked, shares: Mapping[str, ClassShare]) -> list[ClassFinding]:
    findings: list[ClassFinding] = []
    before: list[Key] = []
    while len(findings) < MOST_COMMON:
        here = asked.shares(before) if before else shares
        first = common_findings.first_common(ClassSearch.of(here))
        if first is None:
            break
        having = [
            name
            for name, share in here.items()
            if any(cell.key == first.key for cell in share.cells)
        ]
        values = [shares[name].values(first.key) for name in having]
        finding = common_findings.class_finding(first, [v for v in values if v is not None])
        findings.append(finding)
        before.append(first.key)
        if finding.status == "lead":
            break
    return findings


def _personal(
    asked: Asked, shares: Mapping[str, ClassShare], common: AbstractSet[str]
) -> list[Personal]:
    leads = asked.leads(priors_from(shares), common) if shares else {}
    values = {name: shares[name].values(lead.key) for name, lead in leads.items()}
    return [
        common_findings.personal_finding(name, leads[name], value)
        for name, value in values.items()
        if value is not None
    ]


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
