"""Claims and leads: by a bootstrap of how often a lead this strong turns up with nothing behind it.

Logs are drawn from the null model of each defect (practice, size, grade and session explain
everything), failure follows from the drawn defects, the null is fitted again to each draw, and the
best family's posterior odds are kept.

| function | answers |
|---|---|
| `claimed_families` | what goes with failure well enough to be claimed |
| `well_supported` | the same question for any log made ready, step by step |
| `standing_out` | the claims that stand and the leads of today, strongest first |

Failures (`find`) and measured seats (`upstream`) are searched by the same two functions. What they
are asked with differs, and each says why: how many claims and leads, and how often chance alone may
give a lead as strong.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.findings.candidates import Candidate
from platebook.analysis.findings.heights import SHOWS, HeightSource
from platebook.analysis.findings.results import (
    CLAIM_DRAWS,
    CLAIM_SHARE,
    LEAST_FAILURES_FOR_CLAIMS,
    LEAST_GOOD,
    last_checkpoint,
)
from platebook.analysis.findings.search import Part, PreparedLog, Ranked, Search
from platebook.analysis.models.bayes_factors import ClassPrior, Prior, log_odds, log_sums, log_terms
from platebook.analysis.models.null_model import SESSION_SD, Frame, Scores, fit_null, sigmoid
from platebook.analysis.variables.attempt_log import (
    ANY,
    EVERYTHING,
    AttemptLog,
    Window,
    recent,
)
from platebook.practice.course import Course

_ROWS_AT_ONCE = 200_000
_PLAIN_AFTER, _PLAIN_AT_MOST = 300, 2
_REST = "the rest"


@dataclass(frozen=True, slots=True)
class Draws:
    """How many logs to draw.

    With `stop_at` the drawing ends as soon as that many are as strong: the answer "more than a
    share of `stop_at` in `most`" can then no longer change. It also ends where the answer is plain
    the other way: after 300 draws with at most two (a share of 3 % would show so few in 6 of 1,000
    logs). `at_once` bounds the memory.
    """

    most: int
    stop_at: int = 0
    at_once: int = 100

    def settled(self, count: int, done: int) -> bool:
        """Whether more draws could hardly change what `stop_at` asks."""
        if not self.stop_at:
            return False
        return count >= self.stop_at or (done >= _PLAIN_AFTER and count <= _PLAIN_AT_MOST)

    @classmethod
    def of(cls, most: int, rows: int, stop_at: int = 0) -> "Draws":
        """As many, drawn at once in numbers that fit the log's rows."""
        return cls(most, stop_at, int(np.clip(_ROWS_AT_ONCE // max(rows, 1), 1, 100)))


@dataclass(frozen=True, eq=False)
class Source:
    """What draws are made from: n log odds a defect, without the sessions' luck.

    `fails` is the share of the defect's events that fail.
    """

    log_odds: Mapping[str, Floats]
    fails: Mapping[str, float]
    session: Whole
    heights: tuple[HeightSource, ...] = ()


def source(search: Search) -> Source:
    """The null of each followed defect; failures by other defects are drawn together."""
    log = search.log
    asked = dict.fromkeys(part.outcome for part in search.parts if isinstance(part, Part))
    followed = [outcome for outcome in asked if outcome != ANY]
    truths = {d: log.events[d] for d in followed}
    by_followed = np.zeros(len(log), dtype=bool)
    for defect in followed:
        by_followed |= log.failing[defect]
    truths[_REST] = log.failed & ~by_followed
    frame = Frame.of(search.adjusted)
    log_odds = {
        name: frame.z @ fit_null(frame, truth[None, :].astype(float)).fixed[0]
        for name, truth in truths.items()
        if truth.any()
    }
    fails = {d: float(log.failing[d].sum() / log.events[d].sum()) for d in followed}
    measured = tuple(HeightSource.of(height, search.adjusted) for height in search.heights)
    return Source(log_odds, {**fails, _REST: 1.0}, frame.session, measured)


def draw(made_from: Source, rng: np.random.Generator, draws: int) -> dict[str, Floats]:
    """Outcomes (draws by n each) of logs in which nothing goes with anything.

    Each session has luck of its own, the same for all defects: a bad evening is bad for all. Where
    a height was read, the stones that come out high are the highest ones. A log of seats alone has
    no defects to draw.
    """
    rows = len(made_from.session)
    luck = _luck(made_from.session, rng, draws) if made_from.log_odds else np.zeros((draws, rows))
    failed = np.zeros((draws, rows), dtype=bool)
    outcomes: dict[str, Floats] = {}
    higher: dict[str, tuple[Whole, Floats]] = {}
    for height_source in made_from.heights:
        height = height_source.height
        truth, above = height_source.draw(rng, draws)
        outcomes[height.name] = np.zeros((draws, rows))
        outcomes[height.name][:, height.measurements.rows] = truth
        for defect, sign in SHOWS.get(height.name, ()):
            higher[defect] = height.measurements.rows, above if sign > 0 else 1.0 - above
    for name, fixed in made_from.log_odds.items():
        chance = rng.random((draws, rows))
        if name in higher:
            chance[:, higher[name][0]] = higher[name][1]
        hit = chance < sigmoid(fixed + luck)
        failed |= hit & (rng.random((draws, rows)) < made_from.fails[name])
        outcomes[name] = hit.astype(float)
    outcomes[ANY] = failed.astype(float)
    return outcomes


def _luck(session: Whole, rng: np.random.Generator, draws: int) -> Floats:
    """Each session's own luck in log odds (draws by n)."""
    by_session = rng.standard_normal((draws, int(session[-1]) + 1))
    return np.asarray(SESSION_SD * by_session[:, session], dtype=float)


Drawer = Callable[[np.random.Generator, int], Scores]


def drawer(search: Search, *, straight: bool = False) -> Drawer:
    """A function that draws d logs with nothing behind them and scores their cells."""
    made_from, scores = source(search), search.scorer(straight=straight)
    return lambda rng, draws: scores(draw(made_from, rng, draws))


def best_log_odds(scores: Scores, prior: Prior) -> Floats:
    """The best family's posterior log odds of each draw (d)."""
    sums = log_sums(log_terms(scores, prior), prior.family, len(prior.families))
    return np.asarray(log_odds(sums).max(axis=1), dtype=float)


@dataclass(frozen=True, slots=True)
class Share:
    """How many of the draws were at least as strong; `draws` may be fewer than asked for."""

    at_least: int
    draws: int

    @property
    def value(self) -> float:
        """The share, counting the log itself as one of its draws."""
        return (self.at_least + 1) / (self.draws + 1)


def share_as_strong(
    observed: float, drawn: Drawer, prior: Prior, rng: np.random.Generator, *, draws: Draws
) -> Share:
    """Draw logs and count those whose best family is at least as strong as `observed`."""
    count = done = 0
    while done < draws.most and not draws.settled(count, done):
        size = min(draws.at_once, draws.most - done)
        # What could not be fitted is no number: it counts as strong, so that it claims nothing.
        count += int((~(best_log_odds(drawn(rng, size), prior) < observed)).sum())
        done += size
    return Share(count, done)


MOST_CLAIMS = 3
LEADS = 2
LEAD_SHARE = 0.5
"""A lead of what goes with failure is shown where at most every other log with nothing behind it
has one as strong. Leads are the first answer of a young log, and each says its own share beside it:
of 40 simulated logs of 40 attempts with one strong cause 0.65 showed it first, and 0.50 at 0.2. For
measured seats the share is smaller: `upstream.SEAT_LEAD_SHARE` says why."""

LEAD_DRAWS = 199
_STOP_AT = int(CLAIM_SHARE * (CLAIM_DRAWS + 1))

Ask = Callable[[Sequence[Candidate]], Search]
"""A log's search beside the candidates already found (`PreparedLog.search`)."""


@dataclass(frozen=True, slots=True)
class LeadLimit:
    """When a lead is shown: at most so many with the claims, each at most so often by chance."""

    most: int
    share: float


@dataclass(frozen=True, eq=False)
class FoundFamily:
    """One family that stands out: its rank, the search it was found in, its chance share."""

    ranked: Ranked
    search: Search
    share: float
    claimed: bool

    @property
    def candidate(self) -> Candidate:
        """The family's best candidate, beside which the next family is asked."""
        return self.ranked.cell.candidate


def chance_share(
    search: Search, best: Ranked, rng: np.random.Generator, draws: int, stop_at: int = 0
) -> Share:
    """How many logs with nothing behind them have a best family as strong as this one."""
    many = Draws.of(draws, len(search.log), stop_at)
    return share_as_strong(best.log_odds, drawer(search), search.prior, rng, draws=many)


def claimed_families(
    log: AttemptLog,
    course: Course | None,
    prior: ClassPrior | None,
    seed: int,
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
    prepared = PreparedLog.of(then, course, prior)
    return well_supported(
        lambda beside: prepared.search(beside, causes_only=True),
        np.random.default_rng([seed, checkpoint]),
        most=MOST_CLAIMS,
    )


def well_supported(ask: Ask, rng: np.random.Generator, *, most: int) -> tuple[str, ...]:
    """The families that may be claimed of a log, strongest first; at most so many.

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
        share = chance_share(search, ranked[0], rng, CLAIM_DRAWS, stop_at=_STOP_AT)
        if share.value > CLAIM_SHARE:
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
            share = chance_share(search, claim, rng, LEAD_DRAWS).value
            best = FoundFamily(claim, search, share, claimed=True)
            waiting.remove(claim.family)
        shown.append(best)
    return tuple(shown)


def _lead(
    search: Search, first: Ranked, rng: np.random.Generator, leads: LeadLimit
) -> FoundFamily | None:
    share = chance_share(search, first, rng, LEAD_DRAWS).value
    return FoundFamily(first, search, share, claimed=False) if share <= leads.share else None
