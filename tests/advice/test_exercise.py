"""A part exercise under way: when it is over, by tries or by rows."""

from dataclasses import replace

import pytest

from platebook.advice.ladder import IN_USE
from platebook.advice.replay import Tries

ROWS = replace(IN_USE, row=5, row_pass=4)


def _tries(signs: str) -> Tries:
    return Tries("depth", tuple(sign == "+" for sign in signs))


@pytest.mark.parametrize(
    ("signs", "over", "left"),
    [("", False, 4), ("+", False, 3), ("++", True, 2), ("-+-", False, 1), ("-+-+", True, 0)],
)
def test_two_in_a_row_or_four_tries(signs: str, over: bool, left: int) -> None:  # noqa: FBT001
    """The rule in use ends a part by two good in a row or by four tries."""
    tries = _tries(signs)
    assert (tries.is_over(IN_USE), tries.left(IN_USE)) == (over, left)


@pytest.mark.parametrize(
    ("signs", "over", "left"),
    [
        ("++++", False, 6),
        ("++-++", True, 5),
        ("++--+", False, 5),
        ("++--+-++++", True, 0),
        ("----------", True, 0),
    ],
)
def test_rows_of_five_with_four_to_pass(signs: str, over: bool, left: int) -> None:  # noqa: FBT001
    """By rows a part ends with a full row of four good ones, or after two rows."""
    tries = _tries(signs)
    assert (tries.is_over(ROWS), tries.left(ROWS)) == (over, left)
