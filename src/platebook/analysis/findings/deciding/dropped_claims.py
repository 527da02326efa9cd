"""Claims that a later checkpoint dropped: they do not leave without a word, but with their date.

A claim is decided at checkpoints of the number of attempts (`claims`). What an earlier checkpoint
supported and the last one does not is told as no longer so, until the attempts that it rested on
have left the window; a checkpoint that supports it again makes it a claim again. What is worth
watching today says that it was more once.

| function | gives |
|---|---|
| `dropped_claims` | what was well supported at an earlier checkpoint, and at the last one is not |
| `with_dropped` | what holds now and what does not any more, those among it |

Where the latest attempts alone tell that it ended (`retirement`), the likeliest date is theirs.
Else it is counted up to the checkpoint that supported it last, and since. Pure: earlier checkpoints
are decided anew from the attempts that there were then, or remembered (`claims.Decisions`). What
rested on measured tables or seats leaves with the window alone. At 0 or few attempts there is none.
"""

import functools
from collections.abc import Callable, Iterator, Sequence
from collections.abc import Set as AbstractSet

import numpy as np

from platebook.analysis.arrays import Truths
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.asking.search import PreparedLog, Ranked
from platebook.analysis.findings.deciding.claims import (
    MOST_CLAIMS,
    Decisions,
    claimed_families,
    decided,
)
from platebook.analysis.findings.deciding.retirement import retirement
from platebook.analysis.findings.telling import counts_in_sentences
from platebook.analysis.findings.telling.counted import Shown, count_and_tell
from platebook.analysis.findings.telling.results import (
    Count,
    Finding,
    Retired,
    last_checkpoint,
)
from platebook.analysis.models.bayes_factors import ClassPrior
from platebook.analysis.variables.attempt_log import ANY, AttemptLog, recent
from platebook.practice.courses.course import Course
from platebook.values import Value, replace

FARTHEST_BACK, OLD_NEWS = 400, 0.25
"""Attempts back, and share of the log: what was dropped before is old news, also where everything
is asked (judgement)."""

WEAKEST = -1.5
"""Log odds below which a family is not asked whether a checkpoint claimed it. Of 184 families that
checkpoints asked about in simulated logs the weakest claimed had −0.43."""


class DroppedClaim(Value):
    """A family, the checkpoint that supported it last, and the first one that did not.

    Both are numbers of judged attempts, counted from the first of all.
    """

    family: str
    supported_at: int
    dropped_at: int


def _checkpoints(asked: FindingsLog) -> Iterator[int]:
    """The checkpoints passed, the last one first, while they lie inside the window.

    They are counted from the first attempt that is asked, as claims are decided.
    """
    attempts = len(asked.whole)
    first = max(
        asked.log.before - asked.whole.before, attempts - FARTHEST_BACK, OLD_NEWS * attempts
    )
    checkpoint = last_checkpoint(attempts)
    while checkpoint is not None and checkpoint > first:
        yield checkpoint
        checkpoint = last_checkpoint(checkpoint - 1)


def dropped_claims(
    asked: FindingsLog, prior: ClassPrior | None, seed: int, decisions: Decisions | None = None
) -> tuple[DroppedClaim, ...]:
    """The families that an earlier checkpoint supported and the last one does not, latest first."""
    known: set[str] = set()
    dropped: list[DroppedClaim] = []
    later: int | None = None
    for checkpoint in _checkpoints(asked):
        log = asked.whole.first(checkpoint)
        ask = functools.partial(
            claimed_families, log, asked.course, prior, seed, decisions, window=asked.window
        )
        if later is None:
            known.update(ask())
        else:
            then = recent(log, asked.window)
            new = functools.partial(_new_ones, then, asked.course, prior, frozenset(known), ask)
            rests_on = ("dropped", sorted(known), asked.course, prior, seed)
            gone = decided(decisions, then, rests_on, new)
            ends = (asked.whole.before + checkpoint, asked.whole.before + later)
            dropped += [DroppedClaim(family, *ends) for family in gone]
            known.update(gone)
        later = checkpoint
    return tuple(dropped)


def _new_ones(
    then: AttemptLog,
    course: Course | None,
    prior: ClassPrior | None,
    known: AbstractSet[str],
    ask: Callable[[], tuple[str, ...]],
) -> tuple[str, ...]:
    """The families that a checkpoint claimed and no later one did; `ask` decides it."""
    if not _may_be_new(PreparedLog.of(then, course, prior), known):
        return ()
    return tuple(family for family in ask() if family not in known)


def _may_be_new(prepared: PreparedLog, known: AbstractSet[str]) -> bool:
    """Whether a family that no later checkpoint claims is strong enough to have been claimed.

    Families known already are taken for claimed, which costs no draws.
    """
    beside: list[Candidate] = []
    for _ in range(MOST_CLAIMS):
        ranked = prepared.search(beside, causes_only=True).ranked()
        if not ranked or ranked[0].log_odds < WEAKEST:
            return False
        if ranked[0].family not in known:
            return True
        beside.append(ranked[0].cell.candidate)
    return False


def with_dropped(
    told: Sequence[Finding],
    dropped: Sequence[DroppedClaim],
    asked: FindingsLog,
    prior: ClassPrior | None,
) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """What holds now, and what does not any more: those told as retired, and the dropped claims.

    A dropped claim that is worth watching still says that it was more once, unless the latest
    attempts tell that it ended.
    """
    shown = [finding for finding in told if finding.retired is None]
    gone = [finding for finding in told if finding.retired is not None]
    for claim in dropped:
        leads = [f for f in shown if f.family == claim.family and f.status == "lead"]
        if not leads and any(f.family == claim.family and f.status == "claim" for f in told):
            continue
        ended = _retired_finding(claim, asked, prior, ended=bool(leads))
        if ended is not None:
            gone.append(ended)
            shown = [finding for finding in shown if finding not in leads]
        else:
            note = counts_in_sentences.was_well_supported(claim.supported_at, claim.dropped_at)
            shown = [_noted(f, note) if f in leads else f for f in shown]
    return tuple(shown), tuple(gone)


def _noted(finding: Finding, note: str) -> Finding:
    return finding.model_copy(update={"notes": (*finding.notes, note)})


def _retired_finding(
    claim: DroppedClaim, asked: FindingsLog, prior: ClassPrior | None, *, ended: bool
) -> Finding | None:
    """The claim as it was, with what was counted since; None where its counts do not say it.

    With `ended` only where the latest attempts by themselves tell that it ended.
    """
    then = recent(asked.whole.first(claim.supported_at - asked.whole.before), asked.window)
    ranked = _as_ranked(PreparedLog.of(then, asked.course, prior), claim.family)
    log = asked.log
    if ranked is None or (ranked.cell.outcome != ANY and ranked.cell.outcome not in log.events):
        return None
    candidate = _today(ranked.cell.candidate, asked)
    if candidate is None:
        return None
    more = ranked.posterior_of_effect()[0] >= 0.0
    cut, shown = cutoffs.cut_log(candidate, log, more=more), Shown.of(log, ranked.cell.outcome)
    until = np.arange(len(log)) < claim.supported_at - log.before
    retired, told = (
        retirement(cut, shown.truth, log),
        count_and_tell(candidate, cut, shown, more=more),
    )
    if ended and retired is None:
        return None
    if retired is None or not cutoffs.bear_out(told.counts):
        told = count_and_tell(candidate, _part(cut, until), shown, more=more)
        since = shown.count_sides(_part(cut, ~until))
        retired = _retired(claim, since, log, cut.sides)
    if not cutoffs.bear_out(told.counts):
        return None
    return Finding(
        variable=candidate.column.variable,
        family=claim.family,
        defect=ranked.cell.outcome,
        direction=cutoffs.direction(candidate, more=more),
        status="claim",
        counts=told.counts,
        levels=told.levels,
        tested=told.tested,
        not_steady=told.not_steady,
        between=told.between,
        odds_ratio=None,
        low=None,
        high=None,
        posterior=None,
        share=None,
        sentence=told.sentence,
        headline=told.sentence,
        retired=retired,
    )


def _as_ranked(prepared: PreparedLog, family: str) -> Ranked | None:
    """Where the family stood in its log, beside those that were stronger; None for nowhere."""
    beside: list[Candidate] = []
    while len(beside) < len(prepared.families_asked()):
        ranked = prepared.search(beside, causes_only=True).ranked()
        if not ranked:
            return None
        if ranked[0].family == family:
            return ranked[0]
        beside.append(ranked[0].cell.candidate)
    return None


def _today(candidate: Candidate, asked: FindingsLog) -> Candidate | None:
    """The same question of today's log; None where it has no values, or one alone, any more."""
    of = candidate.column
    for column in asked.columns:
        if (column.variable, column.kind, column.level) == (of.variable, of.kind, of.level):
            several = len(np.unique(column.values[~np.isnan(column.values)])) > 1
            return replace(candidate, column=column) if several else None
    return None


def _part(cut: Cut, rows: Truths) -> Cut:
    return replace(cut, inside=cut.inside & rows, outside=cut.outside & rows)


def _retired(
    claim: DroppedClaim, since: tuple[Count, Count], log: AttemptLog, sides: tuple[str, str]
) -> Retired:
    began = log.attempts[claim.supported_at - log.before].began
    attempt, day = claim.supported_at + 1, began.date() if began is not None else None
    return Retired(
        attempt=attempt,
        day=day,
        counts=since,
        sentence=counts_in_sentences.dropped_at(
            (claim.supported_at, claim.dropped_at), day, since, sides
        ),
    )
