"""Claims and leads: what is well supported at the last checkpoint, what is worth watching now."""

from dataclasses import dataclass

import numpy as np

from platebook.analysis.bootstrap import Draws, Share, drawer, share_as_strong
from platebook.analysis.candidates import Candidate
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.counted import Counted
from platebook.analysis.evidence import (
    CLAIM_DRAWS,
    CLAIM_SHARE,
    LEAST_FAILURES_FOR_CLAIMS,
    LEAST_GOOD,
    last_checkpoint,
)
from platebook.analysis.ranking import Question, Ranked, rank
from platebook.analysis.search import Search
from platebook.analysis.weigh import Prior
from platebook.practice.course import Course

MOST_CLAIMS = 3
LEADS = 2
LEAD_DRAWS = 199
LEAST_LEAD_SHARE = 0.5
_STOP_AT = int(CLAIM_SHARE * (CLAIM_DRAWS + 1))


@dataclass(frozen=True, eq=False)
class Found:
    """One family that stands out: its rank, the search it was found in, and its chance share."""

    ranked: Ranked
    search: Search
    share: float
    claimed: bool


def chance_share(
    search: Search, best: Ranked, rng: np.random.Generator, draws: int, stop_at: int = 0
) -> Share:
    """How many logs with nothing behind them have a best family as strong as this one."""
    many = Draws.of(draws, len(search.counted), stop_at)
    prior = Prior.of(search.cells)
    return share_as_strong(best.log_odds, drawer(search), prior, rng, draws=many)


def claimed_families(
    counted: Counted, course: Course | None, prior: ClassPrior | None, seed: int
) -> tuple[str, ...]:
    """Families that the last checkpoint supports, from the attempts up to it alone.

    Each next family is asked with the ones before it in the model; the first that fails ends it.
    """
    checkpoint = last_checkpoint(len(counted))
    if checkpoint is None:
        return ()
    then = counted.first(checkpoint)
    if then.failures < LEAST_FAILURES_FOR_CLAIMS or len(then) - then.failures < LEAST_GOOD:
        return ()
    question = Question.of(then, course, prior)
    rng = np.random.default_rng([seed, checkpoint])
    families: list[str] = []
    found: list[Candidate] = []
    while len(families) < MOST_CLAIMS:
        search = question.search(found, causes_only=True)
        ranked = rank(search.cells, search.observed())
        if not ranked:
            break
        share = chance_share(search, ranked[0], rng, CLAIM_DRAWS, stop_at=_STOP_AT)
        if share.value > CLAIM_SHARE:
            break
        families.append(ranked[0].family)
        found.append(ranked[0].cell.candidate)
    return tuple(families)


def standing_out(question: Question, claimed: tuple[str, ...], seed: int) -> tuple[Found, ...]:
    """The claims that stand and the leads of today, strongest first, each beside the ones before.

    A lead is shown only where at least every other log with nothing behind it would not show one
    as strong. A claim that stands is shown in any case, but behind a stronger lead, which would
    otherwise take its share of the weight.
    """
    rng = np.random.default_rng([seed, len(question.counted)])
    found: list[Found] = []
    wanted = list(claimed)
    while True:
        search = question.search([one.ranked.cell.candidate for one in found])
        ranked = rank(search.cells, search.observed())
        room = len(found) + len(wanted) < max(LEADS, len(claimed))
        leading = ranked[0] if ranked and room and ranked[0].family not in wanted else None
        best = _lead(search, leading, rng) if leading is not None else None
        if best is None:
            standing = next((r for r in ranked if r.family in wanted), None)
            if standing is None:
                return tuple(found)
            share = chance_share(search, standing, rng, LEAD_DRAWS).value
            best = Found(standing, search, share, claimed=True)
            wanted.remove(standing.family)
        found.append(best)


def _lead(search: Search, first: Ranked, rng: np.random.Generator) -> Found | None:
    share = chance_share(search, first, rng, LEAD_DRAWS).value
    return Found(first, search, share, claimed=False) if share <= LEAST_LEAD_SHARE else None
