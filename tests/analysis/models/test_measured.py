"""Measurements of one response: what each bounds, and a drawn truth read in the same way."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.analysis.models.censored import Measurement, Measurements, Response, between, exactly

PLAIN = Response("length", 0.0, 1.0)
EDGES = (-1.0, 0.0, 2.0)


def _one(reading: Measurement) -> Measurements:
    return Measurements.of(PLAIN, [reading])


def test_rows_without_a_reading_are_left_out() -> None:
    """The rows say which attempts the readings are of."""
    found = Measurements.of(PLAIN, [None, exactly(1.0, 0.1), None, exactly(3.0, 0.1)])
    assert (found.rows.tolist(), found.low.tolist()) == ([1, 3], [1.0, 3.0])


def test_lengths_are_told_in_units_around_the_usual_value() -> None:
    """0.12 mm with a usual 0.06 and a unit of 0.03 mm is two units up."""
    found = Measurements.of(Response("overcut", 0.06, 0.03), [exactly(0.12, 0.015)])
    assert (found.low[0], found.error[0]) == (pytest.approx(2.0), pytest.approx(0.5))


@pytest.mark.parametrize(
    ("truth", "place"), [(-3.0, 0), (-0.5, 1), (1.0, 2), (2.5, 3), (-1.0, 0), (99.0, 3)]
)
def test_another_truth_falls_between_the_same_edges(truth: float, place: int) -> None:
    """A choice that edges part is taken anew."""
    low, high = _one(between(EDGES, 0, 0.1)).read(np.array([[truth]]))
    bounds = (-math.inf, *EDGES, math.inf)
    assert (low[0, 0], high[0, 0]) == (bounds[place], bounds[place + 1])


@given(st.floats(min_value=-50.0, max_value=50.0))
def test_another_truth_lies_between_two_pins_of_the_row(truth: float) -> None:
    """Pins go on in the same steps to both sides."""
    low, high = _one(Measurement(0.4, 0.6, 0.05, step=0.2)).read(np.array([[truth]]))
    assert low[0, 0] - 1e-9 <= truth <= high[0, 0] + 1e-9
    assert high[0, 0] - low[0, 0] == pytest.approx(0.2)
    steps = (low[0, 0] - 0.4) / 0.2
    assert steps == pytest.approx(round(steps), abs=1e-6)


def test_a_plain_reading_reads_another_truth_as_it_is() -> None:
    """No limits where a value was read."""
    low, high = _one(exactly(1.0, 0.1)).read(np.array([[2.5]]))
    assert (low[0, 0], high[0, 0]) == (2.5, 2.5)


@pytest.mark.parametrize(
    ("values", "varies"), [([], False), ([1.0], False), ([1.0, 1.0], False), ([1.0, 2.0], True)]
)
def test_readings_that_all_say_the_same_do_not_vary(values: list[float], *, varies: bool) -> None:
    """None, one and constant readings have nothing to go with."""
    assert Measurements.of(PLAIN, [exactly(v, 0.1) for v in values]).varies() == varies
