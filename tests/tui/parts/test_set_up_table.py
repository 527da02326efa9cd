"""The set-up as a table in the width that it has."""

import pytest

from platebook.reports.text.set_up_rows import SetUpRow, set_up_rows
from platebook.trade import Drawer, Sheet, Stone, Tool, size
from platebook.tui.parts.seat_picture import draw_seat
from platebook.tui.parts.set_up_table import (
    NARROW,
    ROOMY,
    TALL,
    left_out,
    lines_of_one,
    set_up_table,
)

LONG = Tool(kind="bur", name="the old one with the blue ring, from Ada's drawer", shape="hart")
SIZES = size(
    Stone(diameter_mm=2.0),
    Sheet(sheet_mm=0.812, metal="copper"),
    drawer=Drawer(tools=(LONG.model_copy(update={"size_mm": 1.9}),)),
)


@pytest.mark.parametrize("width", [28, NARROW, 53, 90])
def test_nothing_is_cut_off_and_nothing_is_wider(width: int) -> None:
    """Words go on beneath themselves, as long as it takes."""
    rows = set_up_rows(SIZES)
    lines = set_up_table(rows, width).plain.splitlines()
    assert max(len(told) for told in lines) <= width
    shown = " ".join(" ".join(lines).split())
    assert "…" not in shown
    for row in rows:
        assert " ".join((row.whole if width >= ROOMY else row.said).split()) in shown


def test_a_small_screen_leaves_out_what_the_picture_says() -> None:
    """Rows of less weight are for a tall one."""
    rows = set_up_rows(SIZES)
    few = set_up_table(rows, every_row=False).plain.splitlines()
    every = set_up_table(rows).plain.splitlines()
    assert len(few) < len(every)
    assert not any(told.startswith("by custom") for told in few)


def test_rows_left_out_stand_where_the_picture_has_no_room() -> None:
    """As many as leave a line free; the seat's sentence goes first; none stands by a picture."""
    rows = set_up_rows(SIZES)
    left = left_out(rows, TALL - 1)
    further = lines_of_one(left, NARROW)
    assert [row.name for row in left] == ["sheet", "by custom"]
    assert left_out(rows, TALL) == ()
    drawn = {
        height: draw_seat(SIZES, NARROW, height, further=further).plain.splitlines()
        for height in range(1, 7)
    }
    (sentence,) = drawn[3]
    assert sentence.startswith("2.00 mm stone in a 1.96 mm seat: 0.04 tight, ")
    assert drawn[1] == []
    assert drawn[2] == ["sheet      0.812 holds"]
    assert drawn[4] == [sentence]
    assert not any("holds" in told for told in drawn[5])


def test_signs_from_outside_lead_no_markup_in() -> None:
    """A tool's name is shown as it is."""
    row = SetUpRow("seat bur", "1.90", "[bold]mine[/bold]")
    assert set_up_table([row]).plain == "seat bur    1.90 [bold]mine[/bold]"
