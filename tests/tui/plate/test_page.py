"""The page of a plate: its headline, and the drawings of what is answered."""

import pytest
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.plate.test_sheet import a_sheet
from tests.tui.plate.test_words import at

from platebook.practice.results import RESULT_KEYS
from platebook.tui.parts.term_picture import DrawnWord, TermPicture
from platebook.tui.plate.page import PlateRows, drawn_answers, looked_at, plate_head
from platebook.tui.plate.screen import PlateScreen
from platebook.values import replace

KEY_OF = {result: key for key, result in RESULT_KEYS.items()}


def test_the_headline_says_what_is_asked_and_how_far_the_plate_is() -> None:
    """The cell, what is wanted, exercise, plate and count, with the reading just noted."""
    sheet = a_sheet(f1="4", r1="0")
    noted = (0, sheet.columns[0])
    head = plate_head(replace(sheet, row=1), noted)
    assert head.title.plain == "fit, position 2"
    assert head.far.plain.splitlines() == [
        "wanted: enters tilted and snaps",
        "A whole setting · 2.0 mm in copper · plate D · 1 of 10 judged",
    ]
    assert head.number == ""
    assert head.parts()["caption"].plain.splitlines() == [
        "just noted: fit at 1",
        "drops in",
        "! not as wanted",
    ]
    narrow = plate_head(replace(sheet, row=1), noted, narrow=True)
    assert (narrow.number, narrow.far.plain.splitlines()[-1]) == ("", "plate D · 1 of 10 judged")


def test_the_drawing_is_of_what_stands_in_the_cell_else_of_what_is_wanted() -> None:
    """At the question how bad a defect is, the defect."""
    sheet = a_sheet(f1="5", r1=KEY_OF["tilted"])
    assert looked_at(at(sheet, "fit")) == DrawnWord("5", "fit", "drops in and moves")
    assert looked_at(at(sheet, "fit", row=1)) == DrawnWord("3", "fit", "enters tilted and snaps")
    tilted = DrawnWord(KEY_OF["tilted"], "result", "tilted")
    assert looked_at(at(sheet, "result")) == tilted
    assert looked_at(at(sheet, "severity")) == DrawnWord("", "result", "tilted")
    assert looked_at(at(sheet, "result", row=1)) == DrawnWord("0", "result", "good")


def test_every_key_of_the_result_has_its_drawing() -> None:
    """As far as a defect has one; a part is judged by its criterion and has none."""
    sheet = at(a_sheet(), "result")
    drawn = {word.value: word.key for word in drawn_answers(sheet)}
    assert {"good", "loose", "high", "low", "tilted"} <= drawn.keys()
    assert drawn == {value: KEY_OF[value] for value in drawn}
    part = replace(sheet, base={**sheet.base, "kind": "part"})
    assert (drawn_answers(part), looked_at(part)) == ((), None)


@pytest.mark.parametrize(("width", "shown"), [(60, False), (80, True)])
async def test_the_drawing_stands_beside_the_grid_where_there_is_room(
    width: int,
    shown: bool,  # noqa: FBT001 - a case
) -> None:
    """Never at the cost of a column; a click on a cell goes to it."""
    async with running(SessionOfAnEvening(), size=(width, 24)) as pilot:
        await press(pilot, "w", "3", "3")
        screen = pilot.app.screen
        assert isinstance(screen, PlateScreen)
        picture = screen.query_one(TermPicture)
        assert bool(picture.drawn.plain) is shown
        await pilot.click(PlateRows, offset=(8, 2))
        assert (screen.sheet.row, screen.sheet.column) == (0, 0)
