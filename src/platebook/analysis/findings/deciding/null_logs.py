"""Logs with nothing behind their failures: drawn from a search's null, scored, and counted.

Logs are drawn from the null model of each defect (practice, size, grade and session explain
everything), failure follows from the drawn defects, and the best family's posterior odds are kept.

| function | answers |
|---|---|
| `draw` | outcomes of logs in which nothing goes with anything |
| `lead_share` | how often such a log has a best family as strong, for a lead |
| `claim_share` | the same, as carefully as it takes to tell on which side of a limit it lies |

A drawn log is scored by the straight line around the observed null (`scores.Straight`), a
hundredfold faster than fitting the null anew. It is on the strict side: where 3 in 100 refitted
draws are as strong, 4 to 5 scored so are, and where 50 are, 52 (96 simulated logs of 24 to 200
attempts). A lead says the share by that alone. A claim is decided by it where the share lies far
from the limit; else every draw that lies near the log itself is fitted anew.
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.findings.asking.judged_outcomes import MOST_REFITTED, JudgedPart
from platebook.analysis.findings.asking.search import Search
from platebook.analysis.findings.measured.heights import SHOWS, Height, HeightSource
from platebook.analysis.findings.measured.measured_responses import MeasuredPart
from platebook.analysis.models.bayes_factors import Prior, log_odds, log_sums, log_terms
from platebook.analysis.models.null_model import Frame, fit_null
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import ANY
from platebook.values import Value

_ROWS_AT_ONCE = 200_000
_MOST_AT_ONCE = 100
_REST = "the rest"

LUCK_SD = 0.5
"""An evening's own luck in drawn logs, in log odds."""

LEAD_DRAWS = 199
_LEAD_AT_ONCE = 50
_LEAST_DRAWS, _LEAD_ENOUGH = 100, 30
_FIRST_DRAWS = 300
_FAR_ABOVE = 3.0
"""A share three times the limit, by the straight line, is above it: the line makes of a share at
the limit one and a half times as much at the most, and 300 draws add a third."""

_FAR_BELOW = 1.0 / 3.0
"""A share of a third of the limit would be seen in 6 of 1,000 logs whose share is the limit, where
that is 3 % and 300 are drawn."""

_TOGETHER = 5
_NEAR = 1.0
"""Draws that the straight line puts this near to the log itself, in log odds, are fitted anew. Of
those that belong on the other side one in a hundred lies farther (14 times 1,500 drawn logs)."""


class Source(Value, eq=False):
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
    asked = dict.fromkeys(part.outcome for part in search.parts if isinstance(part, JudgedPart))
    followed = [outcome for outcome in asked if outcome != ANY]
    truths = {d: log.events[d] for d in followed}
    by_followed = np.zeros(len(log), dtype=bool)
    for defect in followed:
        by_followed |= log.failing[defect]
    truths[_REST] = log.failed & ~by_followed
    seen = {name: truth for name, truth in truths.items() if truth.any()}
    frame = Frame.of(search.adjusted)
    log_odds = {name: fixed @ frame.z.T for name, fixed in _fitted(search, frame, seen).items()}
    fails = {d: float(log.failing[d].sum() / log.events[d].sum()) for d in followed}
    measured = tuple(_height_source(search, height) for height in search.heights)
    return Source(log_odds, {**fails, _REST: 1.0}, frame.session, measured)


def _fitted(search: Search, frame: Frame, truths: Mapping[str, Truths]) -> dict[str, Floats]:
    """The null's coefficients for each of these; what the search has fitted is not fitted again."""
    every = [part for part in search.parts if len(part.rows) == len(search.log)]
    known = {
        part.outcome: part.judged.fits.fixed[part.place]
        for part in every
        if isinstance(part, JudgedPart)
    }
    left = [name for name in truths if name not in known]
    if left:
        fits = fit_null(frame, np.array([truths[name] for name in left], dtype=float))
        known |= dict(zip(left, fits.fixed, strict=True))
    return {name: known[name] for name in truths}


def _height_source(search: Search, height: Height) -> HeightSource:
    """The null of a height, from a part that asks about all of its readings or fitted anew."""
    for part in search.parts:
        if not isinstance(part, MeasuredPart) or part.outcome != height.name:
            continue
        if len(part.rows) == len(height.measurements):
            return HeightSource(height, part.fit)
    return HeightSource.of(height, search.adjusted)


def draw(made_from: Source, rng: np.random.Generator, draws: int) -> dict[str, Floats]:
    """Outcomes (draws by n each) of logs in which nothing goes with anything.

    Each session has luck of its own, the same for all defects: a bad evening is bad for all. Where
    a height was read, the stones that come out high are the highest ones. A log of seats alone has
    no defects to draw.
    """
    rows = len(made_from.session)
    luck = _luck(made_from.session, rng, draws) if made_from.log_odds else np.ones((draws, rows))
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
        odds = np.exp(fixed) * luck
        hit = chance * (1.0 + odds) < odds
        fails = made_from.fails[name]
        failed |= hit if fails >= 1.0 else hit & (rng.random((draws, rows)) < fails)
        outcomes[name] = hit.astype(float)
    outcomes[ANY] = failed.astype(float)
    return outcomes


def _luck(session: Whole, rng: np.random.Generator, draws: int) -> Floats:
    """Each session's own luck as a factor of the odds (draws by n)."""
    by_session = rng.standard_normal((draws, int(session[-1]) + 1))
    return np.asarray(np.exp(LUCK_SD * by_session)[:, session], dtype=float)


def at_once(rows: int) -> int:
    """How many logs of so many rows are drawn at once; bounds the memory."""
    return int(np.clip(_ROWS_AT_ONCE // max(rows, 1), 1, _MOST_AT_ONCE))


def best_log_odds(scores: Scores, prior: Prior) -> Floats:
    """The best family's posterior log odds of each draw (d)."""
    sums = log_sums(log_terms(scores, prior), prior.family, len(prior.families))
    return np.asarray(log_odds(sums).max(axis=1), dtype=float)


class Share(Value):
    """How many of the draws were at least as strong; `draws` may be fewer than asked for."""

    at_least: int
    draws: int

    @property
    def value(self) -> float:
        """The share, counting the log itself as one of its draws."""
        return (self.at_least + 1) / (self.draws + 1)


def lead_share(
    search: Search,
    strength: float,
    rng: np.random.Generator,
    draws: int = LEAD_DRAWS,
    *,
    limit: float = 1.0,
) -> Share:
    """How many logs with nothing behind them have a best family with at least these log odds.

    Drawing ends where so many are as strong that the share is sure to be above `limit`, or so many
    that it is told well enough (to about a sixth of itself; Besag and Clifford).
    """
    made_from, scores = source(search), search.scorer(straight=True)
    count = done = 0
    for size in _sizes(draws, len(search.log), _LEAD_AT_ONCE):
        drawn = best_log_odds(scores(draw(made_from, rng, size)), search.prior)
        count, done = count + int((drawn >= strength).sum()), done + size
        if count >= limit * (draws + 1) or (count >= _LEAD_ENOUGH and done >= _LEAST_DRAWS):
            break
    return Share(count, done)


def claim_share(
    search: Search, strength: float, rng: np.random.Generator, *, most: int, limit: float
) -> Share:
    """The same, to be held against `limit`: ends as soon as the side is clear.

    The first draws are scored by the straight line; a share far from the limit is theirs. Else
    those near `strength` are fitted anew, and drawing goes on until so many are as strong that
    `most` draws would be above the limit, or `most` are drawn (J. Besag and P. Clifford, Biometrika
    1991;78:301). A long log is scored by the line throughout.
    """
    null = _NullLogs(search, source(search), strength, rng)
    enough = int(_FAR_ABOVE * limit * (_FIRST_DRAWS + 1))
    first = null.by_line(min(most, _FIRST_DRAWS), enough)
    below = first.draws == _FIRST_DRAWS and first.value <= _FAR_BELOW * limit
    if below or (first.at_least >= enough and most >= _FIRST_DRAWS):
        return first
    return null.refitted(most, limit)


def _sizes(draws: int, rows: int, most: int = _MOST_AT_ONCE) -> Iterator[int]:
    step = min(at_once(rows), most)
    return (min(step, draws - done) for done in range(0, draws, step))


class _NullLogs:
    """Draws of one search in batches that can be drawn again: each has a generator of its own."""

    def __init__(
        self, search: Search, made_from: Source, strength: float, rng: np.random.Generator
    ) -> None:
        self._search, self._from, self._strength = search, made_from, strength
        self._line, self._refit = search.scorer(straight=True), search.scorer()
        self._seed = int(rng.integers(2**32))

    def _batch(self, number: int, size: int) -> tuple[dict[str, Floats], Floats]:
        drawn = draw(self._from, np.random.default_rng([self._seed, number]), size)
        return drawn, best_log_odds(self._line(drawn), self._search.prior)

    def by_line(self, draws: int, enough: int) -> Share:
        """The share of the first draws, scored by the straight line; ends at `enough` of them."""
        count = done = 0
        for number, size in enumerate(_sizes(draws, len(self._search.log))):
            count += int((self._batch(number, size)[1] >= self._strength).sum())
            done += size
            if count >= enough:
                break
        return Share(count, done)

    def refitted(self, most: int, limit: float) -> Share:
        """The share with every doubtful draw fitted anew; ends where the side is clear.

        Doubtful draws of several batches are fitted together, which takes hardly longer than one.
        """
        stop_at, count, done = int(limit * (most + 1)), 0, 0
        doubtful: list[dict[str, Floats]] = []
        sizes = list(_sizes(most, len(self._search.log)))
        for number, size in enumerate(sizes):
            drawn, by_line = self._batch(number, size)
            near = np.abs(by_line - self._strength) <= _NEAR
            if len(self._search.log) > MOST_REFITTED:
                near[:] = False
            count, done = count + int((by_line[~near] >= self._strength).sum()), done + size
            doubtful.append({name: outcome[near] for name, outcome in drawn.items()})
            if (number + 1) % _TOGETHER and number + 1 < len(sizes):
                continue
            count += self._as_strong(doubtful)
            doubtful = []
            plain = done >= _FIRST_DRAWS and count + 1 <= _FAR_BELOW * limit * (done + 1)
            if count >= stop_at or plain:
                break
        return Share(count, done)

    def _as_strong(self, doubtful: Sequence[Mapping[str, Floats]]) -> int:
        """How many of these draws are as strong, with the null fitted anew to each."""
        drawn = {name: np.vstack([part[name] for part in doubtful]) for name in doubtful[0]}
        if not len(next(iter(drawn.values()))):
            return 0
        anew = best_log_odds(self._refit(drawn), self._search.prior)
        # What could not be fitted is no number: it counts as strong and claims nothing.
        return int((~(anew < self._strength)).sum())
