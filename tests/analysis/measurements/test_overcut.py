"""The overcut's posterior against other ways to compute it, and at its ends."""

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import CensoredData, multivariate_normal, norm

from platebook.analysis.arrays import Floats
from platebook.analysis.measurements.overcut import COARSE, RECENT, Overcut, learn_overcut
from platebook.analysis.measurements.seat_readings import (
    DIRECT_U_MM,
    FIT_U_MM,
    PIN_U_MM,
    SeatReading,
)
from platebook.trade.tools.expected_hand import (
    EVENING_CHANCES,
    EVENINGS_MM,
    SPREAD_LOG_SD,
    ExpectedHand,
    taught_hand,
)

CUSTOM = ExpectedHand(0.06, 0.04, 0.03)
Chance = Callable[[Floats, float, float], Floats]


def direct(mm: float, **values: int) -> SeatReading:
    """A direct reading of this overcut."""
    return SeatReading("hart", mm, mm, DIRECT_U_MM, **values)


def pins(low: float, high: float, **values: int) -> SeatReading:
    """An overcut between two pins."""
    return SeatReading("hart", low, high, PIN_U_MM, **values)


def by_hand(chance: Chance) -> tuple[float, float, float]:
    """Mean and 95 % limits by a plain triple sum over mean, spread and evenings' spread."""
    means = np.linspace(-0.14, 0.26, 401)
    logs = np.log(CUSTOM.spread_mm) + SPREAD_LOG_SD * np.linspace(-4, 4, 33)
    shares = norm.pdf(logs, np.log(CUSTOM.spread_mm), SPREAD_LOG_SD)
    density = np.zeros(means.size)
    for spread, at in zip(np.exp(logs).tolist(), shares.tolist(), strict=True):
        for evening, share in zip(EVENINGS_MM, EVENING_CHANCES, strict=True):
            density += at * share * chance(means, spread, evening)
    density *= norm.pdf(means, CUSTOM.overcut_mm, CUSTOM.between_mm)
    density /= density.sum()
    low, high = np.interp([0.025, 0.975], np.cumsum(density) - density / 2, means)
    return float(means @ density), float(low), float(high)


def agree(overcut: Overcut, chance: Chance) -> None:
    """Assert that mean and limits match the plain sum to 1.5 µm."""
    got = (overcut.mean_mm, *overcut.interval_mm)
    assert got == pytest.approx(by_hand(chance), abs=0.0015)


def test_with_nothing_read_it_is_what_was_expected() -> None:
    """The sum over the unknowns gives the closed form that speaks before a reading, to 0.2 µm."""
    nothing = learn_overcut((), CUSTOM)
    assert nothing.mean_mm == pytest.approx(CUSTOM.overcut_mm, abs=0.0002)
    assert nothing.spread_mm == pytest.approx(CUSTOM.next_spread_mm, abs=0.0002)


FIRST_READINGS = st.one_of(
    st.floats(-0.06, 0.0).map(lambda mm: (mm, mm, DIRECT_U_MM, 0.0)),
    st.floats(-0.06, -0.02).map(lambda mm: (mm, mm + 0.02, PIN_U_MM, 0.0)),
    st.just((0.0, 0.0, FIT_U_MM, -1.0)),
)
"""A seat to snap in, by each reading: limits from the stone, uncertainty, fit edges below it."""


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.0, 0.2),
    FIRST_READINGS,
    st.sampled_from([CUSTOM, taught_hand(0.08, 0.03, 0.04), taught_hand(0.02, 0.03, 0.05)]),
)
def test_a_good_first_seat_never_lowers_the_chance_of_the_bur_that_cut_it(
    under_mm: float, read: tuple[float, float, float, float], expected: ExpectedHand
) -> None:
    """Whatever bur cut it and however it was read; chances by scipy's normal distribution."""
    low, high, u_mm, edges = read
    reading = SeatReading("hart", under_mm + low, under_mm + high, u_mm, edges)

    def chance(overcut_mm: float, spread_mm: float) -> float:
        seat = norm(overcut_mm - under_mm, spread_mm)
        return float(seat.cdf(0.0) - seat.cdf(-0.06))

    learned = learn_overcut([reading], expected)
    before = chance(expected.overcut_mm, expected.next_spread_mm)
    assert chance(learned.mean_mm, learned.spread_mm) > before


def test_direct_readings_of_an_evening_match_a_plain_sum() -> None:
    """Two direct readings of one evening are jointly normal (scipy's multivariate normal)."""
    seen = (0.11, 0.09)

    def chance(means: Floats, spread: float, evening: float) -> Floats:
        covariance = np.full((2, 2), evening**2) + np.eye(2) * (spread**2 + DIRECT_U_MM**2)
        apart = np.array(seen)[None, :] - means[:, None]
        return np.asarray(multivariate_normal(cov=covariance).pdf(apart))

    agree(learn_overcut([direct(mm) for mm in seen], CUSTOM), chance)


def test_pins_match_a_plain_sum() -> None:
    """One pair of pins counts for the normal's share between them (scipy's normal)."""

    def chance(means: Floats, spread: float, evening: float) -> Floats:
        sd = float(np.sqrt(spread**2 + PIN_U_MM**2 + evening**2))
        return np.asarray(norm.cdf(0.12, means, sd) - norm.cdf(0.10, means, sd))

    agree(learn_overcut([pins(0.10, 0.12)], CUSTOM), chance)


def test_an_open_side_matches_a_plain_sum() -> None:
    """A seat at least 0.10 mm over its bur counts for the normal's share above it."""

    def chance(means: Floats, spread: float, evening: float) -> Floats:
        sd = float(np.sqrt(spread**2 + FIT_U_MM**2 + evening**2))
        return np.asarray(norm.sf(0.10, means, sd))

    agree(learn_overcut([SeatReading("hart", 0.10, np.inf, FIT_U_MM)], CUSTOM), chance)


def test_many_pins_come_to_the_censored_fit() -> None:
    """A hundred pairs of pins agree with scipy's interval-censored maximum likelihood."""
    rng = np.random.default_rng(20260101)
    low = np.floor(rng.normal(0.09, 0.03, 100) / 0.02) * 0.02
    fitted = norm.fit(CensoredData(interval=np.column_stack([low, low + 0.02])))
    readings = [
        pins(go_mm, go_mm + 0.02, session=place) for place, go_mm in enumerate(low.tolist())
    ]
    overcut = learn_overcut(readings, CUSTOM)
    assert overcut.mean_mm == pytest.approx(fitted[0], abs=0.002)
    assert overcut.spread_mm == pytest.approx(fitted[1], abs=0.003)


def test_wear_is_found_and_taken_out_of_a_fresh_bur() -> None:
    """A slope of 0.0006 mm a seat over 0 to 59 seats agrees with numpy's least squares."""
    rng = np.random.default_rng(7)
    uses = np.arange(120) % 60
    seats = 0.05 + 0.0006 * uses + rng.normal(0, 0.02, 120)
    slope, fresh = np.polyfit(uses, seats, 1)
    readings = [
        direct(mm, uses=count, session=place // 8)
        for place, (mm, count) in enumerate(zip(seats.tolist(), uses.tolist(), strict=True))
    ]
    overcut = learn_overcut(readings, CUSTOM)
    assert overcut.wear_interval_mm.low <= slope <= overcut.wear_interval_mm.high
    assert overcut.wear_mm_per_seat == pytest.approx(0.93 * slope, abs=0.0001)
    assert overcut.mean_mm == pytest.approx(fresh, abs=0.004)
    assert overcut.interval_mm.low <= 0.05 <= overcut.interval_mm.high


def test_no_reading_is_the_prior() -> None:
    """With nothing read: custom's overcut, its own doubt, and no wear."""
    overcut = learn_overcut([], CUSTOM)
    assert overcut.readings == 0
    assert overcut.mean_mm == pytest.approx(CUSTOM.overcut_mm, abs=0.001)
    half = 1.96 * CUSTOM.between_mm
    assert overcut.interval_mm == pytest.approx((0.06 - half, 0.06 + half), abs=0.002)
    assert overcut.wear_mm_per_seat == pytest.approx(0.0, abs=1e-9)


def test_one_reading_moves_it_part_of_the_way() -> None:
    """One seat of 0.14 mm leaves the mean between custom and it."""
    overcut = learn_overcut([direct(0.14)], CUSTOM)
    assert 0.07 < overcut.mean_mm < 0.13


def test_constant_readings_leave_a_spread() -> None:
    """Forty equal readings are sure of the mean and still expect the next seat to differ."""
    overcut = learn_overcut([direct(0.08, session=place // 8) for place in range(40)], CUSTOM)
    assert overcut.mean_mm == pytest.approx(0.08, abs=0.002)
    assert 0.003 < overcut.spread_mm < 0.03


@pytest.mark.parametrize("side", [1, -1])
def test_all_on_one_side_is_held_by_custom(side: int) -> None:
    """Thirty stones that all move, or none of which snaps, give a mean within the possible."""
    low, high = ((1.0, np.inf), (-np.inf, -1.0))[side < 0]
    readings: Sequence[SeatReading] = [
        SeatReading("hart", 0.08, 0.08, FIT_U_MM, low, high) for _ in range(30)
    ]
    overcut = learn_overcut(readings, CUSTOM)
    assert side * (overcut.mean_mm - CUSTOM.overcut_mm) > 0
    assert -0.14 < overcut.interval_mm.low < overcut.interval_mm.high < 0.34


def test_only_the_latest_are_used() -> None:
    """A hand that changed long ago is judged by its latest readings."""
    old = [direct(0.20, session=place // 8) for place in range(500)]
    new = [direct(0.05, session=100 + place // 8) for place in range(RECENT)]
    assert learn_overcut(old + new, CUSTOM) == learn_overcut(new, CUSTOM)


def test_the_coarse_grids_nodes_hold_a_normals_moments() -> None:
    """Four nodes of Gauss and Hermite's rule are exact to the seventh power (numpy's own rule)."""
    nodes, _ = np.polynomial.hermite_e.hermegauss(4)
    assert COARSE.nodes == pytest.approx(nodes)
    shares = np.exp(COARSE.log_shares - COARSE.nodes**2 / 2)
    moments = [float(shares @ COARSE.nodes**power) for power in (0, 2, 4, 6)]
    assert moments == pytest.approx([1, 1, 3, 15])


@settings(max_examples=8, deadline=None)
@given(st.lists(st.floats(-0.02, 0.2), min_size=1, max_size=6))
def test_order_within_an_evening_does_not_matter(seen: list[float]) -> None:
    """The same readings in another order give the same answer, its mean inside its interval."""
    readings = [direct(mm) for mm in seen]
    overcut = learn_overcut(readings, CUSTOM)
    again = learn_overcut(sorted(readings, key=lambda r: r.low_mm), CUSTOM)
    assert again.mean_mm == pytest.approx(overcut.mean_mm, abs=1e-7)
    assert overcut.interval_mm.low < overcut.mean_mm < overcut.interval_mm.high
    assert min(*seen, 0.06) - 0.002 <= overcut.mean_mm <= max(*seen, 0.06) + 0.002
