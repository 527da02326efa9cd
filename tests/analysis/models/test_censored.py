"""Readings kept as they were read, and the censored fit: scipy's values and what may not matter."""

import math
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import CensoredData, norm

from platebook.analysis.models.censored import (
    SPREADS,
    Measurement,
    Measurements,
    Response,
    Spreads,
    best_guess,
    between,
    exactly,
    fit_censored,
    slopes,
    spreads,
)
from platebook.analysis.models.null_model import Nuisance

PLAIN = Response("length", 0.0, 1.0)


KNOWN = Spreads(1.0, 0.5)


def _alone(count: int, sessions: int = 1) -> Nuisance:
    """An intercept with next to no prior, in so many sessions."""
    session = np.arange(count) * sessions // max(count, 1)
    return Nuisance(np.ones((count, 1)), np.array([1e-6]), session)


def _mixed(seed: int, count: int) -> tuple[list[Measurement], CensoredData]:
    """Values, intervals and sides of one normal sample, for us and for scipy."""
    rng = np.random.default_rng(seed)
    truth = rng.normal(0.4, 1.0, count)
    ours: list[Measurement] = []
    values, left, right, between = [], [], [], []
    for number, x in enumerate(truth):
        if number % 4 == 0:
            ours.append(exactly(x, 0.0))
            values.append(x)
        elif number % 4 == 1:
            low = math.floor(x * 2) / 2
            ours.append(Measurement(low, low + 0.5, 0.0))
            between.append((low, low + 0.5))
        elif x < 0.5:
            ours.append(Measurement(-math.inf, 0.5, 0.0))
            left.append(0.5)
        else:
            ours.append(Measurement(0.5, math.inf, 0.0))
            right.append(0.5)
    return ours, CensoredData(values, left=left, right=right, interval=between)


@pytest.mark.parametrize("seed", range(5))
def test_the_mean_is_scipys_maximum_likelihood(seed: int) -> None:
    """scipy.stats.norm.fit on CensoredData, at the same scatter."""
    ours, theirs = _mixed(seed, 200)
    loc, scale = norm.fit(theirs)
    fit = fit_censored(_alone(200), Measurements.of(PLAIN, ours), Spreads(scale, 1e-3))
    assert fit.middle == pytest.approx(np.full(200, loc), abs=2e-3)


@pytest.mark.parametrize("seed", range(5))
def test_the_scatter_is_near_scipys(seed: int) -> None:
    """The most likely scatter, with a little prior around the usual one."""
    ours, theirs = _mixed(seed, 200)
    _, scale = norm.fit(theirs)
    found = spreads(_alone(200, sessions=200), Measurements.of(PLAIN, ours))
    assert math.hypot(found.scatter, found.evening) == pytest.approx(scale, rel=0.12)


def test_plain_readings_are_a_bayesian_linear_regression() -> None:
    """The closed form: (Z'Z / s² + Λ)⁻¹ Z'y / s², sessions as columns of their own."""
    rng = np.random.default_rng(3)
    count = 40
    z = np.column_stack([np.ones(count), rng.standard_normal((count, 2))])
    session = np.arange(count) // 8
    precision = np.array([0.01, 0.25, 0.25])
    y = rng.standard_normal(count)
    readings = Measurements.of(PLAIN, [exactly(v, 0.6) for v in y])
    fit = fit_censored(Nuisance(z, precision, session), readings, Spreads(0.8, 0.5))
    whole = np.column_stack([z, session[:, None] == np.arange(5)])
    prior = np.concatenate([precision, np.full(5, 0.5**-2)])
    variance = 0.8**2 + 0.6**2
    closed = np.linalg.solve(whole.T @ whole / variance + np.diag(prior), whole.T @ y / variance)
    assert np.concatenate([fit.fixed[0], fit.random[0]]) == pytest.approx(closed, abs=1e-8)


LIMITS = st.floats(min_value=-6.0, max_value=6.0)


@settings(max_examples=60)
@given(LIMITS, st.floats(min_value=0.05, max_value=4.0), LIMITS, st.booleans(), st.booleans())
def test_slope_and_weight_are_derivatives_of_the_log_chance(
    low: float, width: float, middle: float, open_below: object, open_above: object
) -> None:
    """Against differences of scipy's normal distribution."""
    a = -math.inf if open_below else low
    b = math.inf if open_above and not open_below else low + width

    def log_chance(at: float) -> float:
        upper = a - at > 0
        pair = (norm.sf(a - at), norm.sf(b - at)) if upper else (norm.cdf(b - at), norm.cdf(a - at))
        return float(np.log(pair[0] - pair[1]))

    step = 1e-3
    here = slopes(np.array([a]), np.array([b]), np.array([middle]), np.array([1.0]))
    left, mid, right = (log_chance(middle + d) for d in (-step, 0.0, step))
    if min(abs(a - middle), abs(b - middle)) < 7.5 and math.isfinite(left + right):
        assert here.log_chance[0] == pytest.approx(mid, abs=1e-6)
        assert here.residual[0] == pytest.approx((right - left) / (2 * step), abs=1e-3, rel=1e-3)
        assert here.weight[0] == pytest.approx(-(right - 2 * mid + left) / step**2, abs=2e-3)


@given(st.lists(st.floats(min_value=-3, max_value=3), min_size=12, max_size=30), st.randoms())
def test_row_order_within_an_evening_does_not_matter(values: list[float], random: object) -> None:
    """The same readings in another order give the same coefficients."""
    order = list(range(len(values)))
    random.shuffle(order)  # type: ignore[attr-defined]  # the strategy gives a random.Random
    one, other = (
        fit_censored(
            _alone(len(values)),
            Measurements.of(PLAIN, [exactly(values[i], 0.5) for i in rows]),
            KNOWN,
        )
        for rows in (range(len(values)), order)
    )
    assert other.fixed == pytest.approx(one.fixed, abs=1e-8)


@given(st.integers(min_value=2, max_value=5), st.integers(min_value=1, max_value=40))
def test_the_numbers_of_the_sessions_do_not_matter(times: int, shift: int) -> None:
    """Evenings may be numbered with holes."""
    readings = Measurements.of(PLAIN, [exactly(v, 0.5) for v in (0.0, 1.0, 2.0, 2.5, -1.0, 0.5)])
    plain = Nuisance(np.ones((6, 1)), np.array([0.01]), np.array([0, 0, 1, 1, 2, 2]))
    renumbered = Nuisance(plain.columns, plain.precision, plain.session * times + shift)
    one, other = (fit_censored(n, readings, KNOWN) for n in (plain, renumbered))
    assert other.middle == pytest.approx(one.middle)


@pytest.mark.parametrize(
    "reading",
    [
        exactly(0.0, 0.0),
        exactly(1e4, 0.5),
        Measurement(5.0, math.inf, 0.5),
        Measurement(-math.inf, -5.0, 0.5),
        Measurement(2.0, 2.0 + 1e-9, 0.0),
    ],
)
@pytest.mark.parametrize("count", [1, 2, 30])
def test_constant_and_one_sided_readings_have_a_finite_fit(
    reading: Measurement, count: int
) -> None:
    """One, few or many, all alike or all on one side: the priors hold everything."""
    readings = Measurements.of(PLAIN, [reading] * count)
    adjusted = Nuisance(np.ones((count, 1)), np.array([0.01]), np.arange(count) // 4)
    with warnings.catch_warnings(), np.errstate(all="raise", under="ignore"):
        warnings.simplefilter("error")
        known = spreads(adjusted, readings)
        fit = fit_censored(adjusted, readings, known)
    assert SPREADS[0] <= known.scatter <= SPREADS[-1]
    assert fit.settled
    assert np.isfinite(fit.middle).all()
    assert (fit.projection.weight > 0).all()


def test_nothing_read_has_the_usual_spreads() -> None:
    """Without readings nothing is estimated."""
    assert spreads(_alone(0), Measurements.of(PLAIN, [])) == Spreads(1.0, 0.5)


def test_a_guess_lies_between_its_limits_and_a_value_is_itself() -> None:
    """The mean of the normal distribution between the limits (closed form by scipy)."""
    readings = Measurements.of(
        PLAIN, [exactly(0.7, 0.0), Measurement(1.0, 2.0, 0.0), exactly(-0.4, 0.0)]
    )
    fit = fit_censored(_alone(3), readings, KNOWN)
    guess = best_guess(fit, readings)
    a, b = (np.array([1.0, 2.0]) - fit.middle[1]) / KNOWN.scatter
    middle = fit.middle[1] + (norm.pdf(a) - norm.pdf(b)) / (norm.cdf(b) - norm.cdf(a))
    assert guess == pytest.approx([0.7, middle, -0.4])


def test_one_more_column_is_believed_to_one_unit() -> None:
    """A group's effect joins the adjusting columns with a prior of its own."""
    joined = _alone(4).with_columns(np.array([[0.0], [0.0], [1.0], [1.0]]), sd=1.0)
    assert joined.columns[:, -1].tolist() == [0.0, 0.0, 1.0, 1.0]
    assert joined.precision.tolist() == [1e-6, 1.0]


PLAIN = Response("length", 0.0, 1.0)


EDGES = (-1.0, 0.0, 2.0)


def _alone_in_log(reading: Measurement) -> Measurements:
    return Measurements.of(PLAIN, [reading])


def test_rows_without_a_reading_are_left_out() -> None:
    """The rows say which attempts the readings are of."""
    measurements = Measurements.of(PLAIN, [None, exactly(1.0, 0.1), None, exactly(3.0, 0.1)])
    assert (measurements.rows.tolist(), measurements.low.tolist()) == ([1, 3], [1.0, 3.0])


def test_lengths_are_told_in_units_around_the_usual_value() -> None:
    """0.12 mm with a usual 0.06 and a unit of 0.03 mm is two units up."""
    measurements = Measurements.of(Response("overcut", 0.06, 0.03), [exactly(0.12, 0.015)])
    assert (measurements.low[0], measurements.error[0]) == (pytest.approx(2.0), pytest.approx(0.5))


@pytest.mark.parametrize(
    ("truth", "place"), [(-3.0, 0), (-0.5, 1), (1.0, 2), (2.5, 3), (-1.0, 0), (99.0, 3)]
)
def test_another_truth_falls_between_the_same_edges(truth: float, place: int) -> None:
    """A choice that edges part is taken anew."""
    low, high = _alone_in_log(between(EDGES, 0, 0.1)).read(np.array([[truth]]))
    bounds = (-math.inf, *EDGES, math.inf)
    assert (low[0, 0], high[0, 0]) == (bounds[place], bounds[place + 1])


@given(st.floats(min_value=-50.0, max_value=50.0))
def test_another_truth_lies_between_two_pins_of_the_row(truth: float) -> None:
    """Pins go on in the same steps to both sides."""
    low, high = _alone_in_log(Measurement(0.4, 0.6, 0.05, step=0.2)).read(np.array([[truth]]))
    assert low[0, 0] - 1e-9 <= truth <= high[0, 0] + 1e-9
    assert high[0, 0] - low[0, 0] == pytest.approx(0.2)
    steps = (low[0, 0] - 0.4) / 0.2
    assert steps == pytest.approx(round(steps), abs=1e-6)


def test_a_plain_reading_reads_another_truth_as_it_is() -> None:
    """No limits where a value was read."""
    low, high = _alone_in_log(exactly(1.0, 0.1)).read(np.array([[2.5]]))
    assert (low[0, 0], high[0, 0]) == (2.5, 2.5)


@pytest.mark.parametrize(
    ("values", "varies"), [([], False), ([1.0], False), ([1.0, 1.0], False), ([1.0, 2.0], True)]
)
def test_readings_that_all_say_the_same_do_not_vary(values: list[float], *, varies: bool) -> None:
    """None, one and constant readings have nothing to go with."""
    assert Measurements.of(PLAIN, [exactly(v, 0.1) for v in values]).varies() == varies
