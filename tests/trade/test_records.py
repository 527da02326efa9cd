"""What sizes are asked with: lengths that can be, a drawer in order, a hand by bur shape."""

import math

import pytest
from pydantic import ValidationError

from platebook.trade.records import Drawer, Hand, HandForShape, Sheet, Stone, Tool


@pytest.mark.parametrize(
    ("sheet_mm", "layers", "thickness_mm"),
    [(0.812, 1, 0.812), (0.812, 2, 1.624), (0.1, 3, 0.3), (0.5106, 1, 0.511)],
)
def test_layers_add_up_to_a_micrometre(sheet_mm: float, layers: int, thickness_mm: float) -> None:
    """Sheet times layers by hand; 0.1 three times is 0.3 and not 0.30000000000000004."""
    assert thickness_mm == Sheet(sheet_mm=sheet_mm, layers=layers).thickness_mm


@pytest.mark.parametrize("length", [0.0, -1.98, math.inf, math.nan])
def test_a_length_is_above_nothing_and_finite(length: float) -> None:
    """No stone, sheet or tool is without a size, and none is endless."""
    with pytest.raises(ValidationError):
        Stone(diameter_mm=length)
    with pytest.raises(ValidationError):
        Sheet(sheet_mm=length)
    with pytest.raises(ValidationError):
        Tool(kind="bur", size_mm=length)


@pytest.mark.parametrize(
    "values",
    [{"layers": 0}, {"sheet_mm": None}, {"thickness": 1.0}],
)
def test_a_sheet_that_cannot_be_is_refused(values: dict[str, object]) -> None:
    """No layer, no thickness, or a field that nobody reads."""
    with pytest.raises(ValidationError):
        Sheet.model_validate({"sheet_mm": 0.812} | values)


@pytest.mark.parametrize("angle_deg", [0.0, 180.0])
def test_a_tip_has_an_angle_between_a_needle_and_a_disc(angle_deg: float) -> None:
    """An included angle of 0° is a line and of 180° a plane (geometry): neither is a tip."""
    with pytest.raises(ValidationError):
        Tool(kind="bur", size_mm=1.9, angle_deg=angle_deg)


def test_seats_cut_are_counted_from_none() -> None:
    """A new bur has cut none, and none has cut fewer."""
    assert Tool(kind="bur").seats_cut == 0
    with pytest.raises(ValidationError):
        Tool(kind="bur", seats_cut=-1)


def test_values_are_equal_by_their_fields_and_stay_as_they_are() -> None:
    """Two stones of one size are one value, and neither can be changed."""
    stone = Stone(diameter_mm=1.98)
    assert stone == Stone(diameter_mm=1.98)
    assert len({stone, Stone(diameter_mm=1.98), Stone(diameter_mm=2.0)}) == 2
    with pytest.raises(ValidationError):
        stone.diameter_mm = 2.0  # type: ignore[misc]  # what is refused


SMALL, LARGE = (Tool(kind="bur", shape="setting", size_mm=size) for size in (1.4, 1.9))
BALL = Tool(kind="bur", shape="ball", size_mm=1.8)
UNMEASURED = Tool(kind="bur", shape="setting")
DRAWER = Drawer(tools=(LARGE, UNMEASURED, BALL, Tool(kind="twist drill", size_mm=0.7), SMALL))


def test_tools_of_a_kind_come_smallest_first() -> None:
    """Drills are left out, and a bur whose size nobody knows can be compared with none."""
    assert DRAWER.of_kind("bur") == (SMALL, BALL, LARGE)


def test_a_shape_leaves_the_other_shapes_out() -> None:
    """Balls beside setting burs; a shape that is not there gives nothing."""
    assert DRAWER.of_kind("bur", "setting") == (SMALL, LARGE)
    assert DRAWER.of_kind("bur", "ball") == (BALL,)
    assert DRAWER.of_kind("bur", "hart") == ()


def test_equal_sizes_keep_the_order_they_were_added_in() -> None:
    """Of two burs of one size the one added first stands first."""
    twins = tuple(Tool(kind="bur", size_mm=1.9, name=name) for name in ("first", "second"))
    assert Drawer(tools=twins).of_kind("bur") == twins
    assert Drawer(tools=twins[::-1]).of_kind("bur") == twins[::-1]


def test_an_empty_drawer_has_nothing_of_any_kind() -> None:
    """Before the first tool is added."""
    assert Drawer().of_kind("punch") == ()


def test_a_hand_is_known_by_the_shape_of_the_bur() -> None:
    """Another shape is not guessed from the one that is known."""
    known = HandForShape(shape="setting", overcut_mm=0.05, spread_mm=0.015)
    hand = Hand(shapes=(known,))
    assert hand.for_shape("setting") == known
    assert hand.for_shape("ball") is None
    assert Hand().for_shape("setting") is None


def test_a_hand_may_cut_narrower_than_its_bur_but_never_without_spread() -> None:
    """Overcut is a difference and may be below 0; a standard deviation is not."""
    assert HandForShape(shape="hart", overcut_mm=-0.01, spread_mm=0.01).overcut_mm == -0.01
    with pytest.raises(ValidationError):
        HandForShape(shape="hart", overcut_mm=0.05, spread_mm=0.0)
