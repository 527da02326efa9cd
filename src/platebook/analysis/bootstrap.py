"""The parametric bootstrap: how often a lead this strong turns up with nothing behind it.

Logs are drawn from the null model of each defect (practice, size, grade and session explain
everything), failure follows from the drawn defects, the null is fitted again to each draw, and the
best family's posterior odds are kept.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.counted import ANY
from platebook.analysis.heights import SHOWS, HeightSource
from platebook.analysis.nuisance import SESSION_SD
from platebook.analysis.null_model import Frame, fit_null, sigmoid
from platebook.analysis.scores import Scores
from platebook.analysis.search import Part, Search
from platebook.analysis.weigh import Prior, log_odds, log_sums, log_terms

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
    counted = search.counted
    asked = dict.fromkeys(part.outcome for part in search.parts if isinstance(part, Part))
    followed = [outcome for outcome in asked if outcome != ANY]
    truths = {d: counted.events[d] for d in followed}
    by_followed = np.zeros(len(counted), dtype=bool)
    for defect in followed:
        by_followed |= counted.failing[defect]
    truths[_REST] = counted.failed & ~by_followed
    frame = Frame.of(search.adjusted)
    log_odds = {
        name: frame.z @ fit_null(frame, truth[None, :].astype(float)).fixed[0]
        for name, truth in truths.items()
        if truth.any()
    }
    fails = {d: float(counted.failing[d].sum() / counted.events[d].sum()) for d in followed}
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
    for source_of in made_from.heights:
        height = source_of.height
        truth, above = source_of.draw(rng, draws)
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
        some = min(draws.at_once, draws.most - done)
        count += int((best_log_odds(drawn(rng, some), prior) >= observed).sum())
        done += some
    return Share(count, done)
