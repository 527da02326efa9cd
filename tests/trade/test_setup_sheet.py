"""The set-up sheet as a plain value: its JSON keys, reading it back, and what it refuses."""

import pytest
from msgspec import ValidationError, convert
from tests.trade.bench import SHEET_20GA

from platebook.trade import SetUpSheet, Stone, size
from platebook.trade.setup_sheet import HandAnswer, SeatAnswer, ToolChoice
from platebook.values import as_dict

BUR: dict[str, object] = {
    "target_mm": 1.88,
    "choose_mm": 1.9,
    "tool": "1.9 mm setting bur",
    "rule": "seat-0.10-under",
    "source": "common practice",
    "sentence": "A bur 0.10 mm under the stone.",
}
SEAT: dict[str, object] = {
    "diameter_low_mm": 1.94,
    "diameter_high_mm": 2.0,
    "depth_mm": 0.384,
    "depth_high_mm": 0.444,
    "entry_tilt_deg": None,
    "rule": "seat-0.10-under",
    "sentence": "Snap the stone in.",
}


def test_the_json_has_the_promised_keys() -> None:
    """The keys of the documented `sizes` JSON, each part by its names."""
    found = as_dict(size(Stone(diameter_mm=2.0), SHEET_20GA))
    tool = {"target_mm", "choose_mm", "from", "rule", "source", "tool"}
    promised = {
        "stone": {"diameter_mm", "depth_mm", "assumed"},
        "pilot_drill": tool,
        "opening_bur": tool,
        "seat_bur": tool,
        "seat": {"diameter_low_mm", "diameter_high_mm", "depth_mm", "entry_tilt_deg"},
        "sheet": {
            "thickness_mm",
            "ledge_mm",
            "culet_clearance_mm",
            "customary_gauge",
            "ways_out",
        },
        "hand": {"overcut_mm", "spread_mm", "chance_of_fit", "from_attempts"},
    }
    assert set(found) == {*promised, "curve", "spacing", "cautions"}
    for part, keys in promised.items():
        assert keys <= set(found[part]), part


def test_the_json_reads_back() -> None:
    """The JSON of a set-up sheet reads back as the same value, as a kept answer is."""
    sizes = size(Stone(diameter_mm=1.98, depth_mm=1.2), SHEET_20GA)
    assert convert(as_dict(sizes), SetUpSheet) == sizes


def test_where_a_tool_comes_from_is_spelled_as_the_json_has_it() -> None:
    """`from` is a word of Python's own, so the field has an underscore and the JSON none."""
    chosen = convert(BUR | {"from": "drawer"}, ToolChoice)
    assert chosen.from_ == "drawer"
    dumped = as_dict(chosen)
    assert (dumped["from"], "from_" in dumped) == ("drawer", False)


@pytest.mark.parametrize(
    "odd", [{"from": "a friend"}, {"from": "drawer", "rule": None}, {"from": "drawer", "others": 9}]
)
def test_a_tool_choice_that_is_none_is_refused(odd: dict[str, object]) -> None:
    """From nowhere that is known, by no rule, or with other rules that are none."""
    with pytest.raises(ValidationError):
        convert(BUR | odd, ToolChoice)


@pytest.mark.parametrize("method", ["drop in", "push in", "snap in"])
def test_a_stone_goes_in_by_one_of_three_ways(method: str) -> None:
    """A method that the trade's documented fields have; a seat that none enters has no tilt."""
    seat = convert(SEAT | {"method": method}, SeatAnswer)
    assert (seat.method, seat.entry_tilt_deg) == (method, None)


def test_a_method_nobody_knows_is_refused() -> None:
    """A seat is cut for one of the three."""
    with pytest.raises(ValidationError):
        convert(SEAT | {"method": "screw in"}, SeatAnswer)


def test_a_hand_that_nobody_knows_rests_on_nothing() -> None:
    """Without seats of one's own or the class's, both counts are 0 and no bur is forecast."""
    hand = HandAnswer(
        overcut_mm=0.05,
        spread_mm=0.03,
        chance_of_fit=0.6,
        chance_too_narrow=0.3,
        chance_too_wide=0.1,
        best_chance=0.68,
        too_wide_costs=2.0,
        from_attempts=0,
        sentence="By custom.",
    )
    assert (hand.from_class, hand.burs) == (0, ())


def test_a_sheet_stays_as_it_was_given() -> None:
    """A value: equal where the question is, and not to be changed."""
    sizes = size(Stone(diameter_mm=2.0), SHEET_20GA)
    assert sizes == size(Stone(diameter_mm=2.0), SHEET_20GA)
    with pytest.raises(AttributeError):
        sizes.cautions = ()  # type: ignore[misc]  # what is refused
