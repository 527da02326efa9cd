"""Run lengths of a course's points and watch: exact values, and their order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.advice.two_track_course import LAST, LEARNING

from platebook.analysis.grades.points import points_for
from platebook.analysis.grades.run_lengths import run_lengths
from platebook.practice.courses.course import Points


def test_a_setter_half_way_between_the_rates_often_passes() -> None:
    """Failing 35 in 100 at a learning grade: 0.475 within 60, by an independent computation."""
    lengths = run_lengths(LEARNING)
    assert lengths.between == pytest.approx(0.35)
    assert lengths.passes_between == pytest.approx(0.475, abs=0.0005)
    assert lengths.passes_at_p1 == pytest.approx(0.038, abs=0.0005)


def test_the_watch_raises_false_alarms() -> None:
    """Within 100 settings at p0 0.32; twice p0 is seen after 23 settings, or 39 at 10 in 100."""
    learning, last = run_lengths(LEARNING), run_lengths(LAST)
    assert (learning.watch_at, last.watch_at) == (8, 11)
    assert learning.false_alarm == pytest.approx(0.316, abs=0.0005)
    assert last.false_alarm == pytest.approx(0.325, abs=0.0005)
    assert learning.sees_doubled == pytest.approx(23.0, abs=0.05)
    assert last.sees_doubled == pytest.approx(38.8, abs=0.05)


def test_a_rate_that_doubles_beyond_all_counts_as_all() -> None:
    """p0 0.6 twice is a setter who always fails: the watch sees it as soon as it can."""
    lengths = run_lengths(Points(p0=0.6, p1=0.9, good=1, failure=-1, up_at=3))
    assert lengths.sees_doubled == lengths.watch_at


@given(st.floats(0.05, 0.4), st.floats(0.15, 0.4))
def test_who_fails_more_passes_less_and_is_seen_sooner(p0: float, apart: float) -> None:
    """Whatever rates a course chooses."""
    lengths = run_lengths(points_for(p0, p0 + apart))
    assert lengths.passes_at_p0 >= lengths.passes_between >= lengths.passes_at_p1
    assert lengths.quiet >= lengths.sees_doubled
    assert 0 <= lengths.false_alarm <= 1
