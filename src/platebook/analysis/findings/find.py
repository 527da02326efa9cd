"""What goes with failure in one setter's log.

| function | answers |
|---|---|
| `find` | which variables went with which defects, with counts, or why nothing can be said |
| `find_in` | the same of a log that is made already, for its values and pictures too |
"""

from collections.abc import Iterable, Sequence

import numpy as np

from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.apart_in_time import constant_in_sessions, far_enough_apart
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.asking.search import PreparedLog
from platebook.analysis.findings.deciding.claims import (
    LEAD_SHARE,
    LEADS,
    Decisions,
    FoundFamily,
    LeadLimit,
    claimed_families,
    standing_out,
)
from platebook.analysis.findings.deciding.dropped_claims import dropped_claims, with_dropped
from platebook.analysis.findings.deciding.retirement import retirement
from platebook.analysis.findings.deciding.support import supported
from platebook.analysis.findings.measured.measured_responses import MeasuredPart
from platebook.analysis.findings.measured.shifts import (
    chain_shifts,
    height_effect,
    height_finding,
    height_of,
)
from platebook.analysis.findings.measured.upstream import Upstream, upstream
from platebook.analysis.findings.telling import sentences
from platebook.analysis.findings.telling.clock_patterns import clock_patterns
from platebook.analysis.findings.telling.counted import Shown, count_and_tell
from platebook.analysis.findings.telling.mechanisms import mechanisms
from platebook.analysis.findings.telling.results import (
    PER_DEVIATION,
    PER_SIDE,
    Finding,
    Findings,
    MoreNeeded,
    NotJudged,
    evidence,
    to_claim,
    to_leads,
)
from platebook.analysis.measurements.seat_readings import NO_TOOLS, Worth
from platebook.analysis.models.bayes_factors import ClassPrior
from platebook.analysis.models.effect_size import Effect, effect
from platebook.analysis.variables.attempt_log import ANY, LATELY, AttemptLog, Window, typed_once
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.courses.course import Course

SEED = 20260101


def find(  # noqa: PLR0913 - each but the first has a usual value and is a question of its own
    attempts: Sequence[Attempt],
    *,
    course: Course | None = None,
    prior: ClassPrior | None = None,
    seed: int = SEED,
    worth: Worth = NO_TOOLS,
    window: Window = LATELY,
    decisions: Decisions | None = None,
) -> Findings:
    """Find what goes with failure; pure, so the same attempts and seed give the same answer.

    `prior` is what the setter's class, without the setter, has shown (`find_class.priors_from`).
    `worth` says what readings of seats are worth by the tool that took them (`seat_readings`).
    `window` says which attempts it rests on: the latest 400 of the last twelve months, if nothing
    else is asked.
    `decisions` keeps what checkpoints decided, so that one attempt later they are not asked again.

    Attempts of more than one setter raise ValueError. With few attempts the answer holds counts
    only and says what is missing.
    """
    asked = FindingsLog.of(attempts, course, worth=worth, window=window)
    return find_in(asked, prior=prior, seed=seed, decisions=decisions)


def find_in(
    asked: FindingsLog,
    *,
    prior: ClassPrior | None = None,
    seed: int = SEED,
    decisions: Decisions | None = None,
) -> Findings:
    """Find what goes with failure in this log (`find`)."""
    setter = _one_setter(asked.attempts)
    attempts, worth, window = asked.attempts, asked.worth, asked.window
    course, whole, log = asked.course, asked.whole, asked.log
    prepared = PreparedLog.of(log, course, prior)
    level = evidence(len(log), log.failures)
    families: tuple[FoundFamily, ...] = ()
    if level != "counts only":
        families = standing_out(
            prepared.search,
            claimed_families(whole, course, prior, seed, decisions, window=window),
            np.random.default_rng([seed, len(log)]),
            leads=LeadLimit(LEADS, LEAD_SHARE),
        )
    borne_out = _borne_out(families, prepared)
    seats = upstream(attempts, seed=seed, worth=worth, window=window, decisions=decisions)
    stories = [finding for _, _, finding in borne_out] + mechanisms(log, prepared.columns)
    told = supported(chain_shifts(stories, seats))
    dropped = dropped_claims(asked, prior, seed, decisions)
    shown, gone = with_dropped(told, dropped, asked, prior)
    leading = [(family, size) for family, size, _ in borne_out if not family.claimed]
    more = _more_needed(log, leading)
    clocks = clock_patterns(log)
    names = prepared.judged.variables() if level != "counts only" else ()
    unsettled = prepared.first_search.unsettled if level != "counts only" else ()
    seats_checked = sentences.seats_checked([answer.seats_checked for answer in seats])
    checked = sentences.variables_checked(
        len(names), [d for d in log.outcomes() if d != ANY], seats=bool(seats_checked)
    )
    return Findings(
        setter=setter,
        attempts=len(log),
        failures=log.failures,
        evidence=level,
        findings=shown,
        retired=gone,
        clocks=clocks,
        not_judged=tuple(
            NotJudged(variable=unjudged.variable, reason=unjudged.reason)
            for unjudged in prepared.judged.unjudged
        ),
        checked=checked,
        more_needed=more,
        answer=(
            sentences.log_counts(log),
            *sentences.outlook(level, more, [f.status for f in shown]),
            *sentences.left_out(level, log.before),
            *sentences.decided([_decided(f, whole, seats) for f in shown if f.status == "claim"]),
            checked,
            *sentences.typed_twice(len(attempts) - len(typed_once(in_order(attempts)))),
            *sentences.not_fitted(unsettled),
            *(pattern.sentence for pattern in clocks),
            *seats_checked,
        ),
    )


def _decided(finding: Finding, whole: AttemptLog, seats: Sequence[Upstream]) -> tuple[int, str]:
    """How many attempts, or measured seats, a claim was decided by, and which of the two."""
    moved = {shift.response for shift in finding.shifts if shift.variable == finding.variable}
    measured = (answer.counted for answer in seats if answer.response.name in moved)
    seats_counted = next(measured, None)
    if seats_counted is not None:
        return seats_counted, "measured seat"
    return len(whole), "attempt"


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
    told = ((family, size, _finding(family, size, prepared)) for family, size in sized)
    return [
        (family, size, finding)
        for family, size, finding in told
        if finding is not None and cutoffs.bear_out(finding.counts)
    ]


def _effect(family: FoundFamily, log: AttemptLog) -> Effect:
    cell = family.ranked.cell
    part, place = family.search.part_of(cell)
    if isinstance(part, MeasuredPart):
        return height_effect(family)
    truth = log.truths(cell.outcome)[part.group.rows]
    x = part.x[:, place]
    return effect(part.frame, truth.astype(float), x, cell, family.ranked.posterior)


def _told_apart(cut: Cut, family: FoundFamily, log: AttemptLog) -> bool:
    """Whether both sides lie in enough sessions, where a session has one value throughout."""
    values = family.candidate.column.values
    known = ~np.isnan(values)
    return not constant_in_sessions(values[known], log.session[known]) or far_enough_apart(
        cut.inside, cut.outside, log.session
    )


def _finding(family: FoundFamily, estimate: Effect, prepared: PreparedLog) -> Finding | None:
    """The finding in words and counts; None where evenings alone tell its two sides apart."""
    log, cell = prepared.log, family.ranked.cell
    height = height_of(family)
    if height is not None:
        return height_finding(family, height, log, _notes(family, prepared))
    cut = cutoffs.cut_log(cell.candidate, log, more=estimate.more)
    if not _told_apart(cut, family, log):
        return None
    truth = log.truths(cell.outcome)
    told = count_and_tell(cell.candidate, cut, Shown.of(log, cell.outcome), more=estimate.more)
    (odds_ratio, low, high), per = _odds_ratio(estimate, cell.candidate)
    return Finding(
        variable=cell.candidate.column.variable,
        family=family.ranked.family,
        defect=cell.outcome,
        direction=cutoffs.direction(cell.candidate, more=estimate.more),
        status="claim" if family.claimed else "lead",
        counts=told.counts,
        levels=told.levels,
        tested=told.tested,
        not_steady=told.not_steady,
        between=told.between,
        odds_ratio=odds_ratio,
        odds_ratio_per=per,
        low=low,
        high=high,
        posterior=family.ranked.posterior,
        share=family.share,
        sentence=told.sentence,
        headline=told.sentence,
        notes=told.with_notes(_notes(family, prepared)),
        retired=retirement(cut, truth, log) if family.claimed else None,
    )


def _odds_ratio(estimate: Effect, candidate: Candidate) -> tuple[tuple[float, float, float], str]:
    """The odds ratio with its limits, and what it is for; of two values the side that is spoken of.

    So what goes with "no" is no odds ratio of nearly nothing for "yes".
    """
    of_more = estimate.odds_ratio
    if candidate.column.kind not in {"yes/no", "level"}:
        return of_more, PER_DEVIATION
    median, low, high = (
        of_more if estimate.more else (1 / of_more[0], 1 / of_more[2], 1 / of_more[1])
    )
    return (median, low, high), PER_SIDE


def _notes(family: FoundFamily, prepared: PreparedLog) -> tuple[str, ...]:
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
    return tuple(note for note in notes if note is not None)


def _more_needed(log: AttemptLog, leading: Sequence[tuple[FoundFamily, Effect]]) -> MoreNeeded:
    """Counts only: until leads. Leads: until the first one may be well supported."""
    if evidence(len(log), log.failures) == "counts only":
        low, high = to_leads(len(log), log.failures)
        return MoreNeeded(low=low, high=high)
    if not leading:
        return MoreNeeded(low=None, high=None)
    lead, size = leading[0]
    each = lead.ranked.v / len(log)
    low, high = to_claim(log.before + len(log), each, (size.strong, size.weak))
    return MoreNeeded(low=low, high=high)
