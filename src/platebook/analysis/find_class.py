"""What goes with failure in a class: what it shares, and what is one setter's own.

| function | answers |
|---|---|
| `find_class` | what the setters of a class share, and what stands first in one log alone |
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from platebook.analysis import shown, words
from platebook.analysis.bootstrap import Draws, drawer, share_as_strong
from platebook.analysis.class_findings import ClassFinding, ClassFindings, Personal
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.class_search import ClassSearch, class_search
from platebook.analysis.counted import ANY, counted
from platebook.analysis.cutoffs import Cut
from platebook.analysis.cutoffs import cut as cut_at
from platebook.analysis.evidence import CLAIM_SHARE, evidence
from platebook.analysis.findings import Count, NotJudged
from platebook.analysis.ranking import Question, Ranked, rank
from platebook.analysis.scores import Scores
from platebook.analysis.weigh import Key, Prior
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course

SEED = 20260101
CLASS_DRAWS = 299
PERSONAL_DRAWS = 99
MOST_COMMON = 3
LEAST_SHOWN_SHARE = 0.5
LEAST_FAILURES_OF_A_CLASS = 8
PERSONAL_SHARE = 0.2


Courses = Course | Mapping[str, Course] | None
"""One course for all, or each setter's own: what fails in one may pass in another."""


def _questions(attempts: Mapping[str, Sequence[Attempt]], courses: Courses) -> dict[str, Question]:
    found: dict[str, Question] = {}
    for setter, own in attempts.items():
        course = courses.get(setter) if isinstance(courses, Mapping) else courses
        found[setter] = Question.of(counted(own, course), course, with_heights=False)
    return found


def class_priors(
    attempts: Mapping[str, Sequence[Attempt]], *, course: Courses = None
) -> dict[str, ClassPrior | None]:
    """What each setter's class, without the setter, expects; None for fewer than five others."""
    if not attempts:
        return {}
    search = class_search(_questions(attempts, course))
    own = search.observed()
    return {setter: search.prior(own, i) for i, setter in enumerate(search.setters)}


def find_class(
    attempts: Mapping[str, Sequence[Attempt]], *, course: Courses = None, seed: int = SEED
) -> ClassFindings:
    """Find what goes with failure across a class, from each setter's attempts by setter.

    `course` is one for all, or each setter's own by setter, with its own rule of what fails.

    Pure. An empty class, or one with too few failures, is told by its counts alone.
    """
    questions = _questions(attempts, course)
    logs = [question.counted for question in questions.values()]
    failures = sum(log.failures for log in logs)
    rng = np.random.default_rng([seed, len(logs), sum(map(len, logs))])
    common = _common(questions, rng) if failures >= LEAST_FAILURES_OF_A_CLASS else []
    families = {one.family for one in common}
    personal = _personal(questions, families, rng)
    judged = {v for question in questions.values() for v in question.judged.variables()}
    defects = sorted({d for log in logs for d in log.outcomes() if d != ANY})
    checked = words.checked(len(judged), defects)
    return ClassFindings(
        setters=len(logs),
        attempts=sum(map(len, logs)),
        failures=failures,
        common=tuple(common),
        personal=tuple(personal),
        not_judged=_not_judged(questions, judged),
        checked=checked,
        answer=(words.class_counts(logs), words.class_outlook(len(common)), checked),
    )


def _not_judged(questions: Mapping[str, Question], judged: set[str]) -> tuple[NotJudged, ...]:
    reasons: dict[str, Counter[str]] = {}
    for question in questions.values():
        for one in question.judged.unjudged:
            reasons.setdefault(one.variable, Counter())[one.reason] += 1
    return tuple(
        NotJudged(variable=name, reason=counts.most_common(1)[0][0])
        for name, counts in reasons.items()
        if name not in judged
    )


@dataclass(frozen=True, eq=False)
class _Shared:
    search: ClassSearch
    own: tuple[Scores, ...]
    ranked: Ranked
    share: float

    @property
    def place(self) -> int:
        keys = [cell.key for cell in self.search.cells]
        return keys.index(self.ranked.cell.key)

    def zs(self) -> list[float]:
        """The cell's z in each setter who has it."""
        found = []
        for scores, places in zip(self.own, self.search.places, strict=True):
            here = np.flatnonzero(places == self.place)
            if len(here) and scores.v[0, here[0]] > 1e-6:
                found.append(float(scores.u[0, here[0]] / np.sqrt(scores.v[0, here[0]])))
        return found

    def stays_first(self) -> bool:
        """Whether the family is still first without the setter in whom it is strongest."""
        sign = np.sign(self.ranked.u)
        strongest, best = 0, -np.inf
        for number, (scores, places) in enumerate(zip(self.own, self.search.places, strict=True)):
            pull = sign * float(scores.u[0, places == self.place].sum())
            if pull > best:
                strongest, best = number, pull
        without = [
            Scores(scores.u * 0.0, scores.v * 0.0) if number == strongest else scores
            for number, scores in enumerate(self.own)
        ]
        return rank(self.search.cells, self.search.added(without))[0].family == self.ranked.family


def _common(questions: Mapping[str, Question], rng: np.random.Generator) -> list[ClassFinding]:
    found: list[ClassFinding] = []
    before: list[Key] = []
    while len(found) < MOST_COMMON:
        search = class_search(questions, before)
        own = search.observed()
        ranked = rank(search.cells, search.added(own)) if search.cells else ()
        if not ranked:
            break
        rows = max(len(one.counted) for one in search.searches)
        share = share_as_strong(
            ranked[0].log_odds,
            search.drawer(),
            Prior.of(search.cells),
            rng,
            draws=Draws.of(CLASS_DRAWS, rows),
        ).value
        if share > LEAST_SHOWN_SHARE:
            break
        one = _class_finding(_Shared(search, own, ranked[0], share))
        found.append(one)
        before.append(ranked[0].cell.key)
        if one.status == "lead":
            break
    return found


def _class_finding(found: _Shared) -> ClassFinding:
    ranked, cell = found.ranked, found.ranked.cell
    precision = ranked.v + cell.sd**-2
    beta = (ranked.u + cell.mean * cell.sd**-2) / precision
    error = precision**-0.5
    more = beta >= 0.0
    zs = found.zs()
    stays = found.stays_first()
    claimed = found.share <= CLAIM_SHARE and stays
    cut, counts = _class_counts(found, more=more)
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


def _class_counts(found: _Shared, *, more: bool) -> tuple[Cut, tuple[Count, Count]]:
    """One cut through all setters' values, and the counts on both sides of it.

    For showing only: nothing is decided on merged rows.
    """
    key = found.ranked.cell.key
    having = [
        (search.counted, cell.candidate)
        for search in found.search.searches
        for cell in search.cells
        if cell.key == key
    ]
    first = having[0][1]
    values = np.concatenate([candidate.column.values for _, candidate in having])
    wanted = [candidate.column.target for _, candidate in having]
    by_attempt = [target for target in wanted if isinstance(target, np.ndarray)]
    target = np.concatenate(by_attempt) if by_attempt else first.column.target
    merged = replace(first, column=replace(first.column, values=values, target=target))
    truth = np.concatenate([log.truths(key.outcome) for log, _ in having])
    cut = cut_at(merged, np.ones(len(values), dtype=bool), more=more)
    return cut, shown.counts(cut, truth)


def _personal(
    questions: Mapping[str, Question], common: set[str], rng: np.random.Generator
) -> list[Personal]:
    if not questions:
        return []
    search = class_search(questions)
    own = search.observed()
    found: list[Personal] = []
    for number, (setter, question) in enumerate(questions.items()):
        log = question.counted
        if evidence(len(log), log.failures) == "counts only":
            continue
        expecting = replace(question, prior=search.prior(own, number)).search(causes_only=True)
        ranked = rank(expecting.cells, expecting.observed())
        if not ranked or ranked[0].family in common:
            continue
        share = share_as_strong(
            ranked[0].log_odds,
            drawer(expecting, straight=True),
            Prior.of(expecting.cells),
            rng,
            draws=Draws.of(PERSONAL_DRAWS, len(log)),
        ).value
        if share <= PERSONAL_SHARE:
            found.append(_personal_lead(setter, question, ranked[0], share))
    return found


def _personal_lead(setter: str, question: Question, ranked: Ranked, share: float) -> Personal:
    cell = ranked.cell
    more = ranked.u >= 0.0
    cut = shown.split(cell.candidate, question.counted, more=more)
    counts = shown.counts(cut, question.counted.truths(cell.outcome))
    return Personal(
        setter=setter,
        variable=cell.candidate.column.variable,
        family=ranked.family,
        defect=cell.outcome,
        direction=shown.direction(cell.candidate, more=more),
        posterior=ranked.posterior,
        share=share,
        sentence=words.went_with(cell.outcome, cut.phrase, cut.rest, counts),
    )
