"""The set-up sheet as a card to take to the bench."""

import math
import re

import pytest

from platebook.reports.sizes_card import sizes_card
from platebook.trade import Drawer, Hand, HandForShape, Sheet, Stone, Tool, size
from platebook.trade.setup_sheet import SetUpSheet

BUR = Tool(kind="bur", name="my 1.9", shape="hart", size_mm=1.9)
FAR_BUR = Tool(kind="bur", name="the wide one", shape="hart", size_mm=1.3)
SHEET_20GA = Sheet(sheet_mm=0.812)
HAND = Hand(shapes=(HandForShape(shape="hart", overcut_mm=0.05, spread_mm=0.02, from_attempts=24),))


def _readme() -> SetUpSheet:
    """The stone of the README: `platebook sizes 1.98 --depth 1.20 --sheet 20ga`."""
    return size(Stone(diameter_mm=1.98, depth_mm=1.20), SHEET_20GA)


def _as_text(sizes: SetUpSheet) -> str:
    return " ".join(" ".join(sizes_card(sizes)).split())


def test_the_card_says_what_the_sheet_of_numbers_says() -> None:
    """Stone, the three tools, seat, sheet and hand, each with its sizes."""
    sizes = _readme()
    text = _as_text(sizes)
    for part in (
        "Stone 1.98 mm, 1.20 deep",
        "pilot drill 0.65 mm 0.65 mm twist drill, to buy",
        "opening bur 1.80 mm 1.8 mm ball bur, to buy",
        "seat bur 1.90 mm 1.9 mm setting bur, to buy",
        "Seat snap in: 1.92 to 1.98 mm wide",
        "Sheet 0.812 mm (custom: 20 ga).",
        "Your hand Expected to cut 0.06 wider than the bur",
        "! Your workshop's own rules, local law and a qualified teacher come first.",
    ):
        assert part in text


def test_the_wanted_sizes_are_what_custom_asks_for() -> None:
    """A third of the stone, 0.20 under and 0.10 under it (common practice)."""
    text = _as_text(_readme())
    for wanted in (1.98 / 3, 1.98 - 0.20, 1.98 - 0.10):
        assert f"wanted {wanted:.2f}: " in text


def test_the_numbers_of_the_sheet_are_geometry() -> None:
    """The point stands out by the stone's depth below the table less the sheet.

    With the table flush with the metal it is 1.20 - 0.812 = 0.388 mm (geometry).
    """
    assert "Will the point stand out? Yes: by 0.39 mm" in _as_text(_readme())


def test_each_tool_says_where_its_rule_comes_from() -> None:
    """With the sentence of the rule before it."""
    sizes = _readme()
    text = _as_text(sizes)
    for tool in (sizes.pilot_drill, sizes.opening_bur, sizes.seat_bur):
        assert tool.source
        assert f"{tool.sentence} [{tool.source}]" in text


def test_what_was_not_measured_is_said_to_be_assumed() -> None:
    """And from which cut."""
    assert "(crown, girdle, table not measured: as in the Tolkowsky cut)" in _as_text(_readme())


@pytest.mark.parametrize("diameter_mm", [0.7, 1.5, 1.98, 3.0, 10.0])
@pytest.mark.parametrize("thickness_mm", [0.1, 0.812, 6.0])
def test_no_line_is_wider_than_the_terminal(diameter_mm: float, thickness_mm: float) -> None:
    """80 columns, whatever the stone, the sheet and the drawer."""
    sizes = size(
        Stone(diameter_mm=diameter_mm, material="cubic zirconia"),
        Sheet(sheet_mm=thickness_mm),
        drawer=Drawer(tools=(BUR, FAR_BUR)),
        hand=HAND,
    )
    lines = sizes_card(sizes)
    assert max(len(line) for line in lines) <= 80
    assert not any(line != line.rstrip() for line in lines)
    assert not re.search(r"\bcaus", " ".join(lines), re.IGNORECASE)


def test_a_tool_of_the_drawer_is_named_and_a_far_one_is_said_to_be_far() -> None:
    """Nothing is snapped to in silence."""
    stone = Stone(diameter_mm=1.98)
    near = _as_text(size(stone, SHEET_20GA, drawer=Drawer(tools=(BUR,))))
    assert "my 1.9, in your drawer" in near
    far = _as_text(size(stone, SHEET_20GA, drawer=Drawer(tools=(FAR_BUR,))))
    assert "nearest in your drawer 1.30, not near enough" in far


def test_a_hand_says_how_many_attempts_it_rests_on() -> None:
    """And custom says that it is custom."""
    stone, drawer = Stone(diameter_mm=1.98), Drawer(tools=(BUR,))
    known = size(stone, SHEET_20GA, drawer=drawer, hand=HAND)
    assert "0.05 wider than the bur, give or take 0.02" in _as_text(known)
    assert "24 attempts of your own" in _as_text(known)
    assert "By custom, from no seat of your own" in _as_text(size(stone, SHEET_20GA, drawer=drawer))


def test_a_seat_that_is_too_wide_is_dropped_into() -> None:
    """A disc of 1.98 mm and 0.0594 mm thick enters 1.93 mm only tipped by 14.7 degrees (geometry).

    The tip t solves d cos t + g sin t = D.
    """
    d, g, wide = 1.98, 0.0594, 1.93
    tip = math.degrees(math.atan2(g, d) + math.acos(wide / math.hypot(d, g)))
    assert tip == pytest.approx(14.7, abs=0.05)
    snug = Hand(
        shapes=(HandForShape(shape="hart", overcut_mm=wide - 1.9, spread_mm=0.01, from_attempts=9),)
    )
    wide_hand = Hand(
        shapes=(HandForShape(shape="hart", overcut_mm=0.2, spread_mm=0.01, from_attempts=9),)
    )
    drawer = Drawer(tools=(BUR,))
    text = _as_text(size(Stone(diameter_mm=d), SHEET_20GA, drawer=drawer, hand=snug))
    assert f"the stone goes in tipped about {tip:.0f} degrees" in text
    loose = size(Stone(diameter_mm=d), SHEET_20GA, drawer=drawer, hand=wide_hand)
    assert ("the stone drops in" in _as_text(loose)) == (loose.seat.entry_tilt_deg == 0)
