"""What a plate is made of: what fits and what is another plate."""

import pytest
from tests.builders import an_attempt

from platebook.practice.records import Plate
from platebook.practice.set_up.plate_stock import ANYTHING, PlateStock

COPPER = PlateStock(metal="copper", sheet_mm=0.812, layers=1, curve="flat")


@pytest.mark.parametrize(
    ("other", "words"),
    [
        (ANYTHING, ""),
        (PlateStock(metal="copper", sheet_mm=0.8), ""),
        (PlateStock(metal="copper", sheet_mm=1.024), "0.81 mm sheet"),
        (PlateStock(metal="brass", sheet_mm=1.024), "0.81 mm copper"),
        (PlateStock(metal="brass"), "copper"),
        (PlateStock(sheet_mm=0.812, layers=2), "1 layer"),
        (PlateStock(sheet_mm=0.812, layers=1, curve="ring"), "flat metal"),
    ],
)
def test_what_differs_is_said_and_what_nobody_noted_fits(other: PlateStock, words: str) -> None:
    """A gauge is its millimetres; of two things that differ the plainest is said."""
    assert COPPER.differs_from(other) == words


def test_a_plate_is_what_it_was_laid_out_as_before_what_attempts_note() -> None:
    """What was not said of it is taken from the last attempt that noted metal or sheet."""
    made = [
        an_attempt(metal="brass", sheet_mm=1.0, layers=2),
        an_attempt(metal=None, sheet_mm=None),
    ]
    laid_out = Plate(name="A", metal="copper")
    assert PlateStock.of_plate(made, laid_out) == PlateStock("copper", 1.0, 2, "flat")
    assert PlateStock.of_plate((), None) == ANYTHING


def test_what_is_wanted_is_read_from_a_set_up() -> None:
    """Metal that is not said to be bent is flat; an empty set-up wants nothing in particular."""
    wanted = {"metal": "copper", "sheet_mm": "0.812", "layers": "1"}
    assert PlateStock.of_set_up(wanted) == COPPER
    assert PlateStock.of_set_up({}) == ANYTHING
