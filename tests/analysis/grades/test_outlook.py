"""The outlook: exact where the share is known, a chance where the quartiles are not finite."""

import pytest

from platebook.analysis.grades.outlook import FAR, SOON, outlook
from platebook.analysis.grades.points import false_promotion, points_for
from platebook.analysis.success.share_good import ShareGood

RULE = points_for(0.20, 0.50)


def _known(share: float) -> ShareGood:
    """A share that is known: all chance in one place."""
    return ShareGood(share, share, share, 100, ((share - 1e-9, 0.0), (share, 1.0)))


def test_a_known_share_gives_the_exact_chances_of_the_points() -> None:
    """At the failure rate p1 the chance within twenty is that of a false promotion."""
    ahead = outlook(RULE, 0, _known(1 - RULE.p1))
    assert ahead.within == SOON
    assert ahead.chance == pytest.approx(false_promotion(RULE, SOON), abs=1e-6)
    assert (ahead.middle, ahead.low, ahead.high) == (None, None, None)


def test_whoever_never_fails_needs_the_points_that_are_missing() -> None:
    """Three of eleven points, and every setting good: eight more, whatever the luck."""
    ahead = outlook(RULE, 3, _known(1.0))
    assert (ahead.low, ahead.middle, ahead.high) == (8, 8, 8)
    assert ahead.chance == pytest.approx(1, abs=1e-6)


def test_quartiles_stand_in_order_and_are_finite_or_none() -> None:
    """Four of five good: a range with its middle inside."""
    ahead = outlook(RULE, 0, _known(0.8))
    assert ahead.low is not None
    assert ahead.middle is not None
    assert ahead.high is not None
    assert 11 <= ahead.low < ahead.middle < ahead.high <= FAR


def test_more_points_are_nearer() -> None:
    """The chance to pass soon grows with every point."""
    chances = [outlook(RULE, points, _known(0.7)).chance for points in range(RULE.up_at)]
    assert chances == sorted(chances)
