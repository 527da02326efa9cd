"""A plate's sheet while it is filled in: no cell lost, no minutes invented."""

import json

from hypothesis import given
from hypothesis import strategies as st
from tests.tui.bench import a_view

from platebook.services.plates import PlateCell, PlateView
from platebook.tui.plate.sheet import (
    PlateSheet,
    from_draft,
    go_on,
    left_over,
    measure,
    move,
    rows_of,
    rub_out,
    sheet_for,
    to_draft,
)
from platebook.tui.plate.sheet import press as pressed
from platebook.values import replace

TEN = PlateView("D", tuple(PlateCell(str(n), "", "") for n in range(1, 11)), "1", 5)


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


def a_sheet(**cells: str) -> PlateSheet:
    """Four positions; `r1="0"` is the result of the first, `f1` its fit."""
    names = {"r": "result", "f": "fit"}
    sheet = sheet_for(
        replace(a_view(), plate=TEN), ids=tuple("abcdefghij"), began="2026-03-04T18:00"
    )
    assert sheet is not None
    noted = {(name[1:], names[name[0]]): digit for name, digit in cells.items()}
    return replace(sheet, cells=noted)


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


def test_a_draft_of_something_else_is_no_sheet() -> None:
    """A draft that is damaged or an attempt's is refused, not raised."""
    assert from_draft({"answers": {}}) is None
    assert from_draft({"plate_sheet": {"plate": "D"}}) is None
    assert from_draft({"plate_sheet": 3}) is None


def test_a_plates_minutes_are_shared_among_all_that_was_worked_on() -> None:
    """Twenty minutes on two positions judged and two not yet: 5 each (arithmetic)."""
    rows = rows_of(a_sheet(r1="0", r2="0", f3="3", f4="3"), minutes=20)
    assert [row.get("minutes") for row in rows] == ["5.0", "5.0"]


def test_a_plate_typed_from_paper_has_no_minutes() -> None:
    """Ten seconds a stone is typing, and two hours a stone is a forgotten screen."""
    for minutes in (0.4, 300):
        rows = rows_of(a_sheet(r1="0", r2="0"), minutes=minutes)
        assert [row.get("minutes") for row in rows] == [None, None]


def test_no_arrow_leads_to_a_severity_of_nothing() -> None:
    """Without a result, and beside a good one, the edge is the result; a defect has its own."""
    by_result = {
        keys: typed(keys).question().field
        for keys in ("rrrr", "rrr0ur", "rrr4r", "rrr4rd", "rrr4rdr")
    }
    assert by_result == {
        "rrrr": "result",
        "rrr0ur": "result",
        "rrr4r": "severity",
        "rrr4rd": "result",
        "rrr4rdr": "result",
    }


def test_how_bad_a_defect_was_goes_with_the_defect() -> None:
    """A result corrected to good is saved without the severity of the one before."""
    sheet = typed("rrr42u0")
    assert [row.get("severity") for row in rows_of(typed("rrr42"))] == ["2"]
    assert [(row["result"], row.get("severity")) for row in rows_of(sheet)] == [("good", None)]
