"""A stone of another grade in the grid, and the stones of a mixed row, each at its position."""

from tests.builders import a_grade, some_course
from tests.tui.bench import a_view, some_advice
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.practice.reading.questions import question_for
from platebook.tui.plate.sheet import (
    PlateSheet,
    from_draft,
    measure,
    rows_of,
    settle,
    sheet_for,
    take_in,
    to_draft,
)
from platebook.tui.plate.sheet import (
    press as press_key,
)
from platebook.values import replace

GRADES = some_course().grades
IDS = tuple(f"a{n}" for n in range(10))
BEGAN = "2026-03-04T18:42:00+00:00"


def new_sheet(**changes: object) -> PlateSheet:
    """The free positions of the plate on Now at 2.0 mm in copper."""
    sheet = sheet_for(a_view(grades=GRADES, **changes), ids=IDS, began=BEGAN)
    assert sheet is not None
    return sheet


def with_stone(size: str) -> PlateSheet:
    """The stone of the first position measured."""
    sheet = measure(new_sheet(), question_for("stone_diameter_mm"))
    for sign in size:
        sheet = press_key(sheet, sign)
    return take_in(sheet)


def judged(sheet: PlateSheet) -> dict[str, str]:
    """The first position's row, called good."""
    cells = {**sheet.cells, (sheet.positions[0], "result"): "0"}
    (row,) = rows_of(replace(sheet, cells=cells))
    return row


def test_a_stone_of_another_grade_is_logged_there_or_kept() -> None:
    """A position of its own; the others stay where they are."""
    sheet = with_stone("1.48")
    doubt = sheet.doubt(0)
    assert doubt is not None
    assert doubt.question == "A stone of 1.48 mm: that is 1.5 mm in copper. Log it there?"
    moved, kept = settle(sheet, 0, "1"), settle(sheet, 0, "0")
    assert (moved.doubt(0), kept.doubt(0)) == (None, None)
    assert (judged(moved)["grade"], judged(kept)["grade"]) == ("copper-1.5", "copper-2.0")
    assert moved.shared(1)["grade"] == "copper-2.0"


def test_a_size_that_was_wrong_is_emptied() -> None:
    """Its cell is the next one."""
    again = settle(with_stone("1.48"), 0, "2")
    assert again.value(0, "stone_diameter_mm") == ""
    assert (again.row, again.question().field) == (0, "stone_diameter_mm")


def test_a_draft_keeps_what_was_settled() -> None:
    """Where a stone belongs and what was answered stand; the grades are read again."""
    moved = settle(with_stone("1.48"), 0, "1")
    again = from_draft(to_draft(moved))
    assert again is not None
    assert (again.moved, again.settled, again.grades) == (moved.moved, moved.settled, ())


def test_a_mixed_row_has_a_stone_a_position() -> None:
    """In turn from the one that is next; tools go only with the stone that they were for."""
    mixed = a_grade("mixed", stones_mm=(1.5, 2.0))
    advice = some_advice(grade="mixed")
    sheet = sheet_for(a_view(grades=(*GRADES, mixed), advice=advice), ids=IDS, began=BEGAN)
    assert sheet is not None
    stones = [sheet.shared(row)["stone_diameter_mm"] for row in range(3)]
    assert stones == ["1.98", "1.5", "1.98"]
    assert "seat_bur_mm" in sheet.shared(0)
    assert "seat_bur_mm" not in sheet.shared(1)
    assert sheet.shared(1)["metal"] == "copper"


async def test_the_grid_asks_before_saving() -> None:
    """A series may be on its way, so a stone is remarked on at once and asked about at the end."""
    session = SessionOfAnEvening(view=a_view(grades=GRADES))
    async with running(session) as pilot:
        await press(pilot, "w", *"4444444", "m", "5", *"1.48", "enter", *"1.98", "enter")
        await press(pilot, "up", "up", "right", "0", "asterisk")
        seen = " ".join(picture(pilot.app).split())
        assert "Position 4. A stone of 1.48 mm: that is 1.5 mm in copper. Log it there?" in seen
        await press(pilot, "1")
        assert "the seat of this bur is at least" in " ".join(picture(pilot.app).split())
        await press(pilot, "1")
    assert [(row["grade"], row["stone_diameter_mm"]) for row in session.saved] == [
        ("copper-1.5", "1.48")
    ]
