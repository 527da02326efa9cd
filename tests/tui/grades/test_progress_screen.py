"""Progress: the stair and the grade in focus."""

import pytest
from tests.builders import an_attempt, some_course
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.grades.values import no_progress, some_progress
from tests.tui.pictures import picture

from platebook.analysis.grades.progress import progress
from platebook.tui.grades.progress_screen import Stair


async def test_progress_moves_up_and_down_the_stair() -> None:
    """The grade worked at is in focus first; up is the one before, and all together at last."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "p")
        assert picture(pilot.app).splitlines()[1].startswith("▌ 2.0 mm in copper ▸ now")
        await press(pilot, "up")
        assert "Passed." in picture(pilot.app)
        await press(pilot, *["down"] * 20)
        assert "Counted for findings, not for points." in picture(pilot.app)


async def test_a_low_window_leaves_the_curve_its_lines() -> None:
    """What the stair and the calendar say is not said in the headline too."""
    for size, said in (((80, 24), False), ((120, 40), True)):
        async with running(SessionOfAnEvening(), size=size) as pilot:
            await press(pilot, "p")
            shown = picture(pilot.app)
            assert ("Longest row of good ones" in shown) == said
            assert ("11 of 15 good; " in shown) == said
            assert "come out good now" in shown


async def test_grades_stand_in_the_order_of_the_course() -> None:
    """From its first one down, as in Course and in `progress`."""
    async with running(SessionOfAnEvening(), size=(80, 40)) as pilot:
        await press(pilot, "p")
        lines = pilot.app.screen.query_one(Stair).render().plain.splitlines()
    titles = [grade.title for grade in some_progress().grades]
    assert len(titles) > 2
    assert [title in line for title, line in zip(titles, lines, strict=True)] == [True] * len(
        titles
    )


async def test_the_view_goes_round_the_calendar_and_back_to_the_curve() -> None:
    """Months, terms, evenings, year beside year, each with the longest row; then the curve."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "p")
        for view in ("by month", "by term", "by evening", "year beside year"):
            await press(pilot, "v")
            shown = picture(pilot.app)
            assert f"2.0 mm in copper, {view}" in shown
            assert "Longest row of good ones: 4" in shown
        await press(pilot, "v")
        assert "setting   (● good, × failed" in picture(pilot.app)


async def test_the_axis_is_dates_or_settings() -> None:
    """A key turns it, and leads back to the curve from the calendar."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "p", "v", "d")
        assert "date   (● good, × failed" in picture(pilot.app)
        await press(pilot, "d")
        assert "setting   (● good, × failed" in picture(pilot.app)


async def test_work_of_ones_own_is_a_line_with_a_curve() -> None:
    """A stone outside the course stands under the stair and can be looked at."""
    ring = an_attempt(grade=None, stone_diameter_mm=5.0, metal="18k gold")
    counted = progress(some_course(), [ring, ring, ring])
    async with running(SessionOfAnEvening(counted=counted)) as pilot:
        await press(pilot, "p", *["down"] * len(counted.grades))
        shown = picture(pilot.app)
        assert "5.0 mm in 18k gold" in shown
        assert "3 of 3 good; about " in shown
        assert "Longest row of good ones: 3." in shown


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_grades_stand_in_whole_words(size: tuple[int, int]) -> None:
    """The last eight are signs in the headline, which has the counts in a narrow window alone."""
    async with running(SessionOfAnEvening(), size=size) as pilot:
        await press(pilot, "p")
        shown = picture(pilot.app)
    signs = next(line for line in shown.splitlines() if "●" in line)
    assert ("of 15 good; " in signs) == (size[0] == 60)
    assert ("14 of 14  good" in shown) == (size[0] > 60)
    assert "0 of 0" not in shown
    assert "1.5 mm in copper" in shown
    assert "2.5 mm in copper" in shown


async def test_an_empty_log_has_no_lines_under_the_stair() -> None:
    """And its calendar says that nothing is dated yet."""
    async with running(SessionOfAnEvening(counted=no_progress())) as pilot:
        await press(pilot, "p", "down", "v")
        shown = picture(pilot.app)
        assert "all whole settings" not in shown
        assert "No dated whole setting yet." in shown
