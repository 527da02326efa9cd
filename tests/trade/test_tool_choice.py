"""Which tools are taken, and how fast they may turn at most."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from platebook.practice.fields import choices
from platebook.trade.records import Drawer, Hand, HandForShape, Stone, Tool
from platebook.trade.rules import RuleBook
from platebook.trade.tool_choice import (
    chance_between,
    forecasts,
    hand_for,
    name_of,
    rpm,
    speed_limit,
    surface_speeds,
)
from platebook.trade.validation import TradeError


@given(st.floats(1, 3), st.floats(0, 0.5), st.floats(1, 3), st.floats(0.005, 0.5))
def test_chances_agree_with_scipy(low: float, width: float, mean: float, spread: float) -> None:
    """The normal distribution as scipy has it."""
    expected = norm.cdf(low + width, mean, spread) - norm.cdf(low, mean, spread)
    assert chance_between(low, low + width, mean, spread) == pytest.approx(expected, abs=1e-12)


def test_a_reversed_window_has_no_chance() -> None:
    """A stone too oval for any seat."""
    assert chance_between(2.0, 1.9, 1.95, 0.03) == 0


def test_custom_speaks_where_the_hand_is_not_known() -> None:
    """At 0 attempts the overcut is custom's, for an unknown hand and for an unused shape."""
    hand = Hand(shapes=(HandForShape(shape="hart", overcut_mm=0.1, spread_mm=0.02),))
    book = RuleBook()
    assert hand_for("hart", hand, book).overcut_mm == 0.1
    for known in (hand_for("ball", hand, book), hand_for("setting", None, book)):
        assert (known.from_attempts, known.overcut_mm, known.spread_mm) == (0, 0.06, 0.03)


def test_the_best_bur_comes_first() -> None:
    """By chance, then by how near the window's middle; opening and unsized burs are left out."""
    tools = tuple(
        Tool(kind="bur", shape=shape, size_mm=size)
        for shape, size in (
            ("setting", 1.7),
            ("setting", 1.9),
            ("hart", 2.2),
            ("flame", 1.9),
            ("setting", None),
        )
    )
    found = forecasts(Drawer(tools=tools), None, Stone(diameter_mm=2.0), "snap in", RuleBook())
    assert [b.size_mm for b in found] == [1.9, 1.7, 2.2]
    assert found[0].chance_of_fit == round(
        norm.cdf(2.0, 1.96, 0.03) - norm.cdf(1.94, 1.96, 0.03), 3
    )


def test_a_stone_measured_badly_lowers_the_chance() -> None:
    """The stone's uncertainty adds to the hand's spread (JCGM 100, 5.1.2); nothing else moves."""
    drawer = Drawer(tools=(Tool(kind="bur", shape="setting", size_mm=1.9),))
    sure, unsure = (
        forecasts(drawer, None, Stone(diameter_mm=2.0, diameter_u_mm=u), "snap in", RuleBook())[0]
        for u in (0.0, 0.04)
    )
    both = 0.05  # 0.03 and 0.04 at right angles
    expected = norm.cdf(2.0, 1.96, both) - norm.cdf(1.94, 1.96, both)
    assert unsure.chance_of_fit == round(expected, 3)
    assert unsure.model_copy(update={"chance_of_fit": sure.chance_of_fit}) == sure


def test_a_tool_without_a_name_is_called_by_its_size() -> None:
    """Every tool can be named on a card."""
    assert name_of(Tool(kind="bur", shape="ball", size_mm=1.8)) == "1.8 mm ball bur"
    assert name_of(Tool(kind="burnisher")) == "burnisher"


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
