"""Student's t: a table, scipy, what it comes near to, and what is asked wrongly."""

import pytest
from scipy.special import stdtrit

from platebook.analysis.models.student_t import two_sided_point

TABLE = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 10: 2.228, 30: 2.042, 100: 1.984}
"""The points of 0.975 as tables of the distribution print them (memory; scipy agrees below)."""


def test_the_points_are_those_of_the_table() -> None:
    """To the three places that are printed."""
    assert {n: round(two_sided_point(n), 3) for n in TABLE} == TABLE


@pytest.mark.parametrize("share", [0.5, 0.95, 0.999])
def test_the_points_are_scipys(share: float) -> None:
    """For odd and even degrees, few and many."""
    for degrees in (1, 2, 3, 4, 5, 12, 59, 60, 499, 500):
        expected = float(stdtrit(degrees, 0.5 + share / 2))
        assert two_sided_point(degrees, share) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("degrees", "share"), [(0, 0.95), (-1, 0.95), (5, 0.0), (5, 1.0)])
def test_there_is_no_point_for_nothing(degrees: int, share: float) -> None:
    """No degrees of freedom, or a share that holds nothing or all."""
    with pytest.raises(ValueError, match="expected 1 or more"):
        two_sided_point(degrees, share)
