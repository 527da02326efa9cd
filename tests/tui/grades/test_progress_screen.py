"""Progress: the stair and the grade in focus."""

from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture


async def test_progress_moves_up_and_down_the_stair() -> None:
    """The grade worked at is in focus first; down is the easier one."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "p")
        assert "11 of 15 good" in picture(pilot.app)
        await press(pilot, "down")
        assert "Passed." in picture(pilot.app)
