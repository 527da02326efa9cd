"""Checks of measuring tools, what their readings are worth, and the uncertainties under them."""

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError
from scipy.stats import t as student

from platebook.trade.measuring.tool_checks import (
    REACH,
    Component,
    ToolCheck,
    can_settle,
    combined,
    coverage,
    inside_jaw_error_mm,
    measure,
    measuring_kinds,
    reading_uncertainty,
    rectangular,
    refuse_caliper_inside,
    refuse_inside,
    takes_insides,
    takes_outsides,
    unfit_inside,
)
from platebook.trade.records import MeasuringKind, Tool


def _tool(kind: MeasuringKind | None) -> Tool:
    return Tool(kind="measuring", name="mine", measuring_kind=kind)


def test_every_kind_says_what_it_reaches() -> None:
    """And gives a reason where it does not reach inside."""
    assert tuple(REACH) == measuring_kinds()
    assert all(reach.inside or reach.why for reach in REACH.values())


@pytest.mark.parametrize("kind", ["micrometer", "depth gauge", "dial gauge", "rule"])
def test_a_kind_that_does_not_reach_inside_says_why(kind: MeasuringKind) -> None:
    """By what it touches (geometry)."""
    fault = unfit_inside(_tool(kind))
    assert fault is not None
    assert fault.field == "seat_measured_with"
    assert f"a {kind} does not fit inside (" in fault.expected
    assert not takes_insides(_tool(kind))


@pytest.mark.parametrize("kind", ["bore gauge", "pins", "microscope", "caliper", None])
def test_other_kinds_reach_inside(kind: MeasuringKind | None) -> None:
    """Of an unknown kind nothing is held against a reading."""
    assert unfit_inside(_tool(kind)) is None
    assert takes_insides(_tool(kind))


def test_a_caliper_reaches_inside_from_3_mm() -> None:
    """Below, its flat jaws bridge the curve (geometry); no other kind is refused."""
    assert refuse_inside(2.0, _tool("caliper")) is not None
    assert refuse_inside(3.0, _tool("caliper")) is None
    assert refuse_inside(2.0, _tool("bore gauge")) is None


def test_a_stone_is_taken_by_what_closes_on_it() -> None:
    """Not by what goes into holes, and not by a tool that cuts."""
    found = [kind for kind in measuring_kinds() if takes_outsides(_tool(kind))]
    assert found == ["caliper", "micrometer", "dial gauge", "microscope"]
    assert not takes_outsides(Tool(kind="bur", size_mm=1.9))


CALIPER = Tool(kind="measuring", name="the caliper", resolution_mm=0.01, mpe_mm=0.02)
MICROMETER = Tool(kind="measuring", name="the micrometer", resolution_mm=0.001, mpe_mm=0.004)


def test_a_calipers_reading() -> None:
    """JCGM 100 type B, rectangular: 0.02 and 0.01 give u = 0.0119, U = 0.024 mm."""
    found = measure(1.98, CALIPER)
    assert found is not None
    assert found.standard_mm == pytest.approx(0.0119, abs=0.00005)
    assert found.k == pytest.approx(2)
    assert found.sentence == "1.980 ± 0.024 mm"
    assert found.bias_mm == 0


def test_a_micrometers_reading() -> None:
    """JCGM 100 type B, rectangular: 0.004 and 0.001 give U = 0.0047 mm."""
    found = measure(1.98, MICROMETER)
    assert found is not None
    assert found.expanded_mm == pytest.approx(0.0047, abs=0.00005)


@pytest.mark.parametrize(
    ("tool", "question_mm", "settles"),
    [
        (CALIPER, 0.01, False),
        (CALIPER, 0.02, False),
        (CALIPER, -0.03, False),
        (CALIPER, 0.05, True),
        (MICROMETER, 0.01, True),
        (MICROMETER, 0.005, False),
    ],
)
def test_what_a_tool_can_settle(tool: Tool, question_mm: float, *, settles: bool) -> None:
    """The difference of two readings is √2 worse than one (JCGM 100, 5.1.2)."""
    found = can_settle(question_mm, tool)
    one = measure(1.0, tool)
    assert found is not None
    assert one is not None
    assert found.settles is settles
    assert found.expanded_mm == pytest.approx(math.sqrt(2) * one.expanded_mm)


def test_a_caliper_that_cannot_settle_says_so() -> None:
    """The sentence carries the tool's name and both numbers."""
    found = can_settle(0.02, CALIPER)
    assert found is not None
    assert found.sentence == (
        "The difference of two readings of the caliper is good to ± 0.034 mm: "
        "it cannot settle 0.020 mm."
    )


def test_a_check_takes_off_the_bias_and_gives_the_spread() -> None:
    """Type A: the spread of the readings, of their mean, and four degrees of freedom."""
    readings = (2.01, 2.02, 2.01, 2.02, 2.03)
    check = ToolCheck(known_mm=2.0, known_u_mm=0.001, readings_mm=readings)
    assert check.bias_mm == pytest.approx(0.018)
    assert check.repeatability_mm == pytest.approx(statistics.stdev(readings))
    found = measure(1.99, CALIPER, check)
    assert found is not None
    assert found.value_mm == pytest.approx(1.972)
    spread = statistics.stdev(readings)
    expected = math.hypot(spread, spread / math.sqrt(5), 0.001, 0.005 / math.sqrt(3))
    assert found.standard_mm == pytest.approx(expected)
    assert found.k > 2


@pytest.mark.parametrize("known_um", [1500, 1980, 2000, 2010, 2500])
@pytest.mark.parametrize("limit_um", [3, 4, 20])
def test_a_bias_just_at_the_limit_is_within_it(known_um: int, limit_um: int) -> None:
    """Whole micrometres, for 2.004 - 2.000 is more than 0.004 in binary; a micrometre more is out.

    Of several readings the mean counts, whose excess may be a fraction of a micrometre.
    """
    for sign in (-1, 1):
        at = (known_um + sign * limit_um) / 1000
        over = (known_um + sign * (limit_um + 1)) / 1000
        known = known_um / 1000
        limit = limit_um / 1000
        assert ToolCheck(known_mm=known, readings_mm=(at,)).within(limit)
        assert ToolCheck(known_mm=known, readings_mm=(at,) * 5).within(limit)
        assert not ToolCheck(known_mm=known, readings_mm=(over,)).within(limit)
        assert not ToolCheck(known_mm=known, readings_mm=(at,) * 4 + (over,)).within(limit)


def test_one_reading_is_no_check() -> None:
    """From a single reading nothing is taken off and the stated errors hold."""
    check = ToolCheck(known_mm=2.0, readings_mm=(2.02,))
    assert check.repeatability_mm is None
    assert measure(1.99, CALIPER, check) == measure(1.99, CALIPER)


def test_equal_readings_leave_the_resolution() -> None:
    """Readings all alike: what is left is what the display cannot show."""
    check = ToolCheck(known_mm=2.0, readings_mm=(2.0, 2.0, 2.0))
    found = reading_uncertainty(CALIPER, check)
    assert found is not None
    assert found.standard == pytest.approx(0.005 / math.sqrt(3))


def test_an_unknown_tool_is_worth_nothing_known() -> None:
    """Neither a check nor a permissible error: no uncertainty is made up."""
    unknown = Tool(kind="measuring", resolution_mm=0.01)
    assert measure(1.98, unknown) is None
    assert can_settle(0.1, unknown) is None


def test_a_check_needs_readings_of_something() -> None:
    """No reading, or a known size of nothing, is no check."""
    with pytest.raises(ValidationError):
        ToolCheck(known_mm=2.0, readings_mm=())
    with pytest.raises(ValidationError):
        ToolCheck(known_mm=0.0, readings_mm=(0.1,))


@pytest.mark.parametrize(("land_mm", "error_mm"), [(0.49, 0.06), (0.81, 0.17)])
def test_inside_jaws_read_small(land_mm: float, error_mm: float) -> None:
    """Geometry of flat jaws: 0.06 to 0.17 mm small in a 2.0 mm hole."""
    assert inside_jaw_error_mm(2.0, land_mm) == pytest.approx(error_mm, abs=0.005)


def test_jaws_wider_than_the_hole_do_not_enter() -> None:
    """There is no reading to be wrong."""
    with pytest.raises(ValueError, match="do not enter"):
        inside_jaw_error_mm(0.5, 0.6)


@pytest.mark.parametrize(
    ("reading_mm", "words"),
    [(1.98, "0.06 to 0.17 mm small"), (2.99, "0.04 to 0.11 mm small"), (0.7, "not even enter")],
)
def test_a_calipers_inside_reading_under_3_mm_is_refused(reading_mm: float, words: str) -> None:
    """With the reason, the numbers and what to use instead."""
    fault = refuse_caliper_inside(reading_mm)
    assert fault is not None
    assert words in fault.expected
    assert "under 3 mm" in fault.expected


def test_a_calipers_inside_reading_from_3_mm_is_taken() -> None:
    """At 3 mm and above nothing is refused."""
    assert refuse_caliper_inside(3.0) is None


END_GAUGE_NM = (
    Component(25, 18),
    Component(5.8, 24),
    Component(3.9, 5),
    Component(6.7, 8),
    Component(2.9),
    Component(50 * 11.5e-6 * 1e6 * 0.05 / math.sqrt(3), 2),
)


def test_end_gauge_calibration() -> None:
    """JCGM 100:2008, example H.1: u = 32 nm, 16 degrees of freedom, k99 = 2.92, U99 = 93 nm."""
    found = combined(END_GAUGE_NM)
    assert round(found.standard) == 32
    assert math.floor(found.freedom) == 16
    k = coverage(0.99, found.freedom)
    assert k == pytest.approx(2.92, abs=0.005)
    assert k * found.standard == pytest.approx(93, abs=0.6)


@given(st.floats(0.01, 0.999), st.integers(1, 200))
def test_coverage_agrees_with_scipy(share: float, freedom: int) -> None:
    """Student's t as scipy has it."""
    expected = student.ppf((1 + share) / 2, freedom)
    assert coverage(share, freedom) == pytest.approx(expected, rel=1e-6)


def test_coverage_of_the_normal_distribution() -> None:
    """Infinitely many degrees of freedom: 95 % within 1.960 (any table)."""
    assert coverage(0.95, math.inf) == pytest.approx(1.959964, abs=1e-6)


def test_freedom_is_truncated() -> None:
    """JCGM 100, G.4.1: 16.9 counts as 16."""
    assert coverage(0.99, 16.9) == coverage(0.99, 16)


def test_what_coverage_refuses() -> None:
    """No share outside 0 to 1 and no fewer than one degree of freedom."""
    with pytest.raises(ValueError, match="between 0 and 1"):
        coverage(1.0, 5)
    with pytest.raises(ValueError, match="one degree of freedom"):
        coverage(0.95, 0.5)


def test_nothing_combined_is_certain() -> None:
    """No component, or zeros only: 0, resting on infinitely many."""
    for parts in ((), (Component(0.0, 3),)):
        assert combined(parts) == Component(0.0, math.inf)


def test_rectangular_limits() -> None:
    """JCGM 100, 4.3.7: a / √3."""
    assert rectangular(0.02) == pytest.approx(0.011547, abs=1e-6)


def test_three_readings_are_worth_little() -> None:
    """s·√(1 + 1/3) on 2 degrees of freedom: Student's t holds 95.45 % within 4.53 (scipy)."""
    check = ToolCheck(known_mm=2.0, readings_mm=(1.985, 2.0, 2.015))
    found = measure(2.0, _tool("caliper"), check)
    assert found is not None
    assert found.k == pytest.approx(student.ppf(0.5 + math.erf(math.sqrt(2)) / 2, 2), abs=1e-6)
    assert (round(found.k, 2), round(found.expanded_mm, 3)) == (4.53, 0.078)
    assert found.expanded_mm == pytest.approx(found.k * 0.015 * math.sqrt(1 + 1 / 3))
