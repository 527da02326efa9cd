"""The chart of a curve: signs for few settings, shares for many, by setting and by date."""

from datetime import timedelta

import pytest
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.analysis.grades.progress import progress
from platebook.analysis.success.tally import Tally
from platebook.tui.grades.curve_chart import (
    MOST_DOTS,
    MOST_POINTS,
    MOST_SIGNS,
    curve_chart,
    now_line,
)


def _tally(signs: str) -> Tally:
    return progress(two_track_course(), evenings(signs)).grades[0]


def test_few_settings_have_a_sign_each() -> None:
    """Good ones on top, failures at the foot."""
    *_, good, failed = curve_chart(_tally("++-+")).series
    assert (good.xs, good.ys) == ((1.0, 2.0, 4.0), (1.0, 1.0, 1.0))
    assert (failed.xs, failed.ys) == ((3.0,), (0.0,))


def test_many_settings_are_shares() -> None:
    """Of 1,000 in turn good and failed, each dot is about a half, and the lines are thinned."""
    chart = curve_chart(_tally("+-" * 500))
    *lines, dots = chart.series
    assert 0 < len(dots.xs) <= MOST_DOTS
    assert all(share == pytest.approx(0.5, abs=0.02) for share in dots.ys)
    assert [len(line.xs) <= MOST_POINTS + 1 for line in lines] == [True] * 3
    assert lines[0].xs[-1] == 1000
    assert "good of each 28" in chart.x_label


@pytest.mark.parametrize("count", [8, MOST_SIGNS + 80])
def test_by_date_the_evenings_lie_a_week_apart(count: int) -> None:
    """The axis has days; ticks are dates."""
    tally = _tally("+" * count)
    chart = curve_chart(tally, by_date=True)
    first, last = chart.x_limits
    weeks = (count - 1) // 8
    assert last - first == pytest.approx(max(7 * weeks, 1), abs=1)
    day = tally.curve[0].day
    assert day is not None
    assert chart.x_ticks[0][0] == day.toordinal()
    assert chart.x_ticks[0][1] in {f"{day.day} {day:%b}", f"{day:%b %Y}"}


def test_one_setting_and_none_can_be_drawn() -> None:
    """The axis is never of no length."""
    for signs in ("", "+"):
        for by_date in (False, True):
            first, last = curve_chart(_tally(signs), by_date=by_date).x_limits
            assert last - first >= timedelta(days=1).days


def test_one_setting_is_the_only_one_told_on_the_axis() -> None:
    """There is no second one to count yet."""
    assert [told for _, told in curve_chart(_tally("+")).x_ticks] == ["1"]


def test_words_say_counts_and_the_share_now() -> None:
    """With intervals; without settings that there are none."""
    tally = _tally("++-+")
    assert now_line(tally).endswith(")")
    assert "in 100 come out good now (may be " in now_line(tally)
    assert now_line(_tally("")) == "nothing set here yet"
