"""The set-up sheet as a card to take to the bench."""

import math
import re
from collections import Counter
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.builders import an_attempt, some_course

from platebook.advice import NextExercise, next_exercise
from platebook.advice.exercise import Factor
from platebook.reports.text.sizes_text import next_lines, sizes_card
from platebook.trade import Drawer, Hand, HandForShape, Sheet, Stone, Tool, size
from platebook.trade.geometry.thickness import gauge_to_assume
from platebook.trade.lengths import gauge_mm
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SeatMethod, SetUpSheet
from platebook.trade.sizing import METHODS
from platebook.values import replace

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
        "pilot drill 0.65 to buy",
        "opening bur 1.80 ball, to buy",
        "seat bur 1.90 setting, to buy",
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
        assert f"{tool.sentence} [{tool.rule}: {tool.source}]" in text


def test_rules_that_conflict_stand_beside_each_other() -> None:
    """Two fifths of 1.98 is 0.792; 95 % is 1.881, the 1.88 of the rule gone by (arithmetic)."""
    text = _as_text(_readme())
    assert "[pilot-third: common practice]; other rules: pilot-two-fifths 0.792" in text
    assert "other rules: seat-95-percent" not in text
    large = _as_text(size(Stone(diameter_mm=3.0), Sheet(sheet_mm=1.0)))
    assert "other rules: seat-95-percent 2.85" in large


def test_speeds_are_limits_with_metal_and_steel() -> None:
    """1000 · 21 / (π · 1.9) is 3518 a minute (arithmetic; 21 m/min: handbook); no metal, none."""
    sheet = Sheet(sheet_mm=0.812, metal="copper")
    text = _as_text(size(Stone(diameter_mm=1.98), sheet))
    assert "Not above, in turns a minute, with high-speed steel in copper: " in text
    assert "seat bur 3500. A limit, never a target: seats are cut slowly, by hand." in text
    assert "Sheet 0.812 mm of copper (custom: 20 ga)." in text
    assert "Speed" not in _as_text(_readme())


def test_a_stone_too_oval_for_any_seat_gets_no_window_back_to_front() -> None:
    """To snap in, 2.05 asks for 1.99 at least and 1.91 for 1.91 at most (judgement's window)."""
    stone = Stone(diameter_mm=1.98, diameter_min_mm=1.91, diameter_max_mm=2.05)
    text = _as_text(size(stone, SHEET_20GA))
    assert "no width suits (1.99 for its largest diameter, 1.91 for its smallest)" in text


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
    assert "drawer, or as said" in near
    assert "seat bur 1.90 my 1.9, floor" in near
    far = _as_text(size(stone, SHEET_20GA, drawer=Drawer(tools=(FAR_BUR,))))
    assert "nearest of yours 1.30, not near enough" in far


def test_a_hand_says_how_many_attempts_it_rests_on() -> None:
    """And custom says that it is custom."""
    stone, drawer = Stone(diameter_mm=1.98), Drawer(tools=(BUR,))
    known = size(stone, SHEET_20GA, drawer=drawer, hand=HAND)
    assert "0.05 wider than the bur, give or take 0.02" in _as_text(known)
    assert "24 attempts of your own" in _as_text(known)
    by_custom = _as_text(size(stone, SHEET_20GA, drawer=drawer))
    assert "By custom, from no seat of your own" in by_custom
    assert "The chances are those of a hand not measured yet" in by_custom
    assert "not measured yet" not in _as_text(known)


def test_a_stone_out_of_round_and_its_material_are_said() -> None:
    """Largest less smallest diameter (arithmetic)."""
    stone = Stone(diameter_mm=1.98, diameter_min_mm=1.95, diameter_max_mm=2.0, material="garnet")
    assert "girdle 0.06, garnet, 0.05 out of round" in _as_text(size(stone, SHEET_20GA))


def _entering(overcut_mm: float) -> SetUpSheet:
    """A hand that cuts so much wider than a bur of 1.9 mm, at a stone of 1.98 mm."""
    hand = HandForShape(shape="hart", overcut_mm=overcut_mm, spread_mm=0.01, from_attempts=9)
    return size(
        Stone(diameter_mm=1.98),
        SHEET_20GA,
        drawer=Drawer(tools=(BUR,)),
        hand=Hand(shapes=(hand,)),
    )


def test_how_the_stone_enters_is_said() -> None:
    """Tipped, straight in, or not at all.

    A disc d wide and g thick enters a hole D only tipped by t, d cos t + g sin t = D: 14.7 degrees
    for 1.98, 0.0594 and 1.93 (geometry).
    """
    tip = math.degrees(math.atan2(0.0594, 1.98) + math.acos(1.93 / math.hypot(1.98, 0.0594)))
    assert tip == pytest.approx(14.7, abs=0.05)
    tipped = _entering(0.03)
    goes_in = f"the stone goes in tipped at least {tip:.0f} degrees, and the metal has to give"
    assert goes_in in _as_text(tipped)
    wide = "expected to cut so wide that the stone drops in and does not snap in."
    book = RuleBook(chosen=("seat-95-percent",))
    assert wide in _as_text(size(Stone(diameter_mm=1.0), SHEET_20GA, book=book))


def test_a_stone_that_is_pushed_in_is_never_tipped() -> None:
    """It is pressed down level, by what it is wider than the seat."""
    pushed = _as_text(size(Stone(diameter_mm=1.98), SHEET_20GA, method="push in"))
    assert "the stone is pressed down level, 0.02 mm wider than the seat" in pushed
    assert "tipped" not in pushed


TODAY = date(2026, 2, 4)
COURSE = some_course()


def _advice(*factors: Factor) -> NextExercise:
    log = [an_attempt(grade="copper-1.5", attempt_id=str(n)) for n in range(4)]
    return next_exercise(COURSE, log, today=TODAY, lead_to_settle=factors)


def test_what_to_do_why_and_what_would_change_it() -> None:
    """One thought a line, each with its reasons."""
    advice = _advice()
    lines = next_lines(advice)
    assert lines[0] == f"Next: {advice.title}, {advice.grade_title} ({advice.grade})."
    assert lines[1] == f"{advice.task} Good when: {advice.criterion}"
    why = lines.index("Why:")
    assert lines[why + 1 : why + 1 + len(advice.why)] == tuple(f"- {s}" for s in advice.why)
    assert all(f"- {s}" in lines for s in advice.changes)
    assert advice.why
    assert not re.search(r"\bcaus", " ".join(lines), re.IGNORECASE)


def test_the_number_of_tries_and_the_readings_are_said() -> None:
    """In one line, with the right plural."""
    advice = _advice()
    once = replace(advice, repeat=1, readings_asked=False)
    assert "Up to 1 try, then ask again. No readings are asked." in next_lines(once)
    five = replace(advice, repeat=5, readings_asked=True)
    assert "Up to 5 tries, then ask again. Readings are asked." in next_lines(five)


def test_a_block_lists_its_eight_runs() -> None:
    """In the order to be done, each with what to take, in words."""
    advice = _advice(
        Factor(name="seat_bur_mm", low=1.8, high=1.9),
        Factor(name="burnish_passes", low="1", high="3+"),
    )
    lines = next_lines(advice)
    runs = lines[lines.index("The block, in this order:") + 1 :]
    assert [run.partition(": ")[0] for run in runs] == [f"- {n}" for n in range(1, 9)]
    assert Counter(run.partition(": ")[2] for run in runs) == {
        f"seat bur {bur} mm, burnish passes {passes}": 2
        for bur in ("1.80", "1.90")
        for passes in ("1", "3+")
    }


def test_the_sizes_stand_below_where_there_are_any() -> None:
    """The whole card."""
    sizes = size(Stone(diameter_mm=1.5), Sheet(sheet_mm=0.812))
    card = sizes_card(sizes)
    assert next_lines(_advice(), sizes)[-len(card) :] == card
    assert next_lines(_advice()) == next_lines(_advice(), None)


METALS = ("copper", "sterling silver", "brass", "18k gold", "platinum")
DRAWERS = (Drawer(), Drawer(tools=(BUR,)))


@given(
    st.integers(80, 650),
    st.sampled_from(METHODS),
    st.sampled_from(METALS),
    st.sampled_from(DRAWERS),
    st.floats(-0.02, 0.15),
    st.floats(0.01, 0.08),
)
def test_no_card_contradicts_itself(
    hundredths: int,
    method: SeatMethod,
    metal: str,
    drawer: Drawer,
    overcut_mm: float,
    spread_mm: float,
) -> None:
    """Drill, opening, seat and stone in order; chances that are all; words that fit the method."""
    diameter = hundredths / 100
    known = HandForShape(
        shape="setting", overcut_mm=overcut_mm, spread_mm=spread_mm, from_attempts=12
    )
    gauge, _ = gauge_to_assume(diameter)
    sizes = size(
        Stone(diameter_mm=diameter),
        Sheet(sheet_mm=gauge_mm(gauge), metal=metal),
        method=method,
        drawer=drawer,
        hand=Hand(shapes=(known,)),
    )
    assert sizes.pilot_drill.choose_mm < sizes.opening_bur.choose_mm
    assert sizes.seat_bur.choose_mm <= diameter
    for chances in (sizes.hand, *sizes.hand.burs, *sizes.hand.to_buy):
        assert sum(chances.in_100) == 100
    seat, text = sizes.seat, _as_text(sizes)
    assert ("tipped" in text) == (method == "snap in" and bool(seat.entry_tilt_deg))
    assert ("pressed down level, " in text) == (method == "push in" and bool(seat.entry_tilt_deg))
    if seat.bur_sunk_mm is not None and seat.bur_sunk_high_mm is not None:
        assert 0 < seat.bur_sunk_mm < seat.bur_sunk_high_mm < sizes.stone.depth_mm
    assert "below to" not in text
    assert all(len(line) <= 78 for line in sizes_card(sizes))
    assert sizes.sheet.holds or " would hold." in text
    above = "Above about 4 mm custom does not flush set" in text
    assert above == (diameter > 4) == (sizes.sheet.customary_gauge is None)


def test_a_sheet_too_thin_names_the_gauge_that_would_hold() -> None:
    """Crown and girdle of 4.00 mm are 0.768, so that 18 ga (1.024) leaves 0.26 of the 0.30."""
    text = _as_text(size(Stone(diameter_mm=4.0), Sheet(sheet_mm=gauge_mm(18))))
    assert "Too thin: 0.26 mm of metal under the girdle" in text
    assert "wanted. 17 ga (1.15 mm) would hold." in text


def test_the_size_that_custom_asks_for_is_weighed_beside_the_one_taken() -> None:
    """To drop in custom asks for the stone's size, which is too wide every other time."""
    text = _as_text(size(Stone(diameter_mm=2.0), SHEET_20GA, method="drop in"))
    assert "seat bur 1.95 setting, to buy" in text
    assert (
        "2.00 mm, the nearest size to what is wanted: fits 35 in 100, too wide 50, "
        "too narrow 15." in text
    )
