"""The simulation of colour-blind eyes and the colour difference, by published values."""

import csv

import pytest
from tests.colour_vision import REFERENCE, ciede2000, distance, matrices, seen


def test_the_colour_difference_is_the_published_one() -> None:
    """All 34 pairs of Sharma, Wu and Dalal (2005), to their four decimals."""
    with (REFERENCE / "ciede2000.csv").open(encoding="utf-8", newline="") as file:
        rows = [[float(part) for part in row.values()] for row in csv.DictReader(file)]
    worked_out = [ciede2000((a, b, c), (d, e, f)) for a, b, c, d, e, f, _ in rows]
    assert [round(far, 4) for far in worked_out] == pytest.approx(
        [row[-1] for row in rows], abs=1e-4
    )


def test_greys_look_the_same_to_all_eyes() -> None:
    """Each row of a matrix sums to one: white stays white, as in the paper."""
    sums = {round(sum(row), 5) for rows in matrices().values() for row in rows}
    assert sums == {1.0}


def test_red_and_green_come_together_for_deutan_eyes() -> None:
    """A red and a green far apart for usual eyes are near for those without medium cones."""
    red, green = "#c05040", "#608040"
    assert distance(red, green) > 45
    assert distance(red, green, "deutan") < 5


def test_what_is_seen_stays_a_colour() -> None:
    """No part of a colour leaves its range, whatever the eyes."""
    parts = {part for vision in matrices() for part in seen("#ff00ff", vision)}
    assert (min(parts) >= 0, max(parts) <= 1) == (True, True)
