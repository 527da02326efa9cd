"""The set-up as rows, the same for the screen, the card on paper and the commands."""

import pytest
from tests.trade.bench import hand

from platebook.reports.drawings.bench_card import card_svg
from platebook.reports.text.set_up_rows import SetUpRow, set_up_rows
from platebook.reports.text.sizes_text import sizes_card, table_lines
from platebook.trade import Drawer, Sheet, Stone, Tool, size
from platebook.trade.records import Curve
from platebook.trade.setup_sheet import SetUpSheet
from platebook.values import replace

SHEET = Sheet(sheet_mm=0.812, metal="copper")
RING = Sheet(sheet_mm=1.8, curve=Curve(kind="ring", radius_mm=10))


def _sizes(sheet: Sheet = SHEET, *tools: Tool) -> SetUpSheet:
    return size(Stone(diameter_mm=2.0), sheet, drawer=Drawer(tools=tools))


def _by_name(rows: tuple[SetUpRow, ...]) -> dict[str, SetUpRow]:
    return {row.name: row for row in rows}


def test_all_that_the_bench_asks_stands_in_it_once() -> None:
    """Drill, burs, chances, speed, seat, depth, trial stone, sheet and hand, each with its size."""
    told = [(row.name, row.size, row.whole) for row in set_up_rows(_sizes())]
    assert told == [
        ("take", "mm", "which tool"),
        ("pilot drill", "0.68", "to buy"),
        ("opening bur", "1.80", "ball, to buy"),
        ("seat bur", "1.90", "setting, to buy, floor 45° assumed"),
        ("any hand", "40 %", "fit, 24 too wide, 36 too narrow, yours not measured yet"),
        ("not above", "3500", "rpm, seat bur, opening 3700, drill 9800"),
        ("seat", "1.94", "to 2.00 wide, the stone goes in tipped 13° or more"),
        ("sink bur", "0.40", "to 0.46 deep, its widest part"),
        ("trial 1.95", "0.03", "to 0.09 below, the table of this trial stone: deep enough"),
        ("sheet", "0.812", "holds, 0.43 under the girdle, point 0.43 out"),
        ("by custom", "+0.06", "beside the bur"),
    ]


def test_a_tool_of_the_drawer_is_called_by_its_name() -> None:
    """One to buy by its shape; a better size to buy stands under the one that is owned."""
    rows = _by_name(set_up_rows(_sizes(SHEET, Tool(kind="bur", shape="setting", size_mm=1.9))))
    assert rows["seat bur"].said == "setting bur"
    named = Tool(kind="bur", shape="setting", size_mm=1.9, name="Ada's")
    assert _by_name(set_up_rows(_sizes(SHEET, named)))["seat bur"].said == "Ada's"


def test_a_likelier_bur_is_not_to_buy_where_it_lies_in_the_drawer() -> None:
    """Of 1.96 pushed in 1.85 costs least, and 1.90 fits more often."""
    first, second = (Tool(kind="bur", shape="setting", size_mm=mm) for mm in (1.85, 1.9))
    for tools, name in (((first,), "or to buy"), ((first, second), "or")):
        sizes = size(
            Stone(diameter_mm=1.96),
            SHEET,
            method="push in",
            hand=hand(0.06, 0.03),
            drawer=Drawer(tools=tools),
        )
        (row,) = (row for row in set_up_rows(sizes) if row.name.startswith("or"))
        assert (row.name, row.size) == (name, "1.90")


def test_the_head_of_the_tools_says_drawer_only_of_what_lies_there() -> None:
    """One of three that is there, and all of them; none is in the test above."""
    bur = Tool(kind="bur", shape="setting", size_mm=1.9)
    ball = Tool(kind="bur", shape="ball", size_mm=1.8)
    drill = Tool(kind="twist drill", size_mm=0.7)
    assert set_up_rows(_sizes(SHEET, bur))[0].said == "drawer, or as said"
    assert set_up_rows(_sizes(SHEET, bur, ball, drill))[0].said == "in your drawer"


def test_a_prepared_seat_shows_no_drills_and_burs() -> None:
    """Only what the setter does: the pilot alone, or the seat that lies ready."""
    given = [row.name for row in set_up_rows(_sizes(), {"burnish"})]
    assert given == ["prepared", "seat", "ledge", "sheet"]
    assert [row.name for row in set_up_rows(_sizes(), {"drill", "turn"})] == [
        "take",
        "pilot drill",
        "not above",
    ]


def test_whose_hand_it_is_stands_at_its_number() -> None:
    """By custom without a seat read, the class's, or one's own with the count."""
    sizes = _sizes()
    hands = [
        replace(sizes.hand, **update)
        for update in ({"from_class": 40}, {"from_class": 40, "from_attempts": 12})
    ]
    told = [set_up_rows(replace(sizes, hand=hand)) for hand in hands]
    assert [_by_name(rows)["chances"].more for rows in told] == ["", ""]
    assert [(rows[-1].name, rows[-1].more) for rows in told] == [
        ("class hand", "40 read"),
        ("your hand", "12 read"),
    ]


def test_curved_metal_says_the_wall_at_the_sides() -> None:
    """What is least of the wall, and what is most."""
    wall = _by_name(set_up_rows(_sizes(RING)))["wall"]
    assert (wall.size, wall.whole) == ("0.27", "at the sides, 0.32 at most")


def test_another_bur_of_the_set_up_stands_under_the_one_it_replaces() -> None:
    """With where it comes from, and once."""
    rows = set_up_rows(_sizes(), None, {"seat_bur_mm": "1.95"})
    names = [row.name for row in rows]
    other = rows[names.index("seat bur") + 1]
    assert (other.name, other.size, other.said, other.warns) == (
        "! set-up",
        "1.95",
        "as last time",
        True,
    )
    assert sum(row.size == "1.95" and not row.target for row in rows) == 1


@pytest.mark.parametrize("sheet", [SHEET, RING])
def test_screen_card_and_command_say_the_same(sheet: Sheet) -> None:
    """Each row of the table, whole, in the lines of the command and on the card."""
    sizes = _sizes(sheet)
    rows = set_up_rows(sizes)
    lines = table_lines(rows)
    text = " ".join(" ".join(sizes_card(sizes)).split())
    assert " ".join(" ".join(lines).split()) in text
    drawn = card_svg(sizes)
    for row in rows:
        assert f">{row.name}</text>" in drawn
        assert f">{row.size}</text>" in drawn


def test_a_tool_of_the_last_settings_is_told_from_one_to_buy() -> None:
    """By its shape, in words that fit beside the section; a drill has no shape."""
    last = (
        Tool(kind="twist drill", size_mm=0.8),
        Tool(kind="bur", shape="setting", size_mm=2.4),
    )
    sizes = size(Stone(diameter_mm=2.5), Sheet(sheet_mm=1.024), drawer=Drawer(last_used=last))
    rows = {row.name: row.said for row in set_up_rows(sizes)}
    assert (rows["pilot drill"], rows["opening bur"], rows["seat bur"]) == (
        "as last time",
        "ball, to buy",
        "setting, last time",
    )
