"""What a bur would cut in this hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from platebook.trade.records import Drawer, Hand, HandForShape, Stone, Tool
from platebook.trade.rules import RuleBook
from platebook.trade.tool_choice import chance_between, forecasts, hand_for, name_of


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
