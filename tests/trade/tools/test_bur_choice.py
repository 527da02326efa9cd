"""Which seat bur is taken: three chances, what a wrong seat costs, and the sizes sold."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm
from tests.trade.bench import SHEET_20GA, bur, hand

from platebook.trade import size
from platebook.trade.records import Drawer, Hand, HandForShape, Stone, Tool
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SeatMethod
from platebook.trade.sizing import METHODS
from platebook.trade.tools.bur_advice import suited_mm
from platebook.trade.tools.bur_choice import (
    best_chance,
    chance_between,
    chances_in,
    cost_of,
    forecast,
    forecasts,
    hand_for,
    seat_window,
    sold_about,
)
from platebook.values import fields_of, replace

ANY_HAND_MM = 0.0573
"""How the next seat of a hand spreads of which nothing is known (tests of `expected_hand`)."""

CHANCES = ("chance_of_fit", "chance_too_narrow", "chance_too_wide")


@given(st.floats(1, 3), st.floats(0, 0.5), st.floats(1, 3), st.floats(0.005, 0.5))
def test_chances_agree_with_scipy(low: float, width: float, mean: float, spread: float) -> None:
    """The normal distribution as scipy has it."""
    expected = norm.cdf(low + width, mean, spread) - norm.cdf(low, mean, spread)
    assert chance_between(low, low + width, mean, spread) == pytest.approx(expected, abs=1e-12)


def test_a_reversed_window_has_no_chance() -> None:
    """A stone too oval for any seat."""
    assert chance_between(2.0, 1.9, 1.95, 0.03) == 0


def test_custom_speaks_where_the_hand_is_not_known() -> None:
    """At 0 attempts the overcut is custom's, and how hands differ is in the spread."""
    hand = Hand(shapes=(HandForShape(shape="hart", overcut_mm=0.1, spread_mm=0.02),))
    book = RuleBook()
    assert hand_for("hart", hand, book).overcut_mm == 0.1
    for known in (hand_for("ball", hand, book), hand_for("setting", None, book)):
        assert (known.from_attempts, known.overcut_mm) == (0, 0.06)
        assert known.spread_mm == pytest.approx(ANY_HAND_MM, abs=0.00005)


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
    expected = norm.cdf(2.0, 1.96, ANY_HAND_MM) - norm.cdf(1.94, 1.96, ANY_HAND_MM)
    assert found[0].chance_of_fit == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("drawer", [Drawer(), Drawer(tools=(bur(1.8), bur(1.9), bur(2.0)))])
def test_an_unmeasured_hand_is_given_the_bur_of_a_hand_that_cuts_as_custom_expects(
    method: SeatMethod, drawer: Drawer
) -> None:
    """The same bur from the same place; the chance is the lower one of a hand nobody measured."""
    as_custom = Hand(shapes=(HandForShape(shape="setting", overcut_mm=0.06, spread_mm=0.03),))
    for hundredths in range(190, 215):
        stone = Stone(diameter_mm=hundredths / 100)
        unknown = size(stone, SHEET_20GA, method=method, drawer=drawer)
        expected = size(stone, SHEET_20GA, method=method, drawer=drawer, hand=as_custom)
        assert unknown.seat_bur == expected.seat_bur
        assert unknown.hand.best_chance < expected.hand.best_chance


def test_whose_chances_they_are_is_said_until_a_seat_was_read() -> None:
    """Nobody is told of a spread to practise, or of another stone, for what is not known of them.

    The best possible is the normal's share within 0.03 mm (scipy).
    """
    unknown = " ".join(size(Stone(diameter_mm=2.0), SHEET_20GA).hand.what_to_do)
    best = norm.cdf(0.03 / ANY_HAND_MM) - norm.cdf(-0.03 / ANY_HAND_MM)
    assert f"In a hand not measured yet the best possible bur fits {100 * best:.0f} in" in unknown
    assert "even odds" not in unknown
    assert "set a stone" not in unknown
    known = " ".join(size(Stone(diameter_mm=2.0), SHEET_20GA, hand=hand(0.06)).hand.what_to_do)
    assert "not measured" not in known


@pytest.mark.parametrize(
    ("own", "of_class", "words"),
    [
        (1, 0, "With one seat of your own read the best possible"),
        (4, 90, "With four seats of your own read the best possible"),
        (0, 90, "With no seats of your own read the best possible"),
        (5, 0, "No bur reaches even odds: with a spread of 0.050 mm"),
    ],
)
def test_few_seats_are_no_spread_to_practise(own: int, of_class: int, words: str) -> None:
    """Under five of one's own the doubt is of the hand, and no other stone is offered for it."""
    known = HandForShape(
        shape="setting", overcut_mm=0.06, spread_mm=0.05, from_attempts=own, from_class=of_class
    )
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA, hand=Hand(shapes=(known,)))
    said = " ".join(sizes.hand.what_to_do)
    assert words in said
    assert ("set a stone" in said) is (own >= 5)


def test_the_stone_for_a_bur_that_is_passed_over_is_aimed_as_by_custom() -> None:
    """A 1.95 for a 2.00: the seat in a window's middle and 0.03² · ln 2 / 0.06 (arithmetic)."""
    said = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=Drawer(tools=(bur(1.95),)))
    mm = 1.95 + 0.06 + 0.03 + 0.03**2 * np.log(2) / 0.06
    assert any(f"or set a stone of {mm:.2f} mm with it" in s for s in said.hand.what_to_do)


def test_a_stone_measured_badly_lowers_the_chance() -> None:
    """The stone's uncertainty adds to the hand's spread (JCGM 100, 5.1.2); nothing else moves."""
    drawer = Drawer(tools=(Tool(kind="bur", shape="setting", size_mm=1.9),))
    steady = hand(0.06, 0.03)
    sure, unsure = (
        forecasts(drawer, steady, Stone(diameter_mm=2.0, diameter_u_mm=u), "snap in", RuleBook())[0]
        for u in (0.0, 0.04)
    )
    both = 0.05  # 0.03 and 0.04 at right angles
    expected = norm.cdf(2.0, 1.96, both) - norm.cdf(1.94, 1.96, both)
    assert unsure.chance_of_fit == round(expected, 3)
    assert replace(unsure, **{n: getattr(sure, n) for n in CHANCES}) == sure


@pytest.mark.parametrize("method", METHODS)
def test_no_stone_is_given_a_bur_that_seldom_fits(method: SeatMethod) -> None:
    """Of 156 sizes, where half-tenths are sold: 45 in 100 at least in a hand as custom expects.

    Where nothing is known of the hand it is 35 in 100, and a tenth under the best possible at most.
    Every sixth hundredth of a millimetre comes to stand at each place between two half-tenths.
    """
    as_custom = hand(0.06, 0.03)
    for hundredths in range(70, 1001, 6):
        stone = Stone(diameter_mm=hundredths / 100)
        expected = size(stone, SHEET_20GA, method=method, hand=as_custom)
        assert expected.hand.chance_of_fit > 0.45
        unknown = size(stone, SHEET_20GA, method=method).hand
        assert unknown.chance_of_fit >= 0.35
        assert unknown.chance_of_fit > unknown.best_chance - 0.1


def test_half_tenths_are_weighed_and_the_smaller_of_equals_is_taken() -> None:
    """2.25 pushed in: 2.15 and 2.20 fit alike (61 in 100, scipy), 2.20 is too wide more often."""
    sizes = size(Stone(diameter_mm=2.25), SHEET_20GA, method="push in", hand=hand(0.06, 0.03))
    assert sizes.seat_bur.choose_mm == 2.15
    expected = norm.cdf(2.27, 2.21, 0.03) - norm.cdf(2.2, 2.21, 0.03)
    assert sizes.hand.chance_of_fit == round(expected, 3)
    assert {b.size_mm for b in sizes.hand.to_buy[:2]} == {2.15, 2.2}


def test_the_bur_of_least_cost_is_taken() -> None:
    """Brute force: no size sold costs less, with too wide at 1, 2 and 4 (arithmetic, scipy)."""
    for rule, costs in (("too-wide-costs-1", 1), ("too-wide-costs-2", 2), ("too-wide-costs-4", 4)):
        book = RuleBook(chosen=(rule,))
        for hundredths in range(80, 400, 7):
            stone = Stone(diameter_mm=hundredths / 100)
            low, high = seat_window(stone, "snap in", book)
            known = hand(0.07, 0.04)
            chosen = size(stone, SHEET_20GA, hand=known, book=book).seat_bur.choose_mm

            seats = 0.07 + np.array([chosen, *np.arange(0.4, stone.diameter_mm + 1e-9, 0.05)])
            cost = np.asarray(norm.cdf(low, seats, 0.04) + costs * norm.sf(high, seats, 0.04))
            assert cost[0] == pytest.approx(cost[1:].min(), abs=0.0015)


def test_too_wide_costs_more_than_too_narrow() -> None:
    """A 2.90 that is too wide in 53 of 100 gives way to a 2.85; both are named (normal spread)."""
    drawer = Drawer(tools=(bur(2.9),))
    sizes = size(Stone(diameter_mm=2.97), SHEET_20GA, drawer=drawer, hand=hand(0.073, 0.04))
    assert (sizes.seat_bur.choose_mm, sizes.seat_bur.from_) == (2.85, "to buy")
    said = " ".join(sizes.hand.what_to_do)
    assert "With your 2.9 mm setting bur: fits 41 in 100, too wide 53, too narrow 6." in said
    assert "the best possible bur fits 55 in 100" in said
    assert "set a stone of 3.02 mm with it: fits 51 in 100, too wide 12, too narrow 37." in said


@pytest.mark.parametrize("costs", [1.0, 2.0, 4.0])
@pytest.mark.parametrize("spread_mm", [0.02, 0.04, 0.07])
def test_the_stone_named_instead_costs_least(costs: float, spread_mm: float) -> None:
    """Every stone by a hundredth of a hundredth, weighed by brute force (normal distribution)."""
    book = RuleBook(chosen=(f"too-wide-costs-{costs:g}",))
    stone, known = (
        Stone(diameter_mm=2.97),
        HandForShape(shape="setting", overcut_mm=0.073, spread_mm=spread_mm),
    )
    window = seat_window(stone, "snap in", book)
    found = forecast(bur(2.9), known, window)

    def cost(stone_mm: float) -> float:
        low, high = stone_mm - 0.06, stone_mm
        narrow = norm.cdf((low - found.seat_mm) / spread_mm)
        return float(narrow + costs * norm.sf((high - found.seat_mm) / spread_mm))

    least = min((cost(mm := 2.9 + step / 10000), mm) for step in range(5000))[1]
    suited = suited_mm(stone, found, window, book, spread_mm=spread_mm)
    assert suited == pytest.approx(least, abs=0.0002)


def test_of_twentieths_the_stone_hangs_on_what_too_wide_costs() -> None:
    """3.00 and 3.05 cost nearly the same where too wide counts twice; over 2.06 times 3.05 wins."""
    seat, spread = 2.973, 0.04

    def costs(stone_mm: float, times: float) -> float:
        narrow = norm.cdf((stone_mm - 0.06 - seat) / spread)
        return float(narrow + times * norm.sf((stone_mm - seat) / spread))

    assert [round(costs(mm, 2), 3) for mm in (3.0, 3.02, 3.05)] == [0.704, 0.613, 0.719]
    assert costs(3.0, 2.0) < costs(3.05, 2.0)
    assert costs(3.05, 2.1) < costs(3.0, 2.1)


def test_the_three_chances_are_all_there_is() -> None:
    """They add up to one for each bur, and the ceiling is never passed."""
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=Drawer(tools=(bur(1.8), bur(1.95))))
    for found in (*sizes.hand.burs, *sizes.hand.to_buy):
        total = found.chance_of_fit + found.chance_too_narrow + found.chance_too_wide
        assert total == pytest.approx(1, abs=1e-9)
        assert sum(found.in_100) == 100
        assert found.chance_of_fit <= sizes.hand.best_chance


@pytest.mark.parametrize("spread_mm", [0.0321, 0.0328, 0.03349, 0.0471])
def test_the_best_chance_rests_on_the_spread_that_the_others_rest_on(spread_mm: float) -> None:
    """Where a bur's seats lie in the window's middle, it is its own chance (normal distribution).

    The window of a 2 mm stone that snaps in is 0.06 mm wide below it.
    """
    middling = hand(0.07, spread_mm)
    sizes = size(
        Stone(diameter_mm=2.0), SHEET_20GA, drawer=Drawer(tools=(bur(1.9),)), hand=middling
    )
    expected = round(2 * norm.cdf(0.03 / spread_mm) - 1, 3)
    assert sizes.hand.best_chance == sizes.hand.burs[0].chance_of_fit == expected


def test_no_chance_is_less_than_nothing() -> None:
    """Where a seat is sure to fit or to be too wide, it is 0.0 too narrow, and not -0.0."""
    seats = np.linspace(1.5, 2.6, 1101)
    chances = [chances_in((1.94, 2.0), seat, spread) for seat in seats for spread in (0.005, 0.03)]
    written = [share for found in chances for share in fields_of(found).values()]
    assert [share for share in written if math.copysign(1, share) < 0] == []


def test_a_spread_that_no_bur_suits_is_said() -> None:
    """A hand of 0.08 mm spread fits a 0.06 mm window at most 29 in 100 (normal distribution)."""
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA, hand=hand(0.06, 0.08))
    assert sizes.hand.best_chance == round(2 * norm.cdf(0.03 / 0.08) - 1, 3)
    assert any("No bur reaches even odds" in line for line in sizes.hand.what_to_do)


def test_what_is_sold_is_a_rule() -> None:
    """In tenths or half-tenths, as the setter or the course has chosen."""
    assert sold_about(2.15, 0.06, RuleBook()) == (2.1, 2.15, 2.2)
    assert sold_about(2.15, 0.06, RuleBook(chosen=("burs-in-tenths",))) == (2.1, 2.2)


def test_a_window_of_no_width_has_no_fit() -> None:
    """Every seat is too narrow or too wide then, and nothing is divided by nothing."""
    known = HandForShape(shape="setting", overcut_mm=0.06, spread_mm=0.03)
    found = forecast(bur(1.89), known, (1.95, 1.95))
    assert (found.chance_of_fit, found.chance_too_narrow, found.chance_too_wide) == (0, 0.5, 0.5)
    assert cost_of(found, RuleBook()) == 1.5
    assert best_chance((1.95, 1.95), 0.03) == 0


def test_the_likeliest_to_fit_is_named_where_another_costs_less() -> None:
    """1.96 pushed in: 1.85 costs least, 1.90 fits more often and is too wide more often."""
    sizes = size(Stone(diameter_mm=1.96), SHEET_20GA, method="push in", hand=hand(0.06, 0.03))
    assert sizes.seat_bur.choose_mm == 1.85
    said = "1.90 mm is likelier to fit and oftener too wide: fits 70 in 100, too wide 25"
    assert any(said in line for line in sizes.hand.what_to_do)


def test_the_likeliest_is_not_to_buy_where_it_lies_in_the_drawer() -> None:
    """1.90 of one's own is told by its name and as worn as it is; worn out, it is no way on."""
    stone, known = Stone(diameter_mm=1.96), hand(0.06, 0.03)
    for worn, told in ((0, True), (5000, False)):
        own = bur(1.9).model_copy(update={"name": "old faithful", "seats_cut": worn})
        wearing = known.model_copy(
            update={
                "shapes": tuple(
                    of.model_copy(update={"wear_mm_per_seat": -0.00002}) for of in known.shapes
                )
            }
        )
        drawer = Drawer(tools=(bur(1.85), own))
        sizes = size(stone, SHEET_20GA, method="push in", hand=wearing, drawer=drawer)
        assert sizes.seat_bur.choose_mm == 1.85
        said = [line for line in sizes.hand.what_to_do if "is likelier to fit" in line]
        assert [line.startswith("Your old faithful is likelier") for line in said] == [True] * told
