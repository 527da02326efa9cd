"""The example of colours: it shows each sign, and each setting shows what it comes to."""

from tests.tui.driving import press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.practice.results import Outcome
from platebook.reports.text.figures import OUTCOMES
from platebook.tui.parts.colour_sample import example_plate
from platebook.tui.running.rest_nudge import AT_A_STRETCH_S


def test_each_outcome_lies_on_the_plate_of_the_example() -> None:
    """And a free position, which is next."""
    plate = example_plate()
    outcomes: set[Outcome] = {cell.outcome for cell in plate.cells}
    assert outcomes == set(OUTCOMES)
    free = [cell.position for cell in plate.cells if not cell.sign]
    assert plate.next_position == free[0]


async def test_each_setting_shows_what_it_comes_to() -> None:
    """Colours by signs, a plate and a seat; the others by what is said or shown then."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "O")
        await until(pilot, lambda: "2.00 mm stone in a" in picture(pilot.app))
        assert "● good  ◐ slight  × failed" in picture(pilot.app)
        await press(pilot, "down")
        seen = picture(pilot.app)
        assert f"Said after {AT_A_STRETCH_S // 60} minutes" in seen
        assert "Plate example" not in seen
        await press(pilot, "enter")
        assert "Nothing is said" in picture(pilot.app)
        await press(pilot, "down")
        assert "m opens how it is judged" in picture(pilot.app)
