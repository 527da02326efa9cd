"""The whole plate measured down the positions: a caliper's series in one column, in its cells."""

import json
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.tui.bench import a_view
from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from tests.tui.test_ordered_input import send
from textual import events
from textual.pilot import Pilot

from platebook.tui.plate_moves import go_on, measure, move, rub_out
from platebook.tui.plate_moves import press as pressed
from platebook.tui.plate_sheet import PlateSheet, from_draft, left_over, sheet_for, to_draft
from platebook.tui.screens.now import NowScreen
from platebook.tui.screens.plate import PlateScreen

SEATS = ("1.93", "1,95", "2.01", "1.96", "1.94", "1.97", "1.92")
"""A seat each for the seven free positions; 2.01 is above the 1.98 wanted of a 1.98 mm stone."""


def the_sheet(pilot: Pilot[None]) -> PlateSheet:
    """The sheet on the screen."""
    assert isinstance(pilot.app.screen, PlateScreen)
    return pilot.app.screen.sheet


def column(sheet: PlateSheet, name: str) -> tuple[str, ...]:
    """What stands in the column of this field."""
    place = [q.field for q in sheet.columns].index(name)
    return tuple(sheet.cell(row, place) for row in range(len(sheet.positions)))


@pytest.mark.parametrize("stall", [0, 0.4])
async def test_a_series_runs_down_its_column(stall: float) -> None:
    """In one burst, though the event loop stands still: each size in its position, and saved so."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "w", "m", "1")
        pilot.app.call_later(lambda: time.sleep(stall))
        send(pilot.app, "".join(f"{seat}\r" for seat in SEATS) + "0" * 7)
        await until(pilot, lambda: len(the_sheet(pilot).judged()) == 7)
        assert column(the_sheet(pilot), "seat_diameter_mm") == SEATS
        await press(pilot, "asterisk")
        await until(pilot, lambda: on(pilot, NowScreen))
    assert tuple(row["seat_diameter_mm"] for row in session.saved) == SEATS
    assert {row["result"] for row in session.saved} == {"good"}


async def test_a_reading_too_many_judges_nothing() -> None:
    """After the last position the result is asked by digit; the eighth size is told of."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "w", "m", "1")
        send(pilot.app, "".join(f"{seat}\r" for seat in (*SEATS, "1.98")))
        await until(pilot, lambda: "result: read 1.98, expected one digit" in picture(pilot.app))
        await pilot.pause()
        assert the_sheet(pilot).judged() == ()
        assert column(the_sheet(pilot), "seat_diameter_mm") == SEATS


@pytest.mark.parametrize("size", ["1.96", "0.38", "12.5"])
async def test_a_size_among_digits_fills_no_cell(size: str) -> None:
    """In the column of the fit nothing is noted, the cursor stays, and the draft holds nothing."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "w")
        send(pilot.app, f"{size}\r")
        await until(pilot, lambda: f"fit: read {size}" in picture(pilot.app))
        await pilot.pause()
        sheet = the_sheet(pilot)
        assert (dict(sheet.cells), sheet.row, sheet.column) == ({}, 0, 0)
        assert session.keeper.draft() is None
        await press(pilot, "3")
        assert column(the_sheet(pilot), "fit")[0] == "3"


async def test_the_size_just_noted_stands_large_beside_its_window() -> None:
    """With whether it is inside, for somebody who looks up from the bench."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "w", "m", "1", *"1.95", "enter")
        seen = picture(pilot.app)
        assert "just noted: seat diameter, position 4" in seen
        assert "✓ as wanted" in seen
        assert "wanted: 1.92 to 1.98 mm" in seen
        await press(pilot, *"2.01")
        assert "! not as wanted" in picture(pilot.app)
        await press(pilot, "enter")
        assert "2.01!" in picture(pilot.app)


async def test_a_size_is_rubbed_out_sign_by_sign_and_left_by_the_arrows() -> None:
    """What is typed when the cursor goes elsewhere stands in its cell."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "w", "m", "1", *"1.99", "backspace", "6", "down", *"1.94", "escape")
        assert "A plate was left unfinished" in picture(pilot.app)
        await press(pilot, "enter")
        assert column(the_sheet(pilot), "seat_diameter_mm")[:3] == ("1.96", "", "")
        assert the_sheet(pilot).typed == "1.94"


async def test_choosing_a_size_can_be_left() -> None:
    """Any key but a size's digit leaves the columns as they are; the same size twice is one."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "w", "m", "escape")
        assert on(pilot, PlateScreen)
        assert len(the_sheet(pilot).columns) == 5
        await press(pilot, "m", "1", "m", "1")
        assert len(the_sheet(pilot).columns) == 6


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
async def test_a_pasted_column_is_a_cell_a_line(ending: str) -> None:
    """Sizes and digits alike; an empty line leaves its cell empty."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "w", "m", "1")
        pilot.app.screen.post_message(events.Paste(ending.join(["1.93", "", "1.95"])))
        await until(pilot, lambda: "1.95" in column(the_sheet(pilot), "seat_diameter_mm"))
        assert column(the_sheet(pilot), "seat_diameter_mm")[:4] == ("1.93", "", "1.95", "")
        await press(pilot, "left", "left", "left", "up", "up", "up")
        pilot.app.screen.post_message(events.Paste(ending.join("345")))
        await until(pilot, lambda: column(the_sheet(pilot), "fit")[:3] == ("3", "4", "5"))


async def test_how_bad_a_defect_is_is_asked_in_place() -> None:
    """In the words of the defect; a good one is followed by the next position at once."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "w", "right", "right", "right", "0", "4")
        assert "how bad is tilted, position 5" in picture(pilot.app)
        assert "2 clear: 3-6 degrees, seen unaided" in picture(pilot.app)
        await press(pilot, "2")
        assert "result, position 6" in picture(pilot.app)
        assert column(the_sheet(pilot), "severity")[:3] == ("", "2", "")


KEYS = st.text(alphabet="0123456789.>~udlrm", max_size=60)


def typed(keys: str) -> PlateSheet:
    """The sheet after these keys: > go on, ~ rub out, m a column of seats, u d l r the arrows."""
    sheet = sheet_for(a_view(), ids=tuple("abcdefg"), began="2026-03-04T18:00+00:00")
    assert sheet is not None
    moves = {"u": (-1, 0), "d": (1, 0), "l": (0, -1), "r": (0, 1)}
    for key in keys:
        if key in moves:
            sheet = move(sheet, rows=moves[key][0], columns=moves[key][1])
        elif key == "m":
            sheet = measure(sheet, sheet.sizes[0])
        else:
            take = {">": go_on, "~": rub_out}.get(key)
            sheet = pressed(sheet, key) if take is None else take(sheet)
    return sheet


@given(KEYS)
def test_a_draft_gives_back_the_same_sheet(keys: str) -> None:
    """Through JSON, with what is being typed and the columns added."""
    sheet = typed(keys)
    assert from_draft(json.loads(json.dumps(to_draft(sheet)))) == sheet


@given(KEYS)
def test_saving_in_parts_loses_no_cell(keys: str) -> None:
    """Every cell is of a position that is judged, or is left over."""
    sheet = typed(keys)
    rest = left_over(sheet)
    judged = {sheet.positions[row] for row in sheet.judged()}
    kept = {} if rest is None else dict(rest.cells)
    assert kept == {where: text for where, text in sheet.cells.items() if where[0] not in judged}
