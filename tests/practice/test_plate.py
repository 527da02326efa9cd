"""A plate: named positions in rows."""

import pytest
from pydantic import ValidationError

from platebook.practice.plate import Plate

PLATE = Plate(name="plate 1", positions=tuple("123456789"), across=4)


@pytest.mark.parametrize(
    ("position", "expected"), [("1", (0, 0)), ("4", (0, 3)), ("5", (1, 0)), ("9", (2, 0))]
)
def test_positions_fill_row_after_row(position: str, expected: tuple[int, int]) -> None:
    """In the order worked, so many in a row."""
    assert PLATE.place_of(position) == expected


def test_a_position_that_is_not_on_the_plate_has_no_place() -> None:
    """A name that was typed wrong is nowhere."""
    assert PLATE.place_of("10") is None
    assert Plate(name="bare").place_of("1") is None


@pytest.mark.parametrize("wrong", [{"across": 0}, {"sheet_mm": 0}, {"pitch_mm": -1}, {"name": ""}])
def test_a_plate_has_sizes_above_zero(wrong: dict[str, object]) -> None:
    """Nothing is laid out in rows of none or at no distance."""
    with pytest.raises(ValidationError):
        Plate.model_validate({"name": "plate 1", **wrong})


LAID_OUT = PLATE.model_copy(
    update={"pitch_mm": 6.0, "width_mm": 50.0, "height_mm": 30.0, "stones_mm": (1.5, 2.0)}
)


@pytest.mark.parametrize(
    ("position", "centre", "stone"),
    [
        ("1", (16.0, 9.0), 1.5),
        ("4", (34.0, 9.0), 1.5),
        ("5", (16.0, 15.0), 2.0),
        ("9", (16.0, 21.0), 1.5),
    ],
)
def test_a_plate_that_was_laid_out_knows_each_centre(
    position: str, centre: tuple[float, float], stone: float
) -> None:
    """The grid lies in the middle (arithmetic), its rows for one stone size each in turn."""
    assert LAID_OUT.centre_of(position) == centre
    assert LAID_OUT.stone_at(position) == stone


def test_a_plate_that_nobody_laid_out_has_no_centres() -> None:
    """Nor has a position that is not on it."""
    assert (PLATE.centre_of("1"), PLATE.stone_at("1")) == (None, None)
    assert (LAID_OUT.centre_of("10"), LAID_OUT.stone_at("10")) == (None, None)
