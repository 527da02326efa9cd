"""What a set-up sheet warns of."""

import pytest
from tests.trade.bench import SHEET_20GA, bur, hand

from platebook.trade import Drawer, Sheet, Stone, size
from platebook.trade.rules import RuleBook


@pytest.mark.parametrize(
    ("stone", "sheet", "words"),
    [
        (Stone(diameter_mm=2.0, material="emerald"), SHEET_20GA, "advised against"),
        (Stone(diameter_mm=2.0, material="moon dust"), SHEET_20GA, "Nothing is known"),
        (Stone(diameter_mm=2.0, material="diamond"), SHEET_20GA, "depth was not measured"),
        (Stone(diameter_mm=4.5), Sheet(sheet_mm=3.0), "Above about 4 mm"),
        (Stone(diameter_mm=3.0), Sheet(sheet_mm=0.4), "below the back of the sheet"),
        (Stone(diameter_mm=2.0), SHEET_20GA, "point stand out? Yes"),
        (Stone(diameter_mm=2.0), Sheet(sheet_mm=0.8, backing="ring behind"), "ring behind"),
    ],
)
def test_cautions_fit_the_stone_and_the_sheet(stone: Stone, sheet: Sheet, words: str) -> None:
    """Whose rules come first stands first; then what is particular about this set-up."""
    cautions = size(stone, sheet).cautions
    assert "teacher come first" in cautions[0]
    assert any(words in line for line in cautions[1:])


def test_a_hand_cut_stone_in_a_setting_bur_is_remarked() -> None:
    """With no ball bur in the drawer that fits, the card says what a ball bur is for."""
    stone = Stone(diameter_mm=2.0, hand_cut=True)
    cautions = size(stone, SHEET_20GA, drawer=Drawer(tools=(bur(1.9),))).cautions
    assert "A ball bur forgives a hand-cut stone; this one does not." in cautions


def test_a_bur_expected_to_cut_outside_the_window_is_remarked() -> None:
    """In tenths there may be none to buy that fits a hand: the card says so with its numbers."""
    book = RuleBook(chosen=("seat-0.10-under",))
    cautions = size(Stone(diameter_mm=2.0), SHEET_20GA, hand=hand(0.15), book=book).cautions
    assert (
        "The 1.9 mm bur is expected to cut 2.05 mm, outside the wanted 1.94 to 2.00 mm." in cautions
    )


def test_an_opening_as_wide_as_the_seat_is_remarked() -> None:
    """A hand that cuts very wide takes a seat bur no wider than the customary opening."""
    cautions = size(Stone(diameter_mm=2.0), SHEET_20GA, hand=hand(0.18)).cautions
    assert any("opening bur would be as wide" in line for line in cautions)


def test_a_seat_that_no_tilt_enters_is_remarked() -> None:
    """A hand whose seats come out far narrower than the bur cuts a hole narrower than a girdle."""
    book = RuleBook(chosen=("seat-0.10-under",))
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA, hand=hand(-1.89), book=book)
    assert sizes.seat.entry_tilt_deg is None
    assert "The stone cannot enter that seat at any tilt." in sizes.cautions


def test_a_stone_too_oval_is_said_to_be() -> None:
    """An empty window gives no chance and a sentence, not an error."""
    oval = Stone(diameter_mm=2.0, diameter_min_mm=1.9, diameter_max_mm=2.1)
    sizes = size(oval, SHEET_20GA)
    assert sizes.hand.chance_of_fit == 0
    assert any("too oval" in line for line in sizes.cautions)


def test_what_was_not_measured_is_said_to_be_assumed() -> None:
    """Depth, crown, girdle and table come from the named cut until they are measured."""
    bare = size(Stone(diameter_mm=2.0), SHEET_20GA)
    measured = size(Stone(diameter_mm=2.0, depth_mm=1.2, crown_mm=0.3, girdle="thick"), SHEET_20GA)
    assert bare.stone.assumed == ("depth", "crown", "girdle", "table")
    assert measured.stone.assumed == ("table",)
    assert any("not measured" in line for line in bare.cautions)
    assert measured.seat.depth_mm == pytest.approx(0.3 + 0.05 * 2.0)
