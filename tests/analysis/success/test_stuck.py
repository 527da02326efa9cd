"""Stuck at a grade: low and flat over forty settings, and nothing else."""

import numpy as np
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.analysis.grades.whole_settings import whole_settings
from platebook.analysis.success.stuck import LONG, LOW, stuck_at

COURSE = two_track_course()


def _stuck(signs: str) -> bool:
    return stuck_at(whole_settings(COURSE, evenings(signs))) is not None


def test_two_in_five_for_long_is_stuck() -> None:
    """Forty settings of which sixteen came out good; thirty-nine are too few to say."""
    signs = "+-+--" * 8
    assert _stuck(signs)
    assert not _stuck(signs[: LONG - 1])
    stuck = stuck_at(whole_settings(COURSE, evenings(signs)))
    assert stuck is not None
    assert stuck.share.share < LOW


def test_for_how_long_is_counted_from_where_it_went_low() -> None:
    """All of a log that was never good; only what came after it was."""
    never = stuck_at(whole_settings(COURSE, evenings("+-+--" * 16)))
    assert never is not None
    assert never.settings == 80
    since = stuck_at(whole_settings(COURSE, evenings("+" * 60 + "+---" * 15)))
    assert since is not None
    assert LONG <= since.settings <= 64


def test_nothing_logged_is_not_stuck() -> None:
    """Nor is who gets all of them right."""
    assert not _stuck("")
    assert not _stuck("+" * 60)


def test_who_gets_better_is_not_stuck() -> None:
    """From hardly any to more than half: the share lies above the band of before."""
    assert not _stuck("-" * 30 + "-+" * 15 + "+" * 15)


def test_it_is_said_seldom_of_who_does_well_and_often_of_who_does_not() -> None:
    """Of 60 logs of 60 settings each: at 0.40 nearly always, at 0.80 never."""
    rng = np.random.default_rng(20260101)
    said = {
        rate: sum(
            _stuck("".join("+" if good else "-" for good in rng.random(60) < rate))
            for _ in range(60)
        )
        for rate in (0.40, 0.80)
    }
    assert said[0.40] >= 50
    assert said[0.80] == 0
