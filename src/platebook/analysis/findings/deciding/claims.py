"""Claims and leads: by how often a lead this strong turns up with nothing behind it (`null_logs`).

| function | answers |
|---|---|
| `claimed_families` | what goes with failure well enough to be claimed |
| `well_supported` | the same question for any log made ready, step by step |
| `standing_out` | the claims that stand and the leads of today, strongest first |

Failures (`find`) and measured seats (`upstream`) are searched by the same two functions. What they
are asked with differs, and each says why: how many claims and leads, and how often chance alone may
give a lead as strong.
"""

import functools
import hashlib
import itertools
from collections.abc import Callable, Sequence
from typing import Protocol

import numpy as np

from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.search import PreparedLog, Ranked, Search
from platebook.analysis.findings.deciding.null_logs import claim_share, lead_share
from platebook.analysis.findings.measured.measured_responses import (
    measured_depth_error,
    measured_overcut,
)
from platebook.analysis.findings.telling.results import (
    CLAIM_DRAWS,
    CLAIM_SHARE,
    LEAST_FAILURES_FOR_CLAIMS,
    LEAST_FOR_CLAIMS,
    LEAST_GOOD,
    last_checkpoint,
)
from platebook.analysis.models.bayes_factors import ClassPrior
from platebook.analysis.variables.attempt_log import EVERYTHING, AttemptLog, Window, recent
from platebook.practice.attempt import Attempt, values_of
from platebook.practice.courses.course import Course
from platebook.values import Value

SEAT_SHARE = 0.006
"""A claim about one response of the seats is made where so few drawn logs are as strong. Failures,
wide seats and deep seats share one chance of a false claim at a checkpoint (`CLAIM_SHARE`): what
the seats may spend is taken from the failures, where there are seats enough to ask."""

MOST_CLAIMS = 3
LEADS = 2
LEAD_SHARE = 0.5
"""A lead of what goes with failure is shown where at most every other log with nothing behind it
has one as strong. Leads are the first answer of a young log, and each says its own share beside it:
of 40 simulated logs of 40 attempts with one strong cause 0.65 showed it first, and 0.50 at 0.2. For
measured seats the share is smaller: `upstream.SEAT_LEAD_SHARE` says why."""

Ask = Callable[[Sequence[Candidate]], Search]
"""A log's search beside the candidates already found (`PreparedLog.search`)."""


class LeadLimit(Value):
    """When a lead is shown: at most so many with the claims, each at most so often by chance."""

    most: int
    share: float


class FoundFamily(Value, eq=False):
    """One family that stands out: its rank, the search it was found in, its chance share."""

    ranked: Ranked
    search: Search
    share: float
    claimed: bool

    @property
    def candidate(self) -> Candidate:
        """The family's best candidate, beside which the next family is asked."""
        return self.ranked.cell.candidate


class Decisions(Protocol):
    """Decisions of checkpoints, kept from one answer to the next by a mark of all they rest on.

    A checkpoint looks at the first attempts alone, so that what it decided stands until one of
    those is changed.
    """

    def find(self, mark: str) -> tuple[str, ...] | None:
        """The families claimed then; None where nothing is kept."""

    def keep(self, mark: str, families: tuple[str, ...]) -> None:
        """Keep the families claimed."""


def decided(
    decisions: Decisions | None,
    log: AttemptLog,
    others: Sequence[object],
    decide: Callable[[], tuple[str, ...]],
) -> tuple[str, ...]:
    """What was decided of this before, else decided now and kept.

    It rests on the log's attempts and sessions, and on `others`: values whose text says all there
    is of them.
    """
    if decisions is None:
        return decide()
    rests_on = (_digest(log.attempts), log.session.tolist(), others)
    mark = hashlib.sha256(repr(rests_on).encode("utf-8")).hexdigest()[:32]
    families = decisions.find(mark)
    if families is None:
        families = decide()
        decisions.keep(mark, families)
    return families


@functools.lru_cache(maxsize=4)
def _digest(attempts: tuple[Attempt, ...]) -> str:
    """A digest of all that stands in these attempts; failures and seats ask for the same one."""
    text = repr([values_of(attempt) for attempt in attempts])
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def claimed_families(
    log: AttemptLog,
    course: Course | None,
    prior: ClassPrior | None,
    seed: int,
    decisions: Decisions | None = None,
    *,
    window: Window = EVERYTHING,
) -> tuple[str, ...]:
    """Families that the last checkpoint supports, from the attempts up to it alone.

    `log` holds all judged attempts, which are counted; `window` says which of those that there were
    then it rests on.
    """
    checkpoint = last_checkpoint(len(log))
    if checkpoint is None:
        return ()
    then = recent(log.first(checkpoint), window)
    if then.failures < LEAST_FAILURES_FOR_CLAIMS or len(then) - then.failures < LEAST_GOOD:
        return ()

    limit = _left_for_failures(then)

    def decide() -> tuple[str, ...]:
        prepared = PreparedLog.of(then, course, prior)
        return well_supported(
            lambda beside: prepared.search(beside, causes_only=True),
            np.random.default_rng([seed, checkpoint]),
            most=MOST_CLAIMS,
            limit=limit,
        )

    return decided(decisions, then, ("failures", limit, course, prior, seed), decide)


def _left_for_failures(log: AttemptLog) -> float:
    """The share that failures may be claimed at, beside the seats that are claimed as well."""
    enough = 0
    for measure in (measured_overcut, measured_depth_error):
        measured = (1 for attempt in log.attempts if measure(attempt) is not None)
        enough += sum(itertools.islice(measured, LEAST_FOR_CLAIMS)) == LEAST_FOR_CLAIMS
    return CLAIM_SHARE - enough * SEAT_SHARE


def well_supported(
    ask: Ask, rng: np.random.Generator, *, most: int, limit: float
) -> tuple[str, ...]:
    """The families that may be claimed of a log, strongest first; at most so many.

    `limit` is how often chance alone may give a family as strong.

    Each next family is asked with the ones before it in the model; the first that chance alone
    gives as strong too often ends it.
    """
    families: list[str] = []
    beside: list[Candidate] = []
    while len(families) < most:
        search = ask(beside)
        ranked = search.ranked()
        if not ranked:
            break
        strength = ranked[0].log_odds
        share = claim_share(search, strength, rng, most=CLAIM_DRAWS, limit=limit)
        if share.value > limit:
            break
        families.append(ranked[0].family)
        beside.append(ranked[0].cell.candidate)
    return tuple(families)


def standing_out(
    ask: Ask, claimed: Sequence[str], rng: np.random.Generator, *, leads: LeadLimit
) -> tuple[FoundFamily, ...]:
    """The claims that stand and the leads of today, strongest first, each beside the ones before.

    A claim that stands is shown however strong it is today, but behind a stronger lead, which would
    otherwise take its share of the weight. A claim takes a lead's place, also where today's log can
    no longer judge its variable.
    """
    shown: list[FoundFamily] = []
    waiting = list(claimed)
    most = max(leads.most, len(claimed))
    while waiting or len(shown) < most:
        search = ask([family.candidate for family in shown])
        ranked = search.ranked()
        room = len(shown) + len(waiting) < most
        leading = ranked[0] if ranked and room and ranked[0].family not in waiting else None
        best = _lead(search, leading, rng, leads) if leading is not None else None
        if best is None:
            claim = next((r for r in ranked if r.family in waiting), None)
            if claim is None:
                break
            share = lead_share(search, claim.log_odds, rng).value
            best = FoundFamily(claim, search, share, claimed=True)
            waiting.remove(claim.family)
        shown.append(best)
    return tuple(shown)


def _lead(
    search: Search, first: Ranked, rng: np.random.Generator, leads: LeadLimit
) -> FoundFamily | None:
    share = lead_share(search, first.log_odds, rng, limit=leads.share).value
    return FoundFamily(first, search, share, claimed=False) if share <= leads.share else None
