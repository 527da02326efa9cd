"""Claims and leads: how often a lead as strong turns up with nothing behind it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis.findings.claims import (
    Draws,
    LeadLimit,
    Share,
    best_log_odds,
    claimed_families,
    draw,
    drawer,
    share_as_strong,
    source,
    standing_out,
)
from platebook.analysis.findings.search import PreparedLog, Search
from platebook.analysis.variables.attempt_log import ANY, attempt_log

NOTHING = planted(Plan(attempts=40), 11).attempts
WIDE = planted(Plan(104, (Cause("clearance_mm", "loose", size=2.0),)), 5).attempts


def _search() -> Search:
    return PreparedLog.of(attempt_log(NOTHING)).search()


@given(st.integers(0, 500), st.integers(1, 500))
def test_a_share_counts_the_log_itself(at_least: int, more: int) -> None:
    """(k + 1) / (n + 1), never 0 (Davison & Hinkley, Bootstrap Methods, 1997, section 4.2)."""
    draws = at_least + more
    share = Share(at_least, draws).value
    assert share == (at_least + 1) / (draws + 1)
    assert 0.0 < share <= 1.0


def test_drawing_ends_where_the_answer_cannot_change() -> None:
    """At `stop_at` as strong, or after 300 draws with at most two; without a limit, never."""
    draws = Draws(999, stop_at=30)
    assert [draws.settled(*seen) for seen in ((30, 40), (29, 40), (2, 300), (3, 300))] == [
        True,
        False,
        True,
        False,
    ]
    assert not Draws(999).settled(500, 998)


def test_draws_fit_the_memory_of_a_long_log() -> None:
    """One to a hundred at once, fewer where rows are many."""
    assert [Draws.of(99, rows).at_once for rows in (0, 100, 20_000, 10**7)] == [100, 100, 10, 1]


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
    shares = [
        share_as_strong(
            best, drawer(search), search.prior, np.random.default_rng(3), draws=Draws(40)
        )
        for _ in range(2)
    ]
    assert shares[0] == shares[1]
    assert shares[0].draws == 40


def test_everything_is_as_strong_as_nothing_at_all() -> None:
    """Each draw beats minus infinity and none beats infinity."""
    search = _search()
    counts = [
        share_as_strong(
            limit, drawer(search), search.prior, np.random.default_rng(3), draws=Draws(20)
        ).at_least
        for limit in (-np.inf, np.inf)
    ]
    assert counts == [20, 0]


def test_the_best_family_of_the_log_itself_is_its_first() -> None:
    """The observed scores have the log odds that the ranking gives."""
    search = _search()
    best = float(best_log_odds(search.observed(), search.prior)[0])
    assert best == pytest.approx(search.ranked()[0].log_odds)


def test_a_strong_planted_habit_is_claimed_from_its_last_checkpoint() -> None:
    """104 attempts are a checkpoint; thirty are none, and claim nothing."""
    log = attempt_log(WIDE)
    assert claimed_families(log, None, None, 1)[:1] == ("width of the seat",)
    assert claimed_families(log.first(30), None, None, 1) == ()


def test_a_claim_that_stands_is_shown_though_no_lead_may_be() -> None:
    """With no room for leads the claimed family alone stands out."""
    prepared = PreparedLog.of(attempt_log(WIDE))
    (family,) = standing_out(
        prepared.search,
        ["width of the seat"],
        np.random.default_rng(2),
        leads=LeadLimit(most=0, share=0.5),
    )
    assert (family.ranked.family, family.claimed) == ("width of the seat", True)
