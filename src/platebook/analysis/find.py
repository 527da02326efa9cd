"""What goes with failure in one setter's log.

| function | answers |
|---|---|
| `find` | which variables went with which defects, with counts, or why nothing can be said |
"""

from collections.abc import Sequence

import numpy as np

from platebook.analysis import shown, words
from platebook.analysis.claims import Found, claimed_families, standing_out
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.clock import clock_patterns
from platebook.analysis.columns import columns
from platebook.analysis.counted import ANY, Counted, counted
from platebook.analysis.effect import Effect, effect
from platebook.analysis.evidence import evidence, to_claim, to_leads
from platebook.analysis.findings import Count, Finding, Findings, MoreNeeded, NotJudged
from platebook.analysis.height_findings import (
    height_effect,
    height_finding,
    height_of,
    shown_as,
)
from platebook.analysis.measured_part import MeasuredPart
from platebook.analysis.mechanisms import Mechanism, mechanisms
from platebook.analysis.ranking import Question
from platebook.analysis.seat_readings import NO_TOOLS, Worth
from platebook.analysis.shifts import chained
from platebook.analysis.upstream import upstream
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course

SEED = 20260101


def find(
    attempts: Sequence[Attempt],
    *,
    course: Course | None = None,
    prior: ClassPrior | None = None,
    seed: int = SEED,
    worth: Worth = NO_TOOLS,
) -> Findings:
    """Find what goes with failure; pure, so the same attempts and seed give the same answer.

    `prior` is what the setter's class, without the setter, has shown (`class_priors`). `worth` says
    what readings of seats are worth by the tool that took them (`seat_readings`).

    Attempts of more than one setter raise ValueError. With few attempts the answer holds counts
    only and says what is missing.
    """
    setter = _one_setter(attempts)
    log = counted(attempts, course)
    question = Question.of(log, course, prior)
    level = evidence(len(log), log.failures)
    found: tuple[Found, ...] = ()
    if level != "counts only":
        claimed = claimed_families(log, course, prior, seed)
        found = standing_out(question, claimed, seed)
    effects = [_effect(one, log) for one in found]
    more = _more_needed(log, found, effects)
    findings = [_finding(one, by, question) for one, by in zip(found, effects, strict=True)]
    findings += [_mechanism(one) for one in mechanisms(log, columns(log, course))]
    seats = upstream(attempts, seed=seed, worth=worth)
    names = question.judged.variables() if level != "counts only" else ()
    clocks = clock_patterns(log)
    checked = words.checked(len(names), [d for d in log.outcomes() if d != ANY])
    outlook = words.outlook(
        level, more, found=bool(found), claimed=any(one.claimed for one in found)
    )
    return Findings(
        setter=setter,
        attempts=len(log),
        failures=log.failures,
        evidence=level,
        findings=tuple(chained(findings, seats)),
        clocks=clocks,
        not_judged=tuple(
            NotJudged(variable=one.variable, reason=one.reason) for one in question.judged.unjudged
        ),
        checked=checked,
        more_needed=more,
        answer=(
            words.counts(log),
            outlook,
            checked,
            *(one.sentence for one in clocks),
            *words.seats_checked([one.looked_at for one in seats]),
        ),
    )


def _one_setter(attempts: Sequence[Attempt]) -> str | None:
    ids = {a.setter_id for a in attempts if a.setter_id is not None}
    named = {a.setter for a in attempts if a.setter_id is not None}
    alone = {a.setter for a in attempts if a.setter_id is None}
    if len(ids) > 1 or len(alone) > 1 or (ids and alone - named - {None}):
        raise ValueError("find takes the attempts of one setter; use find_class for several")
    names = [a.setter for a in attempts if a.setter is not None]
    return names[-1] if names else next(iter(ids), None)


def _effect(found: Found, log: Counted) -> Effect:
    cell = found.ranked.cell
    part, place = found.search.part_of(cell)
    if isinstance(part, MeasuredPart):
        return height_effect(found)
    truth = log.truths(cell.outcome)[part.group.rows]
    x = part.x[:, place]
    return effect(part.frame, truth.astype(float), x, cell, found.ranked.posterior)


def _finding(found: Found, estimate: Effect, question: Question) -> Finding:
    log, cell = question.counted, found.ranked.cell
    height = height_of(found)
    if height is not None:
        defect, _ = shown_as(found, log)
        return height_finding(found, height, log, _notes(found, question, defect))
    cut = shown.split(cell.candidate, log, more=estimate.more)
    counts = shown.counts(cut, log.truths(cell.outcome))
    name = cell.candidate.column.variable
    odds_ratio, low, high = estimate.odds_ratio
    return Finding(
        variable=name,
        family=found.ranked.family,
        defect=cell.outcome,
        direction=shown.direction(cell.candidate, more=estimate.more),
        status="claim" if found.claimed else "lead",
        counts=counts,
        odds_ratio=odds_ratio,
        low=low,
        high=high,
        posterior=found.ranked.posterior,
        share=found.share,
        sentence=words.went_with(cell.outcome, cut.phrase, cut.rest, counts),
        notes=_notes(found, question, cell.outcome),
    )


def _notes(found: Found, question: Question, defect: str) -> tuple[str, ...]:
    log = question.counted
    column = found.ranked.cell.candidate.column
    known = ~np.isnan(column.values)
    notes: list[str | None] = []
    if not found.claimed:
        notes.append(words.chance(found.share))
    if column.process:
        notes.append(words.cause_or_effect())
    notes.append(words.alike(column.variable, question.judged.variables()))
    if not known.all():
        sides = [(int((known & s).sum()), int(s.sum())) for s in (log.failed, ~log.failed)]
        notes.append(words.measured(sides[0], sides[1]))
    if defect in log.events:
        passed = int((log.events[defect] & ~log.failing[defect]).sum())
        notes.append(words.slight(defect, passed) if passed else None)
    return tuple(note for note in notes if note is not None)


def _mechanism(found: Mechanism) -> Finding:
    return Finding(
        variable=found.variable,
        family=found.family,
        defect=found.defect,
        direction=found.said,
        status="mechanism",
        counts=(
            Count(label=f"{found.defect}: {found.said}", failed=found.k, of=found.of),
            Count(label=f"others: {found.said}", failed=found.others, of=found.of_others),
        ),
        odds_ratio=None,
        low=None,
        high=None,
        posterior=None,
        share=None,
        sentence=words.mechanism(found),
    )


def _more_needed(log: Counted, found: Sequence[Found], effects: Sequence[Effect]) -> MoreNeeded:
    """Counts only: until leads. Leads: until the first one may be well supported."""
    if evidence(len(log), log.failures) == "counts only":
        low, high = to_leads(len(log), log.failures)
        return MoreNeeded(low=low, high=high)
    leads = (i for i, one in enumerate(found) if not one.claimed)
    lead = next(leads, None)
    if lead is None:
        return MoreNeeded(low=None, high=None)
    each = found[lead].ranked.v / len(log)
    low, high = to_claim(len(log), each, (effects[lead].strong, effects[lead].weak))
    return MoreNeeded(low=low, high=high)
