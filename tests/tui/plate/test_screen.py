"""The whole plate: keys counted, cells in their places, kept through everything."""

import dataclasses
import json
import time
from datetime import timedelta

import pytest
from tests.tui.bench import a_view
from tests.tui.driving import on, press, running, settled, until
from tests.tui.fakes import EVENING, SessionOfAnEvening
from tests.tui.parts.test_widgets import send
from tests.tui.pictures import picture
from tests.tui.plate.test_sheet import TEN, a_sheet
from textual import events
from textual.pilot import Pilot

from platebook.practice.problem import Problem
from platebook.services.attempts.recording import Recorded
from platebook.services.plates import PlateCell, PlateView
from platebook.trade.phrases import day_words
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.now.screen import NowScreen
from platebook.tui.parts.text import MARK
from platebook.tui.plate.screen import PlateScreen
from platebook.tui.plate.sheet import PlateSheet, from_draft
from platebook.values import replace

SEATS = ("1.93", "1,95", "2.01", "1.96", "1.94", "1.97", "1.92")
"""A seat each for the seven free positions; 2.01 is above the 1.98 wanted of a 1.98 mm stone."""


def plate_on(pilot: Pilot[None]) -> PlateScreen:
    """The screen of the plate, which is in front."""
    screen = pilot.app.screen
    assert isinstance(screen, PlateScreen)
    return screen


def the_sheet(pilot: Pilot[None]) -> PlateSheet:
    """The sheet on the screen."""
    return plate_on(pilot).sheet


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
        assert "just noted: seat diameter at 4" in seen
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
        assert "How bad is tilted, position 5?" in picture(pilot.app)
        assert "2  clear: 3-6 degrees, seen unaided" in picture(pilot.app)
        await press(pilot, "2")
        assert "result, position 6" in picture(pilot.app)
        assert column(the_sheet(pilot), "severity")[:3] == ("", "2", "")


FITS = "3343345333"
HEIGHTS = "2232213222"
LEDGES = "1111211111"
LOOKS = "00" + "12" + "00" + "21" + "0000"
"""Position 3 is loose, clear, and 6 is high, slight: how bad stands behind its defect."""


def a_plate() -> SessionOfAnEvening:
    """An evening with a fresh plate of ten, three readings asked."""
    return SessionOfAnEvening(view=replace(a_view(), plate=TEN))


async def test_a_plate_of_ten_costs_less_than_two_minutes_of_keys() -> None:
    """One key a reading down each column, how bad it is in place, one key to save.

    At one key a second, which is slow for a number pad, that is under a minute.
    """
    session = a_plate()
    keys = ["w", *FITS, *HEIGHTS, *LEDGES, *LOOKS, "asterisk"]
    async with running(session) as pilot:
        await press(pilot, *keys)
        await until(pilot, lambda: on(pilot, NowScreen))
    assert len(keys) == 44
    assert [row["position"] for row in session.saved] == [str(n) for n in range(1, 11)]
    assert [row["fit"] for row in session.saved][4:7] == [
        "enters tilted and snaps",
        "drops in",
        "drops in and moves",
    ]
    assert [(r["result"], r.get("severity")) for r in session.saved[2:6]] == [
        ("loose", "2"),
        ("good", None),
        ("good", None),
        ("high", "1"),
    ]
    assert {row["plate"] for row in session.saved} == {"D"}
    assert {row["readings_asked"] for row in session.saved} == {"yes"}


async def test_a_burst_lands_cell_by_cell() -> None:
    """All keys at once, as from a fast hand during a stall, are each in their place."""
    session = a_plate()
    async with running(session) as pilot:
        await press(pilot, "w")
        screen = plate_on(pilot)
        for key in (*FITS, *HEIGHTS):
            await pilot.press(key)
        assert [screen.sheet.cell(n, 0) for n in range(10)] == list(FITS)
        assert [screen.sheet.cell(n, 1) for n in range(10)] == list(HEIGHTS)


async def test_what_is_left_empty_and_what_is_rubbed_out() -> None:
    """Enter leaves a cell; rubbing out empties this one or goes back to the one before."""
    async with running(a_plate()) as pilot:
        await press(pilot, "w", "3", "enter", "4", "backspace", "5")
        screen = plate_on(pilot)
        assert [screen.sheet.cell(n, 0) for n in range(4)] == ["3", "", "5", ""]
        await press(pilot, "up", "up", "right", "2")
        assert screen.sheet.cell(1, 1) == "2"


async def test_a_reading_outside_is_marked_with_a_sign() -> None:
    """Not by colour alone; the question and what is wanted stand below."""
    async with running(a_plate()) as pilot:
        await press(pilot, "w", "5", "3", "up")
        seen = picture(pilot.app)
        cells = [line.split()[:2] for line in seen.splitlines()]
        assert ["1", "!"] in cells
        assert [f"{MARK}2", "✓"] in cells
        assert "wanted: enters tilted and snaps" in seen


async def test_half_a_plate_is_saved_and_the_rest_waits() -> None:
    """Judged positions are saved; readings of the others stay, and Esc leaves them for later."""
    session = a_plate()
    async with running(session) as pilot:
        await press(pilot, "w", "3", "3", "3", "right", "right", "right", "up", "up", "up", "0")
        await press(pilot, "asterisk")
        assert "Saved 1: 1 good. These are not judged yet." in " ".join(picture(pilot.app).split())
        screen = plate_on(pilot)
        sheet = screen.sheet
        assert (sheet.positions[sheet.row], sheet.question().field) == ("4", "fit")
        await press(pilot, "escape")
        assert "A plate was left unfinished" in picture(pilot.app)
        await press(pilot, "enter")
        assert on(pilot, PlateScreen)
        assert "it is as you left it" in picture(pilot.app)
    assert len(session.saved) == 1


async def test_every_key_is_in_the_draft_and_saving_clears_it() -> None:
    """Killed after any key, the next start offers the plate as it was."""
    session = a_plate()
    async with running(session) as pilot:
        await press(pilot, "w", "3", "4")
        assert session.keeper.kept is not None
        kept = from_draft(json.loads(json.dumps(session.keeper.kept)))
        screen = plate_on(pilot)
        assert kept is not None
        assert kept.cells == screen.sheet.cells
        await press(pilot, *"3" * 8, *"2" * 10, *"1" * 10, *"0" * 10, "asterisk")
        await until(pilot, lambda: on(pilot, NowScreen))
        assert session.keeper.kept is None


async def test_a_draft_left_behind_is_gone_on_with() -> None:
    """Another window's plate, offered at the start."""
    session = a_plate()
    async with running(session) as pilot:
        await press(pilot, "w", "3")
        left = session.keeper.kept
    async with running(dataclasses.replace(a_plate(), left_behind=left)) as pilot:
        assert "A plate was left unfinished" in picture(pilot.app)
        await press(pilot, "enter")
        screen = plate_on(pilot)
        assert screen.sheet.cell(0, 0) == "3"


async def test_a_refusal_is_told_and_nothing_is_lost() -> None:
    """What the logbook cannot take stays on the sheet with the reason."""
    session = a_plate()
    fault = Problem(1, "fit", "x", "one of 1 to 5")
    session.recorded = Recorded((), (fault,), stored=False)
    async with running(session) as pilot:
        await press(pilot, "w", "right", "right", "right", "0", "asterisk")
        assert "Position 1: fit x; expected one of 1 to 5" in picture(pilot.app)
        screen = plate_on(pilot)
        assert (screen.sheet.row, screen.sheet.question().field) == (0, "fit")
        assert screen.sheet.judged() == (0,)


async def test_saving_without_a_result_says_what_is_missing() -> None:
    """Nothing is saved and nothing lost."""
    async with running(a_plate()) as pilot:
        await press(pilot, "w", "3", "asterisk")
        assert "Nothing is judged yet" in picture(pilot.app)


async def test_a_saved_plate_is_told_with_what_to_do_about_the_failures() -> None:
    """Counts first, then the remedy of each defect, the commonest first, on Now."""
    async with running(a_plate()) as pilot:
        await press(pilot, "w")
        screen = plate_on(pilot)
        cells = {(str(n), "result"): key for n, key in enumerate("0411", 1)}
        screen.sheet = replace(a_sheet(), cells=cells, began=EVENING.isoformat())
        await press(pilot, "asterisk")
        await until(pilot, lambda: on(pilot, NowScreen))
        seen = " ".join(picture(pilot.app).split())
        assert "Saved 4: 1 good, 2 loose, 1 tilted. Loose (" in seen
        assert seen.index("Loose (") < seen.index("Tilted (")


async def test_keys_typed_while_a_plate_is_saved_wait_for_what_comes_after() -> None:
    """Enter begins what Now shows, as if it were typed there."""
    async with running(a_plate()) as pilot:
        await press(pilot, "w")
        screen = plate_on(pilot)
        cells = {("1", "result"): "0"}
        screen.sheet = replace(a_sheet(), cells=cells, began=EVENING.isoformat())
        screen.action_save()
        await screen.on_key(events.Key("enter", "\r"))
        await until(pilot, lambda: on(pilot, AttemptScreen))
        await settled(pilot)


async def test_a_digit_typed_while_half_a_plate_is_saved_goes_into_its_own_cell_or_none() -> None:
    """The cell that was in front stays in front; one that was saved with the others is gone."""
    async with running(a_plate()) as pilot:
        await press(pilot, "w", "3", "3", "3", "right", "right", "right", "up", "up", "up", "0")
        screen = plate_on(pilot)
        screen.sheet = replace(screen.sheet, row=2, column=1)
        third = screen.sheet.positions[2]
        screen.action_save()
        await screen.on_key(events.Key("2", "2"))
        await until(pilot, lambda: not screen.busy)
        kept = screen.sheet
        assert (kept.positions[1], kept.cell(1, 1)) == (third, "2")


async def test_a_full_plate_says_so() -> None:
    """And Now stays."""
    full = PlateView("D", (PlateCell("1", "+", "good", "a"),), None, 5)
    session = SessionOfAnEvening(view=replace(a_view(), plate=full))
    async with running(session) as pilot:
        await press(pilot, "w")
        assert on(pilot, NowScreen)
        assert "no free position" in " ".join(picture(pilot.app).split())


async def test_a_plate_saved_in_parts_has_no_minutes_the_second_time() -> None:
    """Its time was shared out when it was saved first."""
    session = a_plate()
    async with running(session) as pilot:
        await press(pilot, "w")
        screen = plate_on(pilot)
        screen.sheet = replace(
            a_sheet(r1="0", f2="3"), began=(EVENING - timedelta(minutes=10)).isoformat()
        )
        await press(pilot, "asterisk")
        await until(pilot, lambda: not screen.busy)
        screen.sheet = replace(screen.sheet, cells={("2", "result"): "0"})
        await press(pilot, "asterisk")
        await until(pilot, lambda: on(pilot, NowScreen))
    assert [row.get("minutes") for row in session.saved] == ["5.0", None]


async def test_a_sheet_of_paper_is_typed_in_for_its_day() -> None:
    """A key goes a day back, never past today; such rows have no hour and no minutes."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "w", "d", "d", "d", "D", "D", "D", "D")
        assert the_sheet(pilot).began == f"{EVENING:%Y-%m-%d}"
        await press(pilot, "d", "d")
        day = EVENING.date() - timedelta(days=2)
        assert f"Of {day_words(day, EVENING.date())}: typed from paper" in picture(pilot.app)
        send(pilot.app, "3" * 7 + "2" * 7 + "1" * 7 + "0" * 7)
        await until(pilot, lambda: len(the_sheet(pilot).judged()) == 7)
        await press(pilot, "asterisk")
        await until(pilot, lambda: on(pilot, NowScreen))
    assert {row["began"] for row in session.saved} == {day.isoformat()}
    assert {row.get("minutes") for row in session.saved} == {None}


async def test_a_key_behind_a_plate_being_saved_is_taken_before_the_app_is_left() -> None:
    """Save, start what comes next with its first reading, Ctrl+Q: the reading is in the draft."""
    session = a_plate()
    async with running(session) as pilot:
        await press(pilot, "w")
        screen = plate_on(pilot)
        cells = {("1", "result"): "0"}
        screen.sheet = replace(a_sheet(), cells=cells, began=EVENING.isoformat())
        screen.action_save()
        for key in (events.Key("enter", "\r"), events.Key("4", "4")):
            await screen.on_key(key)
        await pilot.app.run_action("leave")
        await until(pilot, lambda: not pilot.app.is_running)
    assert "drops in" in str(session.keeper.draft())
