"""Whether the share good has changed: better or worse only where the bands lie apart."""

from typing import NamedTuple

import pytest

from platebook.analysis.success.change import change_of, change_words
from platebook.analysis.success.success_curve import success_curve


class Point(NamedTuple):
    """The curve at one setting."""

    rate: float
    low: float
    high: float


MIDDLE = Point(0.5, 0.4, 0.6)


@pytest.mark.parametrize(
    ("last", "says"),
    [
        (
            Point(0.8, 0.61, 0.9),
            "Better over the last 8: from 50 to 80 in 100, hardly chance.",
        ),
        (
            Point(0.2, 0.1, 0.39),
            "Worse over the last 8: from 50 to 20 in 100, hardly chance.",
        ),
        (
            Point(0.8, 0.6, 0.9),
            "Over the last 8: from 50 to 80 in 100, which may be chance.",
        ),
        (MIDDLE, "No change seen over the last 8: about 50 in 100."),
    ],
)
def test_it_is_better_or_worse_only_where_the_bands_lie_apart(last: Point, says: str) -> None:
    """Bands that touch may be chance, however far the middles are."""
    assert change_words(change_of([MIDDLE] * 7 + [last])) == says


def test_only_the_last_forty_settings_are_looked_at() -> None:
    """What was before them is another time."""
    curve = [Point(0.1, 0.05, 0.2), *[MIDDLE] * 40]
    assert change_words(change_of(curve)) == "No change seen over the last 40: about 50 in 100."


def test_of_too_few_settings_nothing_is_said() -> None:
    """None, and one fewer than eight."""
    assert (change_of([]), change_of([MIDDLE] * 7), change_words(None)) == (None, None, "")


def test_a_log_that_turned_for_the_better_is_told_so() -> None:
    """Forty failures and then forty good ones, by the curve itself."""
    good = [False] * 40 + [True] * 40
    points = success_curve(good, [None] * len(good)).points
    assert change_words(change_of(points[20:60])).startswith("Better over the last 40: ")
