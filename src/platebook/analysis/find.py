"""What goes with failure in one setter's log.

| function | answers |
|---|---|
| `find` | which variables went with which defects, with counts, or why nothing can be said |
"""

import math
from collections.abc import Sequence

import numpy as np

from platebook.analysis import words
from platebook.analysis.claims import Found, claimed_families, standing_out
from platebook.analysis.columns import columns
from platebook.analysis.counted import ANY, Counted, counted
from platebook.analysis.cutoffs import cut
from platebook.analysis.effect import Effect, effect
from platebook.analysis.evidence import evidence, next_checkpoint, to_leads
from platebook.analysis.findings import Count, Finding, Findings, MoreNeeded, NotJudged
from platebook.analysis.mechanisms import Mechanism, mechanisms
from platebook.analysis.ranking import Question
from platebook.analysis.weigh import Cell
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course

SEED = 20260101
_SETTLED_Z = 3.2
_NO_ANSWER = MoreNeeded(low=None, high=None)


def find(
    attempts: Sequence[Attempt], *, course: Course | None = None, seed: int = SEED
) -> Findings:
    """Find what goes with failure; pure, so the same attempts and seed give the same answer.

    Attempts of more than one setter raise ValueError. With few attempts the answer holds counts
    only and says what is missing.
    """
    setter = _one_setter(attempts)
    log = counted(attempts, course)
    question = Question.of(log, course)
    level = evidence(len(log), log.failures)
    found: tuple[Found, ...] = ()
    if level != "counts only":
        claimed = claimed_families(log, course, seed)
        found = standing_out(question, claimed, seed)
    shown = [_finding(one, question) for one in found]
    shown += [_mechanism(one) for one in mechanisms(log, columns(log, course))]
    more = _more_needed(log, found, shown)
    names = question.judged.variables() if level != "counts only" else ()
    checked = words.checked(len(names), [d for d in log.outcomes() if d != ANY])
    outlook = words.outlook(
        level, more, found=bool(found), claimed=any(one.claimed for one in found)
    )
    return Findings(
        setter=setter,
        attempts=len(log),
        failures=log.failures,
        evidence=level,
        findings=tuple(shown),
        not_judged=tuple(
            NotJudged(variable=one.variable, reason=one.reason) for one in question.judged.unjudged
        ),
        checked=checked,
        more_needed=more,
        answer=(words.counts(log), outlook, checked),
    )


def _one_setter(attempts: Sequence[Attempt]) -> str | None:
    ids = {a.setter_id for a in attempts if a.setter_id is not None}
    named = {a.setter for a in attempts if a.setter_id is not None}
    alone = {a.setter for a in attempts if a.setter_id is None}
    if len(ids) > 1 or len(alone) > 1 or (ids and alone - named - {None}):
        raise ValueError("find takes the attempts of one setter; use find_class for several")
    names = [a.setter for a in attempts if a.setter is not None]
    return names[-1] if names else next(iter(ids), None)


def _direction(cell: Cell, estimate: Effect) -> str:
    column = cell.candidate.column
    if column.kind == "level":
        return str(column.level) if estimate.more else f"not {column.level}"
    if column.kind == "yes/no":
        return "yes" if estimate.more else "no"
    if cell.candidate.form == "distance":
        return "away" if estimate.more else "near"
    return "higher" if estimate.more else "lower"


def _finding(found: Found, question: Question) -> Finding:
    log, cell = question.counted, found.ranked.cell
    part, index = found.search.part_of(cell)
    truth = log.truths(cell.outcome)
    hits = truth[part.group.rows].astype(float)
    estimate = effect(part.frame, hits, part.x[:, index], cell)
    split = cut(cell.candidate, np.ones(len(log), dtype=bool), more=estimate.more)
    counts = tuple(
        Count(label=label, failed=int((truth & rows).sum()), of=int(rows.sum()))
        for label, rows in ((split.label, split.inside), (split.rest_label, split.outside))
    )
    name = cell.candidate.column.variable
    return Finding(
        variable=name,
        family=found.ranked.family,
        defect=cell.outcome,
        direction=_direction(cell, estimate),
        status="claim" if found.claimed else "lead",
        counts=counts,
        odds_ratio=estimate.odds_ratio,
        low=estimate.low,
        high=estimate.high,
        posterior=found.ranked.posterior,
        share=found.share,
        sentence=words.went_with(cell.outcome, split.phrase, split.rest, counts),
        notes=_notes(found, question),
    )


def _notes(found: Found, question: Question) -> tuple[str, ...]:
    log, cell = question.counted, found.ranked.cell
    column = cell.candidate.column
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
    if cell.outcome != ANY:
        passed = int((log.events[cell.outcome] & ~log.failing[cell.outcome]).sum())
        notes.append(words.slight(cell.outcome, passed) if passed else None)
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


def _more_needed(log: Counted, found: Sequence[Found], shown: Sequence[Finding]) -> MoreNeeded:
    """Counts only: until leads. Leads: until the first one's z may pass what claims ask."""
    if evidence(len(log), log.failures) == "counts only":
        low, high = to_leads(len(log), log.failures)
        return MoreNeeded(low=low, high=high)
    lead = next((i for i, one in enumerate(found) if not one.claimed), None)
    if lead is None:
        return _NO_ANSWER
    ranked, finding = found[lead].ranked, shown[lead]
    scale = ranked.cell.candidate.scale
    unit = scale if ranked.cell.candidate.column.kind in {"yes/no", "level"} else 1.0
    each = ranked.v / len(log)
    sizes = [abs(math.log(value)) * unit for value in (finding.odds_ratio or 1.0, 1.0) if value]
    low_odds, high_odds = finding.low or 1.0, finding.high or 1.0
    weak = (
        0.0
        if low_odds <= 1.0 <= high_odds
        else min(abs(math.log(low_odds)), abs(math.log(high_odds))) * unit
    )
    first = next_checkpoint(len(log)) - len(log)
    needs = [
        words.MOST_MORE if size <= 0.0 else _SETTLED_Z**2 / (size**2 * each) - len(log)
        for size in (sizes[0], weak)
    ]
    low, high = (min(max(math.ceil(need), first), words.MOST_MORE) for need in needs)
    return MoreNeeded(low=min(low, high), high=max(low, high))
