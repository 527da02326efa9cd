"""Logs with nothing behind them: drawn as often as the log shows its defects, and counted."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.findings.asking.search import PreparedLog, Search
from platebook.analysis.findings.deciding.null_logs import (
    Share,
    at_once,
    best_log_odds,
    claim_share,
    draw,
    lead_share,
    source,
)
from platebook.analysis.variables.attempt_log import ANY, attempt_log

NOTHING = planted(Plan(attempts=40), 11).attempts
WIDE = planted(Plan(104, (Cause("clearance_mm", "loose", size=2.0),)), 5).attempts
LIMIT = 0.03


def _search() -> Search:
    return PreparedLog.of(attempt_log(NOTHING)).search()


@given(st.integers(0, 500), st.integers(1, 500))
def test_a_share_counts_the_log_itself(at_least: int, more: int) -> None:
    """(k + 1) / (n + 1), never 0 (Davison & Hinkley, Bootstrap Methods, 1997, section 4.2)."""
    draws = at_least + more
    share = Share(at_least, draws).value
    assert share == (at_least + 1) / (draws + 1)
    assert 0.0 < share <= 1.0


def test_draws_fit_the_memory_of_a_long_log() -> None:
    """One to a hundred at once, fewer where rows are many."""
    assert [at_once(rows) for rows in (0, 100, 20_000, 10**7)] == [100, 100, 10, 1]


def test_drawn_defects_come_as_often_as_the_log_shows_them() -> None:
    """With nothing behind them: the mean rate of 400 draws is the log's own, within a fifth."""
    search = _search()
    outcomes = draw(source(search), np.random.default_rng(1), 400)
    failed = float(search.log.failed.mean())
    assert float(outcomes[ANY].mean()) == pytest.approx(failed, rel=0.2)
    assert set(np.unique(outcomes[ANY])) <= {0.0, 1.0}


def test_the_same_seed_draws_the_same_share() -> None:
    """Every draw comes from the generator alone."""
    search = _search()
    best = search.ranked()[0].log_odds
    shares = [lead_share(search, best, np.random.default_rng(3), 40) for _ in range(2)]
    assert shares[0] == shares[1]
    assert shares[0].draws == 40


def test_everything_is_as_strong_as_nothing_at_all() -> None:
    """Each draw beats minus infinity and none beats infinity."""
    search = _search()
    counts = [
        lead_share(search, limit, np.random.default_rng(3), 20).at_least
        for limit in (-np.inf, np.inf)
    ]
    assert counts == [20, 0]


def _refitted(search: Search, draws: int) -> np.ndarray:
    """The best log odds of draws whose null is fitted anew, sorted upwards."""
    drawn = draw(source(search), np.random.default_rng(8), draws)
    return np.sort(best_log_odds(search.scorer()(drawn), search.prior))


@pytest.mark.parametrize("seed", [11, 12, 13])
def test_a_leads_share_is_that_of_refitted_draws_or_stricter(seed: int) -> None:
    """At the middle and the upper tenth of 600 refitted draws, within four standard errors."""
    search = PreparedLog.of(attempt_log(planted(Plan(64), seed).attempts)).search()
    refitted = _refitted(search, 600)
    for share in (0.5, 0.1):
        strength = float(np.quantile(refitted, 1.0 - share))
        found = lead_share(search, strength, np.random.default_rng(4), 600).value
        error = 4.0 * np.sqrt(share * (1.0 - share) / 300)
        assert share - error < found < 1.3 * share + error


def test_a_claims_share_is_told_from_the_limit_on_both_sides() -> None:
    """Near the limit by refitted draws; a strength that one in ten draws has is far above it."""
    search = _search()
    refitted = _refitted(search, 1000)
    rng = np.random.default_rng
    far = claim_share(search, float(refitted[700]), rng(1), most=999, limit=LIMIT)
    assert (far.draws < 300, far.value > 3 * LIMIT) == (True, True)
    above = claim_share(search, float(refitted[930]), rng(1), most=999, limit=LIMIT)
    assert above.value > LIMIT
    below = claim_share(search, float(refitted[990]), rng(1), most=999, limit=LIMIT)
    assert below.value <= LIMIT
    never = claim_share(search, np.inf, rng(1), most=999, limit=LIMIT)
    assert (never.at_least, never.draws) == (0, 300)


def test_the_best_family_of_the_log_itself_is_its_first() -> None:
    """The observed scores have the log odds that the ranking gives."""
    search = _search()
    best = float(best_log_odds(search.observed(), search.prior)[0])
    assert best == pytest.approx(search.ranked()[0].log_odds)
