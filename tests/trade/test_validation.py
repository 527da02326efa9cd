"""Bad values are named with field, what was read and what is possible."""

import pytest

from platebook.trade import Sheet, Stone, check_sheet, check_stone
from platebook.trade.validation import Values


@pytest.mark.parametrize("diameter_mm", [0, 0.0, -1.98, 40, 0.078, None, "two", True])
def test_impossible_diameters(diameter_mm: object) -> None:
    """Zero, negative, far too large, inches, nothing, words: one fault each, never an error."""
    faults = check_stone({"diameter_mm": diameter_mm})
    assert [fault.field for fault in faults] == ["diameter_mm"]
    assert "a round stone of 0.7 to 10 mm" in faults[0].expected


def test_inches_are_guessed() -> None:
    """0.078 in is 1.981 mm (one inch is exactly 25.4 mm)."""
    (fault,) = check_stone({"diameter_mm": 0.078})
    assert fault.expected.endswith("did you mean inches? 0.078 in is 1.981 mm")


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"diameter_mm": 2.0, "depth_mm": 2.1}, "depth_mm"),
        ({"diameter_mm": 2.0, "depth_mm": 0.047}, "depth_mm"),
        ({"diameter_mm": 2.0, "depth_mm": 1.2, "crown_mm": 1.2}, "crown_mm"),
        ({"diameter_mm": 2.0, "crown_mm": 1.2}, "crown_mm"),
        ({"diameter_mm": 2.0, "crown_mm": 1.15, "depth_mm": 1.2}, "depth_mm"),
        ({"diameter_mm": 2.0, "crown_mm": 1.11, "depth_mm": 1.2, "girdle": "thick"}, "depth_mm"),
        ({"diameter_mm": 2.0, "depth_mm": "deep"}, "depth_mm"),
        ({"diameter_mm": 2.0, "diameter_min_mm": 2.1, "diameter_max_mm": 1.9}, "diameter_min_mm"),
        ({"diameter_mm": 2.0, "diameter_min_mm": 2.05}, "diameter_mm"),
        ({"diameter_mm": 2.0, "diameter_max_mm": 1.95}, "diameter_mm"),
        ({"diameter_mm": 2.0, "diameter_max_mm": 20}, "diameter_max_mm"),
    ],
)
def test_lengths_that_contradict_each_other(values: Values, field: str) -> None:
    """Depth over diameter, crown over depth, smallest over largest."""
    assert [fault.field for fault in check_stone(values)] == [field]


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"sheet_mm": 20}, "sheet_mm", "did you mean 20 ga (0.812 mm)?"),
        ({"sheet_mm": 0.032}, "sheet_mm", "did you mean inches? 0.032 in is 0.813 mm"),
        ({"sheet_mm": 0}, "sheet_mm", "0.1 to 6 mm"),
        ({"sheet_mm": 0.8, "layers": 0}, "layers", "from 1 to 9"),
        ({"sheet_mm": 0.8, "layers": 1.5}, "layers", "whole number"),
        ({"sheet_mm": 0.8, "layers": True}, "layers", "whole number"),
    ],
)
def test_impossible_sheets(values: Values, field: str, words: str) -> None:
    """A gauge number or inches typed as millimetres are guessed at, not corrected."""
    (fault,) = check_sheet(values)
    assert fault.field == field
    assert words in fault.expected


def test_possible_values_have_no_fault() -> None:
    """A usual stone and sheet pass as values and as raw numbers."""
    stone = Stone(diameter_mm=1.98, depth_mm=1.2, diameter_min_mm=1.97, diameter_max_mm=1.99)
    assert check_stone(stone) == ()
    assert check_sheet(Sheet(sheet_mm=0.812, layers=2)) == ()
    assert check_sheet({"sheet_mm": 0.812}) == ()
