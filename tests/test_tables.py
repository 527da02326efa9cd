"""Rows of the tables that ship: read as values, and refused where a column is not as it should."""

import re

import pytest

from platebook.tables import Row, rows_as


class _Metal(Row):
    metal: str
    softness: float
    parts: tuple[str, ...] = ()


def test_a_row_is_a_value_and_its_numbers_are_numbers() -> None:
    """As a spreadsheet writes them, and as they are."""
    rows: list[dict[str, object]] = [
        {"metal": "copper", "softness": "4.00", "parts": ["cu"]},
        {"metal": "brass", "softness": 2},
    ]
    assert rows_as(_Metal, rows) == (_Metal("copper", 4.0, ("cu",)), _Metal("brass", 2.0))


@pytest.mark.parametrize(
    ("odd", "said"),
    [
        ({"metal": "copper"}, "missing required field `softness`"),
        ({"metal": "copper", "softness": "soft"}, "Expected `float`, got `str` - at `$.softness`"),
        ({"metal": "copper", "softness": 4, "sofness": 4}, "unknown field `sofness`"),
    ],
)
def test_a_row_that_is_none_is_refused_by_its_column(odd: dict[str, object], said: str) -> None:
    """One that is missing, one of another kind, one that nobody reads, as where it is misspelt."""
    with pytest.raises(ValueError, match=re.escape(said)):
        rows_as(_Metal, [odd])
