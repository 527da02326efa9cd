"""How fast tools may turn at most."""

import pytest

from platebook.practice.fields import choices
from platebook.trade.speeds import rpm, speed_limit, surface_speeds
from platebook.trade.validation import TradeError


@pytest.mark.parametrize(("surface_m_min", "expected"), [(45, 14324), (21.3, 6780)])
def test_spindle_speed(surface_m_min: float, expected: float) -> None:
    """Handbook formula n = 1000 v / (π d) for a 1.0 mm tool."""
    assert rpm(surface_m_min, 1.0) == pytest.approx(expected, abs=0.5)


def test_published_speeds() -> None:
    """Handbook: high-speed steel in copper 21 to 45, in brass 61 to 91 m/min."""
    published = {
        s.metal: (s.low_m_min, s.high_m_min) for s in surface_speeds() if s.kind == "published"
    }
    assert published == {"copper": (21, 45), "brass": (61, 91)}


def test_the_limit_is_a_limit_and_not_a_target() -> None:
    """From the lower published speed, said in whole hundreds below it."""
    found = speed_limit(1.9, "Copper")
    assert found is not None
    assert found.not_above_rpm == pytest.approx(rpm(21, 1.9))
    assert found.sentence == (
        "Not above 3500 a minute (1.9 mm of high-speed steel in copper, 21 m/min, published): "
        "a limit, not a target. Seats are cut slowly."
    )


def test_every_metal_with_a_speed_is_one_of_the_record() -> None:
    """No speed stands for a metal that cannot be logged."""
    assert {s.metal for s in surface_speeds()} <= {c.value for c in choices()["metal"]}


def test_an_unknown_metal_has_no_limit() -> None:
    """Nothing is made up for platinum, or for a tool steel that is not in the table."""
    assert speed_limit(1.9, "platinum") is None
    assert speed_limit(1.9, "copper", "carbide") is None


@pytest.mark.parametrize("diameter_mm", [0, -1])
def test_a_tool_has_a_size(diameter_mm: float) -> None:
    """Zero and negative diameters are refused by name."""
    with pytest.raises(TradeError, match="diameter_mm"):
        speed_limit(diameter_mm, "copper")
