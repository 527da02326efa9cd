"""Findings: the list, the one in focus with its picture, and how many more are needed."""

import pytest
from tests.tui import bench
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.findings.values import no_findings, some_findings
from tests.tui.pictures import picture


async def test_findings_show_counts_for_the_one_in_focus() -> None:
    """Moving down shows the next finding with its counts; m unfolds how it was judged."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "f")
        assert picture(pilot.app).count("7 of 10") == 1
        assert "well supported" in picture(pilot.app)
        await press(pilot, "down")
        assert picture(pilot.app).count("5 of 12") == 1
        assert "no change but" not in picture(pilot.app)
        await press(pilot, "m")
        assert "no change but" in picture(pilot.app)


async def test_what_to_mind_stands_under_the_finding_it_is_of() -> None:
    """The words of Now, while that finding is in focus."""
    async with running(SessionOfAnEvening(minded=bench.some_minded())) as pilot:
        mind = "▲ Mind today: a smaller seat bur, or fewer strokes with it."
        await press(pilot, "f")
        assert mind in picture(pilot.app).splitlines()[3]
        await press(pilot, "down")
        assert "Mind today" not in picture(pilot.app)


async def test_what_lies_on_one_side_of_the_rim_is_in_the_list_with_its_picture() -> None:
    """Below the findings; its words and hours stand beside it, and nothing lies below it."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "f", "down", "down", "down", "down")
        seen = picture(pilot.app)
        assert "high: 3 to 5 o'clock" in seen
        assert "7 of 9 high ones were at 3 to 5 o'clock." in seen
        assert "3 o'clock 2, 4 o'clock 3, 5 o'clock 2, 9 o'clock 1, 12 o'clock 1" in seen


async def test_findings_say_how_many_more_are_needed() -> None:
    """An empty log is told as one."""
    session = SessionOfAnEvening(found=no_findings().model_copy(update={"attempts": 7}))
    async with running(session) as pilot:
        await press(pilot, "f")
        assert "20 to 40 more attempts" in picture(pilot.app)


async def test_all_attempts_are_asked_for_with_a_and_the_latest_again() -> None:
    """The first line says so while all are shown."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "f", "a")
        assert session.calls[-1] == "all findings"
        assert "All attempts." in picture(pilot.app)
        await press(pilot, "a")
        assert session.calls[-1] == "findings"
        assert "All attempts." not in picture(pilot.app)


async def test_what_holds_no_longer_is_in_the_list_with_its_sentence() -> None:
    """Below what holds, with what was counted since, and its own picture."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "f", "down", "down", "down")
        seen = picture(pilot.app)
        assert "no longer so" in seen
        assert "No longer so: 0 of 12, against 1 of 30, since 2 June 2026 (attempt 81)." in seen
        assert "a hard effort" in seen


@pytest.mark.parametrize(("size", "further"), [((80, 24), 0), ((120, 40), 1), ((200, 50), 4)])
async def test_a_large_window_shows_those_that_follow_with_their_pictures(
    size: tuple[int, int], further: int
) -> None:
    """As many as there is room for, from the one below the mark on; a usual window has none."""
    async with running(SessionOfAnEvening(), size=size) as pilot:
        await press(pilot, "f")
        shown = [plot for plot in pilot.app.screen.query("Further Plot") if plot.region.height]
        assert len(shown) == further
        assert ("△ Tilted went with wider one side" in picture(pilot.app)) == bool(further)


async def test_a_short_log_says_how_far_it_is() -> None:
    """Judged, good and failed ones, each of how many."""
    found = no_findings().model_copy(update={"attempts": 7, "failures": 2})
    async with running(SessionOfAnEvening(found=found)) as pilot:
        await press(pilot, "f")
        seen = picture(pilot.app)
        assert [count in seen for count in ("7 of 20", "5 of 6", "2 of 6")] == [True] * 3


async def test_where_no_block_can_settle_it_its_key_is_not_offered_and_the_reason_is_told() -> None:
    """On the key pressed all the same, and among what m unfolds."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "f")
        assert "s settle it" in picture(pilot.app)
        await press(pilot, "down")
        assert "s settle it" not in picture(pilot.app)
        await press(pilot, "s")
        assert "everything else stays as it is" in " ".join(picture(pilot.app).split())
        await press(pilot, "m")
        assert picture(pilot.app).count("A block varies") == 2


async def test_where_nothing_unfolds_the_key_for_it_is_not_offered() -> None:
    """Neither in the list nor on the key line; with anything to unfold it is in both."""
    async with running(SessionOfAnEvening(found=no_findings())) as pilot:
        await press(pilot, "f")
        assert "how it was judged" not in picture(pilot.app)
        assert "m method" not in picture(pilot.app)
    unjudged = no_findings().model_copy(update={"not_judged": some_findings().not_judged})
    async with running(SessionOfAnEvening(found=unjudged)) as pilot:
        await press(pilot, "f")
        assert "m: how it was judged" in picture(pilot.app)
        assert "m method" in picture(pilot.app)
