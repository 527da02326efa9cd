"""The share good now: one function, the same as the curve's end, in words with its unit."""

from datetime import UTC, datetime, timedelta

from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.analysis.grades.whole_settings import whole_settings
from platebook.analysis.success.share_good import (
    ShareGood,
    share_good_now,
    share_good_over,
    share_words,
)
from platebook.values import replace

COURSE = two_track_course()


def test_with_no_whole_setting_there_is_none() -> None:
    """No number is made up."""
    assert share_good_now([]) is None
    assert share_good_over([])[0] is None


def test_the_share_is_the_end_of_the_curve() -> None:
    """The same posterior, asked with and without the way there."""
    settings = whole_settings(COURSE, evenings("++-++-+++"))
    now, (over, curve) = share_good_now(settings), share_good_over(settings)
    assert now is not None
    assert over is not None
    assert now.chances == over.chances
    last = curve.points[-1]
    assert (over.share, over.low, over.high) == (last.rate, last.low, last.high)
    assert now.settings == 9


def _twenty_good(pause: int) -> ShareGood:
    began = datetime(2026, 1, 5, 18, 0, tzinfo=UTC)
    days = [began + timedelta(days=3 * n) for n in range(19)]
    days.append(days[-1] + timedelta(days=pause))
    log = [
        replace(attempt, began=day) for attempt, day in zip(evenings("+" * 20), days, strict=True)
    ]
    share = share_good_now(whole_settings(COURSE, log))
    assert share is not None
    return share


def test_a_long_pause_widens_the_band() -> None:
    """The same settings, the last one half a year later."""
    close, apart = _twenty_good(3), _twenty_good(180)
    assert apart.high - apart.low > close.high - close.low


def test_words_name_the_unit_and_are_empty_for_none() -> None:
    """A share is told in hundredths, with its band."""
    assert share_words(0.724, 0.51, 0.869) == (
        "about 72 in 100 come out good now (may be 51 to 87)"
    )
    assert share_words(None, None, None) == ""
