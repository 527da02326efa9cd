"""The tables of log chances against the plain sum over readings, limit by limit."""

import numpy as np
import pytest
from scipy.special import logsumexp
from scipy.stats import norm

from platebook.analysis.arrays import Floats
from platebook.analysis.measurements.overcut import EDGE_CHANCES, EDGES_MM, PLACES_MM
from platebook.analysis.measurements.seat_likelihood import SeatLikelihood
from platebook.analysis.measurements.seat_readings import SeatReading
from platebook.trade.tools.expected_hand import EVENINGS_MM
from platebook.values import replace

WEARS = np.array([-0.0011, 0.0, 0.0007])
SPREADS = np.array([0.004, 0.03, 0.12])
EVERYWHERE = slice(None)


def mixed(count: int = 24) -> list[SeatReading]:
    """Answers of fit, pins and direct readings in turn, seats cut before not always counted."""
    rng = np.random.default_rng(20260101)
    fits = ((-np.inf, -1.0), (-1.0, 0.0), (0.0, 1.0), (1.0, np.inf))
    readings = []
    for number in range(count):
        at, uses = round(float(rng.normal(0.07, 0.03)), 3), int(rng.integers(0, 60))
        counted = None if number % 5 == 0 else uses
        if number % 3 == 0:
            readings.append(SeatReading("setting", at, at, 0.0125, *fits[number % 4], counted))
        elif number % 3 == 1:
            readings.append(SeatReading("setting", at, at + 0.02, 0.005, uses=counted))
        else:
            readings.append(SeatReading("setting", at, at, 0.015, uses=counted))
    return readings


def plainly(readings: list[SeatReading], wear: float, spread: float) -> Floats:
    """The log likelihood by place, summed over fit edges, each reading asked of scipy's normal."""
    known = [r.uses for r in readings if r.uses is not None]
    mean = sum(known) / len(known)
    by_edge = []
    for edge, share in zip(EDGES_MM, EDGE_CHANCES, strict=True):
        total = np.full(PLACES_MM.size, np.log(share))
        for r in readings:
            middle = PLACES_MM + wear * ((mean if r.uses is None else r.uses) - mean)
            sd = np.hypot(spread, r.u_mm)
            low = -np.inf if np.isinf(r.low_edges) else r.low_mm + edge * r.low_edges
            high = np.inf if np.isinf(r.high_edges) else r.high_mm + edge * r.high_edges
            if low == high:
                total += norm.logpdf(low, middle, sd) + np.log(np.sqrt(2 * np.pi))
            else:
                below, above = (low - middle) / sd, (high - middle) / sd
                side = np.where(below + above > 0, -1, 1)
                chance = abs(norm.cdf(side * above) - norm.cdf(side * below))
                total += np.log(np.maximum(chance, 1e-300))
        by_edge.append(total)
    return np.asarray(logsumexp(by_edge, axis=0))


def test_the_tables_say_what_a_plain_sum_says() -> None:
    """24 readings of all kinds, in one evening without a shift: within 0.001 where it may lie."""
    readings = mixed()
    seats = SeatLikelihood.of(readings, PLACES_MM, EVENINGS_MM, (EDGES_MM, EDGE_CHANCES))
    found = seats.log_chances(WEARS, SPREADS, EVERYWHERE)
    for i, wear in enumerate(WEARS.tolist()):
        for j, spread in enumerate(SPREADS.tolist()):
            wanted = plainly(readings, wear, spread)
            near = wanted > wanted.max() - 30
            assert found[i, j, 0][near] == pytest.approx(wanted[near], abs=0.001)


def test_some_places_say_what_they_say_among_all() -> None:
    """Evenings shift from everywhere to the places that are asked."""
    readings = [replace(r, session=n // 5) for n, r in enumerate(mixed())]
    seats = SeatLikelihood.of(readings, PLACES_MM, EVENINGS_MM, (EDGES_MM, EDGE_CHANCES))
    everywhere = seats.log_chances(WEARS, SPREADS, EVERYWHERE)
    within = slice(30, 71)
    found = seats.log_chances(WEARS, SPREADS, within)
    assert found == pytest.approx(everywhere[..., within], rel=1e-12, abs=1e-9)


def test_wear_says_nothing_where_nobody_counted() -> None:
    """The same chances for each wear, and those of the readings without one."""
    readings = [SeatReading("setting", 0.05, 0.07, 0.005) for _ in range(3)]
    seats = SeatLikelihood.of(readings, PLACES_MM, EVENINGS_MM, (EDGES_MM, EDGE_CHANCES))
    found = seats.log_chances(WEARS, SPREADS, EVERYWHERE)
    alone = seats.log_chances(np.zeros(1), SPREADS, EVERYWHERE)
    assert found.tolist() == [alone[0].tolist()] * 3


def test_a_reading_far_off_says_no_more() -> None:
    """A stone of 100 mm that will not enter leaves the chances of the others as they were."""
    near = [SeatReading("setting", 0.05, 0.07, 0.005)]
    far = [*near, SeatReading("setting", 100.0, 100.0, 0.0125, -np.inf, -1.0)]
    with_it, without = (
        SeatLikelihood.of(readings, PLACES_MM, EVENINGS_MM, (EDGES_MM, EDGE_CHANCES)).log_chances(
            WEARS, SPREADS, EVERYWHERE
        )
        for readings in (far, near)
    )
    likely = without[:, :, 0] > -30
    assert with_it[:, :, 0][likely] == pytest.approx(without[:, :, 0][likely], abs=0.0001)
