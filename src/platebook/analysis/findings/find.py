"""What goes with failure in one setter's log.

| function | answers |
|---|---|
| `find` | which variables went with which defects, with counts, or why nothing can be said |
| `mechanisms` | how defects came about by definition: counted, never offered as a discovery |

A stone stands high because its seat was cut shallow. That says how it came about, not what to
change; what went with the shallow cuts is the next question.
"""

from collections.abc import Callable, Iterable, Sequence

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.findings import cutoffs, sentences
from platebook.analysis.findings.claims import (
    LEAD_SHARE,
    LEADS,
    Decisions,
    FoundFamily,
    LeadLimit,
    claimed_families,
    standing_out,
)
from platebook.analysis.findings.clock_patterns import clock_patterns
from platebook.analysis.findings.measured_responses import MeasuredPart
from platebook.analysis.findings.results import (
    Count,
    Finding,
    Findings,
    MoreNeeded,
    NotJudged,
    evidence,
    to_claim,
    to_leads,
)
from platebook.analysis.findings.search import PreparedLog
from platebook.analysis.findings.shifts import (
    chain_shifts,
    defect_shown,
    height_effect,
    height_finding,
    height_of,
)
from platebook.analysis.findings.upstream import upstream
from platebook.analysis.measurements.seat_readings import NO_TOOLS, Worth
from platebook.analysis.models.bayes_factors import ClassPrior, Effect, effect
from platebook.analysis.variables.attempt_log import ANY, AttemptLog, attempt_log
from platebook.analysis.variables.columns import Column, variable
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.fields import ranks

SEED = 20260101

LEAST_MEASURED = 3
LEAST_SHARE, LEAST_GAP = 0.5, 0.2
"""A mechanism is shown where it holds for half of the defect's attempts and clearly more than
elsewhere."""


def find(
    attempts: Sequence[Attempt],
    *,
    course: Course | None = None,
    prior: ClassPrior | None = None,
    seed: int = SEED,
    worth: Worth = NO_TOOLS,
    decisions: Decisions | None = None,
) -> Findings:
    """Find what goes with failure; pure, so the same attempts and seed give the same answer.

    `prior` is what the setter's class, without the setter, has shown (`find_class.priors_from`).
    `worth` says what readings of seats are worth by the tool that took them (`seat_readings`).
    `decisions` keeps what checkpoints decided, so that one attempt later they are not asked again.

    Attempts of more than one setter raise ValueError. With few attempts the answer holds counts
    only and says what is missing.
    """
    setter = _one_setter(attempts)
    log = attempt_log(attempts, course)
    prepared = PreparedLog.of(log, course, prior)
    level = evidence(len(log), log.failures)
    families: tuple[FoundFamily, ...] = ()
    if level != "counts only":
        families = standing_out(
            prepared.search,
            claimed_families(log, course, prior, seed, decisions),
            np.random.default_rng([seed, len(log)]),
            leads=LeadLimit(LEADS, LEAD_SHARE),
        )
    shown = _borne_out(families, prepared)
    effects = [size for _, size, _ in shown]
    families = tuple(family for family, _, _ in shown)
    findings = [finding for _, _, finding in shown] + mechanisms(log, prepared.columns)
    seats = upstream(attempts, seed=seed, worth=worth, decisions=decisions)
    more = _more_needed(log, families, effects)
    clocks = clock_patterns(log)
    names = prepared.judged.variables() if level != "counts only" else ()
    unsettled = prepared.first_search.unsettled if level != "counts only" else ()
    checked = sentences.variables_checked(len(names), [d for d in log.outcomes() if d != ANY])
    claimed = any(family.claimed for family in families)
    return Findings(
        setter=setter,
        attempts=len(log),
        failures=log.failures,
        evidence=level,
        findings=tuple(chain_shifts(findings, seats)),
        clocks=clocks,
        not_judged=tuple(
            NotJudged(variable=unjudged.variable, reason=unjudged.reason)
            for unjudged in prepared.judged.unjudged
        ),
        checked=checked,
        more_needed=more,
        answer=(
            sentences.log_counts(log),
            sentences.outlook(level, more, shown=bool(families), claimed=claimed),
            checked,
            *sentences.not_fitted(unsettled),
            *(pattern.sentence for pattern in clocks),
            *sentences.seats_checked([answer.seats_checked for answer in seats]),
        ),
    )


def _one_setter(attempts: Sequence[Attempt]) -> str | None:
    """The setter's name, else id; ValueError where the attempts are of several."""
    ids = {a.setter_id for a in attempts if a.setter_id is not None}
    named = {a.setter for a in attempts if a.setter_id is not None}
    alone = {a.setter for a in attempts if a.setter_id is None}
    if len(ids) > 1 or len(alone) > 1 or (ids and alone - named - {None}):
        raise ValueError("find takes the attempts of one setter; use find_class for several")
    names = [a.setter for a in attempts if a.setter is not None]
    return names[-1] if names else next(iter(ids), None)


def _borne_out(
    families: Iterable[FoundFamily], prepared: PreparedLog
) -> list[tuple[FoundFamily, Effect, Finding]]:
    """Each family with its effect and its finding; none whose counts speak against it."""
    sized = [(family, _effect(family, prepared.log)) for family in families]
    told = [(family, size, _finding(family, size, prepared)) for family, size in sized]
    return [row for row in told if cutoffs.bear_out(row[2].counts)]


def _effect(family: FoundFamily, log: AttemptLog) -> Effect:
    cell = family.ranked.cell
    part, place = family.search.part_of(cell)
    if isinstance(part, MeasuredPart):
        return height_effect(family)
    truth = log.truths(cell.outcome)[part.group.rows]
    x = part.x[:, place]
    return effect(part.frame, truth.astype(float), x, cell, family.ranked.posterior)


def _finding(family: FoundFamily, estimate: Effect, prepared: PreparedLog) -> Finding:
    log, cell = prepared.log, family.ranked.cell
    height = height_of(family)
    if height is not None:
        defect, _ = defect_shown(family, log)
        return height_finding(family, height, log, _notes(family, prepared, defect))
    cut = cutoffs.cut_log(cell.candidate, log, more=estimate.more)
    counts = cutoffs.count_sides(cut, log.truths(cell.outcome))
    odds_ratio, low, high = estimate.odds_ratio
    return Finding(
        variable=cell.candidate.column.variable,
        family=family.ranked.family,
        defect=cell.outcome,
        direction=cutoffs.direction(cell.candidate, more=estimate.more),
        status="claim" if family.claimed else "lead",
        counts=counts,
        odds_ratio=odds_ratio,
        low=low,
        high=high,
        posterior=family.ranked.posterior,
        share=family.share,
        sentence=sentences.went_with(cell.outcome, cut.phrase, cut.rest, counts),
        notes=_notes(family, prepared, cell.outcome),
    )


def _notes(family: FoundFamily, prepared: PreparedLog, defect: str) -> tuple[str, ...]:
    log = prepared.log
    column = family.candidate.column
    known = ~np.isnan(column.values)
    notes: list[str | None] = []
    if not family.claimed:
        notes.append(sentences.chance(family.share))
    if column.process:
        notes.append(sentences.cause_or_effect())
    notes.append(sentences.same_family(column.variable, prepared.judged.variables()))
    if not known.all():
        sides = [(int((known & s).sum()), int(s.sum())) for s in (log.failed, ~log.failed)]
        notes.append(sentences.known_for(sides[0], sides[1]))
    if defect in log.events:
        passed = int((log.events[defect] & ~log.failing[defect]).sum())
        notes.append(sentences.slight_passed(defect, passed) if passed else None)
    return tuple(note for note in notes if note is not None)


def _ways() -> dict[tuple[str, str], tuple[str, Callable[[Floats], Truths]]]:
    """How a defect came about, by variable and defect, and which values say so."""
    proud, deep = (float(ranks("trial_height")[level]) for level in ("proud", "deep"))
    return {
        ("depth_error_mm", "high"): ("cut shallow", lambda x: x < 0.0),
        ("depth_error_mm", "low"): ("cut deep", lambda x: x > 0.0),
        ("trial_height", "high"): ("proud with the trial stone", lambda x: x == proud),
        ("trial_height", "low"): ("deep with the trial stone", lambda x: x == deep),
    }


def mechanisms(log: AttemptLog, columns: Iterable[Column]) -> list[Finding]:
    """The mechanisms that a log shows: frequent with the defect, and more so than without it."""
    by_name = {column.variable: column for column in columns if column.kind != "level"}
    shown: list[Finding] = []
    for (name, defect), (how, holds) in _ways().items():
        column, hit = by_name.get(name), log.events.get(defect)
        if column is None or hit is None:
            continue
        known = ~np.isnan(column.values)
        true = known & holds(column.values)
        here, others = (
            Count(label=f"{word}: {how}", failed=int((true & side).sum()), of=int(side.sum()))
            for word, side in ((defect, known & hit), ("others", known & ~hit))
        )
        share, elsewhere = here.failed / max(here.of, 1), others.failed / max(others.of, 1)
        enough = here.of >= LEAST_MEASURED and share >= LEAST_SHARE
        if enough and share - elsewhere >= LEAST_GAP:
            shown.append(_mechanism(name, defect, how, (here, others)))
    return shown


def _mechanism(name: str, defect: str, how: str, counts: tuple[Count, Count]) -> Finding:
    return Finding(
        variable=name,
        family=variable(name).family,
        defect=defect,
        direction=how,
        status="mechanism",
        counts=counts,
        odds_ratio=None,
        low=None,
        high=None,
        posterior=None,
        share=None,
        sentence=sentences.mechanism(defect, how, counts),
    )


def _more_needed(
    log: AttemptLog, families: Sequence[FoundFamily], effects: Sequence[Effect]
) -> MoreNeeded:
    """Counts only: until leads. Leads: until the first one may be well supported."""
    if evidence(len(log), log.failures) == "counts only":
        low, high = to_leads(len(log), log.failures)
        return MoreNeeded(low=low, high=high)
    leads = (pair for pair in zip(families, effects, strict=True) if not pair[0].claimed)
    lead, size = next(leads, (None, None))
    if lead is None or size is None:
        return MoreNeeded(low=None, high=None)
    each = lead.ranked.v / len(log)
    low, high = to_claim(len(log), each, (size.strong, size.weak))
    return MoreNeeded(low=low, high=high)
