"""The set-up sheet for one stone: rules, drawer, hand and bad values."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.trade.bench import SHEET_20GA, bur, hand

from platebook import trade
from platebook.trade import Drawer, Hand, Sheet, Stone, Tool, TradeError, size
from platebook.trade.geometry.section import section_of
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SeatMethod
from platebook.trade.sizing import METHODS
from platebook.trade.tools.tool_choice import to_tenth


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
        "The 1.9 mm bur is expected to cut 2.05 mm, wider than the wanted 1.94 to 2.00 mm."
        in cautions
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


@pytest.mark.parametrize(
    ("stone_mm", "pilot", "opening", "seat"),
    [
        (1.5, 0.5, 1.3, 1.4),
        (1.98, 0.65, 1.8, 1.9),
        (2.0, 0.68, 1.8, 1.9),
        (2.5, 0.82, 2.3, 2.4),
        (3.0, 1.0, 2.8, 2.9),
    ],
)
def test_without_a_drawer_custom_speaks(
    stone_mm: float, pilot: float, opening: float, seat: float
) -> None:
    """Common practice: pilot a third, opening bur 0.20 under, seat bur 1.9 for 2.0."""
    sizes = size(Stone(diameter_mm=stone_mm), SHEET_20GA)
    chosen = (sizes.pilot_drill, sizes.opening_bur, sizes.seat_bur)
    assert [tool.choose_mm for tool in chosen] == [pilot, opening, seat]
    assert {tool.from_ for tool in chosen} == {"to buy"}
    assert {tool.source for tool in chosen} == {"common practice"}
    assert sizes.hand.from_attempts == 0
    assert "custom" in sizes.hand.sentence


def test_the_target_is_never_rounded_to_the_tool() -> None:
    """A 1.98 mm stone asks for 0.66, 1.78 and 1.88 mm, whatever is chosen (common practice)."""
    sizes = size(Stone(diameter_mm=1.98), SHEET_20GA)
    targets = (
        sizes.pilot_drill.target_mm,
        sizes.opening_bur.target_mm,
        sizes.seat_bur.target_mm,
    )
    assert targets == (0.66, 1.78, 1.88)


def test_a_stone_that_drops_in_is_wanted_by_custom_in_its_size() -> None:
    """Custom's bur of the stone's size is too wide half the time; chosen by name it is taken."""
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA, method="drop in")
    assert (sizes.seat_bur.target_mm, sizes.seat_bur.choose_mm) == (2.0, 1.95)
    book = RuleBook(chosen=("seat-stone-size",))
    named = size(Stone(diameter_mm=2.0), SHEET_20GA, method="drop in", book=book)
    assert (named.seat_bur.choose_mm, named.hand.chance_too_wide) == (2.0, 0.5)
    assert sizes.seat.diameter_low_mm == 2.0


@pytest.mark.parametrize(
    ("mm", "tenth"), [(1.88, 1.9), (1.85, 1.8), (1.95, 1.9), (1.849999, 1.8), (2.45, 2.4)]
)
def test_a_size_to_buy_is_in_tenths(mm: float, tenth: float) -> None:
    """Halfway goes to the smaller bur: a seat too narrow can be opened, one too wide cannot."""
    assert to_tenth(mm) == tenth


def test_the_drawer_comes_first() -> None:
    """A 0.77 drill will do for a 1.98 mm stone that asks for 0.66 (common practice)."""
    drawer = Drawer(
        tools=(
            Tool(kind="twist drill", size_mm=0.77, name="no. 69 and a bit"),
            bur(1.75, "ball"),
            bur(1.9),
        )
    )
    sizes = size(Stone(diameter_mm=1.98), SHEET_20GA, drawer=drawer)
    assert sizes.pilot_drill.from_ == "drawer"
    assert sizes.pilot_drill.tool == "no. 69 and a bit"
    assert (sizes.opening_bur.from_, sizes.opening_bur.choose_mm) == ("drawer", 1.75)
    assert (sizes.seat_bur.from_, sizes.seat_bur.choose_mm) == ("drawer", 1.9)


def test_a_drawer_with_nothing_near_names_what_to_buy() -> None:
    """What is not near enough is named beside the size to buy and never taken."""
    drawer = Drawer(tools=(Tool(kind="twist drill", size_mm=1.2), bur(1.2, "ball"), bur(1.6)))
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=drawer)
    for tool, nearest in (
        (sizes.pilot_drill, 1.2),
        (sizes.opening_bur, 1.2),
        (sizes.seat_bur, 1.6),
    ):
        assert (tool.from_, tool.nearest_mm) == ("to buy", nearest)


def test_a_bur_over_the_stone_is_never_chosen() -> None:
    """The hand may cut narrow, a bur larger than the stone is still not offered."""
    sizes = size(
        Stone(diameter_mm=2.0), SHEET_20GA, drawer=Drawer(tools=(bur(2.05),)), hand=hand(-0.08)
    )
    assert sizes.seat_bur.from_ == "to buy"
    assert (sizes.seat_bur.target_mm, sizes.seat_bur.choose_mm) == (2.05, 2.0)
    assert any("over the stone's size" in line for line in sizes.cautions)


def test_this_hand_chooses_another_bur_than_custom() -> None:
    """A hand that cuts 0.14 mm wide is given the 1.8 where custom would give the 1.9."""
    drawer = Drawer(tools=(bur(1.8), bur(1.9)))
    custom = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=drawer)
    known = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=drawer, hand=hand(0.14))
    assert (custom.seat_bur.choose_mm, known.seat_bur.choose_mm) == (1.9, 1.8)
    assert known.hand.from_attempts == 24
    assert known.hand.sentence == "From 24 attempts of your own."
    assert known.seat_bur.rule == "seat-from-own-hand"
    assert known.seat_bur.target_mm == 1.83


def test_seats_cut_count_by_the_hands_wear() -> None:
    """Two burs marked alike: the one that has cut 20 seats is expected to cut narrower."""
    drawer = Drawer(tools=(bur(1.9, seats_cut=20), bur(1.9)))
    sizes = size(
        Stone(diameter_mm=2.0), SHEET_20GA, drawer=drawer, hand=hand(0.06, wear_mm_per_seat=-0.002)
    )
    assert [b.seat_mm for b in sizes.hand.burs] == [1.96, 1.92]


def test_hand_cut_stones_take_a_ball_bur_first() -> None:
    """Common practice: a ball bur forgives a hand-cut stone."""
    drawer = Drawer(tools=(bur(1.9), bur(1.9, "ball")))
    machine = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=drawer)
    by_hand = size(Stone(diameter_mm=2.0, hand_cut=True), SHEET_20GA, drawer=drawer)
    assert (machine.seat_bur.shape, by_hand.seat_bur.shape) == ("setting", "ball")


def test_a_chosen_rule_is_used_and_named() -> None:
    """A course may choose another rule for a purpose by its id."""
    book = RuleBook(chosen=("seat-95-percent", "opening-0.15-under"))
    sizes = size(Stone(diameter_mm=1.5), SHEET_20GA, book=book)
    assert (sizes.seat_bur.target_mm, sizes.seat_bur.rule) == (1.425, "seat-95-percent")
    assert sizes.seat_bur.source == "judgement"
    assert sizes.opening_bur.target_mm == 1.35


def test_an_oval_stone_narrows_the_window() -> None:
    """The seat must suit the largest and the smallest diameter at once."""
    oval = Stone(diameter_mm=2.0, diameter_min_mm=1.98, diameter_max_mm=2.02)
    sizes = size(oval, SHEET_20GA)
    assert (sizes.seat.diameter_low_mm, sizes.seat.diameter_high_mm) == (1.96, 1.98)
    assert sizes.stone.ovality_mm == 0.04


def test_a_hand_wider_than_the_stone_is_refused() -> None:
    """An overcut that leaves no bur is a fault with its number, not a bur of no size."""
    with pytest.raises(TradeError, match="an overcut of 2 mm"):
        size(Stone(diameter_mm=2.0), SHEET_20GA, hand=hand(2.0))


TOOLS = st.builds(
    Tool,
    kind=st.sampled_from(["twist drill", "bur", "punch"]),
    shape=st.sampled_from(["setting", "hart", "ball", "flame", "cup", None]),
    size_mm=st.one_of(st.none(), st.floats(0.1, 12)),
    angle_deg=st.one_of(st.none(), st.floats(20, 160)),
    seats_cut=st.integers(0, 500),
)


@given(
    st.floats(0.7, 10),
    st.one_of(st.none(), st.floats(0.35, 1)),
    st.floats(0.1, 6),
    st.sampled_from(METHODS),
    st.builds(Drawer, tools=st.lists(TOOLS, max_size=6).map(tuple)),
    st.floats(-0.2, 0.4).map(hand),
)
def test_every_possible_set_up_gets_an_answer(
    stone_mm: float,
    depth: float | None,
    sheet_mm: float,
    method: SeatMethod,
    drawer: Drawer,
    known: Hand,
) -> None:
    """No stone, sheet, drawer or hand within the limits stops the card or its picture."""
    stone = Stone(diameter_mm=stone_mm, depth_mm=depth and depth * stone_mm)
    sizes = size(
        stone,
        Sheet(sheet_mm=sheet_mm),
        method=method,
        drawer=drawer,
        hand=known,
    )
    assert 0 < sizes.seat_bur.choose_mm <= stone_mm + 5.01e-4  # shown in whole micrometres
    assert 0 <= sizes.hand.chance_of_fit <= 1
    assert section_of(sizes).line


def test_a_bur_in_the_drawer_goes_before_an_equal_one_to_buy() -> None:
    """This hand asks for 1.90; a 1.89 of the drawer fits nearly as often as a new 1.90."""
    drawer = Drawer(tools=(Tool(kind="bur", name="mine", shape="setting", size_mm=1.89),))
    sizes = size(Stone(diameter_mm=1.98), SHEET_20GA, drawer=drawer, hand=hand(0.05))
    assert (sizes.seat_bur.from_, sizes.seat_bur.tool) == ("drawer", "mine")


def test_a_bur_that_hardly_ever_fits_is_not_offered_for_being_there() -> None:
    """With only a far too small bur in the drawer, another one is to buy."""
    drawer = Drawer(tools=(Tool(kind="bur", name="small", shape="setting", size_mm=1.6),))
    sizes = size(Stone(diameter_mm=1.98), SHEET_20GA, drawer=drawer)
    assert (sizes.seat_bur.from_, sizes.seat_bur.nearest_mm) == ("to buy", 1.6)


def test_the_package_promises_a_few_names() -> None:
    """Every promised name is there; another is an AttributeError."""
    assert all(getattr(trade, name) for name in trade.__all__)
    with pytest.raises(AttributeError, match="no attribute 'guess'"):
        _ = trade.guess


@pytest.mark.parametrize(
    ("stone", "sheet", "field", "words"),
    [
        (Stone(diameter_mm=40), SHEET_20GA, "diameter_mm", "did you mean 4 mm?"),
        (Stone(diameter_mm=0.078), SHEET_20GA, "diameter_mm", "did you mean inches?"),
        (Stone(diameter_mm=2, depth_mm=2.5), SHEET_20GA, "depth_mm", "0.70 to 2 mm"),
        (Stone(diameter_mm=2), Sheet(sheet_mm=20), "sheet_mm", "did you mean 20 ga"),
    ],
)
def test_impossible_values_are_refused_by_name(
    stone: Stone, sheet: Sheet, field: str, words: str
) -> None:
    """`size` raises with the field, what was read and what is possible."""
    with pytest.raises(TradeError) as refused:
        size(stone, sheet)
    assert [fault.field for fault in refused.value.faults] == [field]
    assert words in str(refused.value)


def test_unknown_method_rule_and_cut_are_refused() -> None:
    """All faults are named at once."""
    book = RuleBook(chosen=("no such rule",), cut="cushion")
    with pytest.raises(TradeError) as refused:
        size(Stone(diameter_mm=2), SHEET_20GA, method="hammer in", book=book)  # type: ignore[arg-type]
    assert [fault.field for fault in refused.value.faults] == ["method", "rule", "cut"]


def test_a_tool_too_coarse_for_the_seat_is_told() -> None:
    """A rule that reads to half a millimetre cannot settle a window of 0.06 mm; a caliper can."""
    caliper = Tool(kind="measuring", name="caliper", resolution_mm=0.01, mpe_mm=0.02)
    ruler = Tool(kind="measuring", name="steel rule", resolution_mm=0.5, mpe_mm=0.1)
    sizes = size(
        Stone(diameter_mm=1.98), Sheet(sheet_mm=0.812), drawer=Drawer(tools=(caliper, ruler))
    )
    told = [caution for caution in sizes.cautions if "cannot settle" in caution]
    assert len(told) == 1
    assert "steel rule" in told[0]
    assert "0.060 mm" in told[0]


def test_why_nothing_carries_the_stone_is_said() -> None:
    """A 6.5 mm stone in 18 ga: the metal ends above its girdle (geometry)."""
    cautions = size(Stone(diameter_mm=6.5), Sheet(sheet_mm=1.024)).cautions
    assert any("the sheet ends above its girdle" in line for line in cautions)


@pytest.mark.parametrize(("depth_mm", "free_mm"), [(1.5, 0.04), (1.6, 0.07)])
def test_a_deep_stone_on_the_rim_is_cautioned(depth_mm: float, free_mm: float) -> None:
    """Its pavilion is steeper than the floor: it stands on the rim and wants the bur deeper."""
    sizes = size(Stone(diameter_mm=2.0, depth_mm=depth_mm), SHEET_20GA)
    assert sizes.seat.contact == "pavilion"
    assert sizes.seat.gap_under_mm == pytest.approx(free_mm, abs=0.005)
    assert sizes.seat.bur_sunk_mm is not None
    assert sizes.seat.bur_sunk_mm > sizes.seat.depth_mm
    assert any("stands on the rim of the hole" in line for line in sizes.cautions)


def test_a_hart_bur_that_nobody_measured_is_said_to_be_assumed() -> None:
    """70° of edge, a floor of 35° (memory), until it is measured."""
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=Drawer(tools=(bur(1.9, "hart"),)))
    assert sizes.seat_bur.floor_deg == 35
    assert sizes.seat_bur.angle == "floor sloping 35° (edge of 70° assumed: memory)"
    measured = Tool(kind="bur", shape="hart", size_mm=1.9, angle_deg=90)
    again = size(Stone(diameter_mm=2.0), SHEET_20GA, drawer=Drawer(tools=(measured,)))
    assert again.seat_bur.angle == "floor sloping 45° (edge of 90°, measured)"


@pytest.mark.parametrize("metal", ["titanium", "steel", "palladium"])
def test_a_metal_that_nobody_knows_is_said_to_be_one(metal: str) -> None:
    """Sizes are given, and that overcut and spread are those of soft metals."""
    sheet = Sheet(sheet_mm=0.812, metal=metal)
    cautions = size(Stone(diameter_mm=2.0), sheet).cautions
    assert any(f"Nothing is known here of {metal}" in line for line in cautions)


def test_tools_used_last_are_at_hand_where_the_drawer_holds_none() -> None:
    """They are marked so and not "to buy"; a bur of the drawer itself speaks alone."""
    last = tuple(
        Tool(kind=kind, shape=shape, size_mm=mm)
        for kind, shape, mm in (
            ("twist drill", None, 0.8),
            ("bur", "ball", 2.3),
            ("bur", "setting", 2.4),
        )
    )
    stone, sheet = Stone(diameter_mm=2.5), Sheet(sheet_mm=1.024)
    used = size(stone, sheet, drawer=Drawer(last_used=last))
    chosen = (used.pilot_drill, used.opening_bur, used.seat_bur)
    assert [(t.choose_mm, t.from_) for t in chosen] == [
        (0.8, "last time"),
        (2.3, "last time"),
        (2.4, "last time"),
    ]
    own = Tool(kind="bur", shape="setting", size_mm=2.4, name="mine")
    mine = size(stone, sheet, drawer=Drawer(tools=(own,), last_used=last))
    assert (mine.seat_bur.tool, mine.seat_bur.from_) == ("mine", "drawer")
    assert (mine.opening_bur.from_, mine.pilot_drill.from_) == ("to buy", "last time")
