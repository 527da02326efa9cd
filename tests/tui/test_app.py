"""Log, Findings, Progress and the first start: messages first, then what is to be seen."""

import pytest
from tests.tui import bench
from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.widgets import Input

from platebook.tui.findings.screen import FindingsScreen
from platebook.tui.grades.progress_screen import ProgressScreen
from platebook.tui.log.screen import LogScreen
from platebook.tui.log.table import LogTable
from platebook.tui.now.screen import NowScreen
from platebook.tui.people_screens import FirstRunScreen


@pytest.mark.parametrize(
    ("keys", "screen"),
    [
        (("l",), LogScreen),
        (("f",), FindingsScreen),
        (("p",), ProgressScreen),
        (("f3", "f4"), FindingsScreen),
        (("l", "slash", "t", "f5"), ProgressScreen),
        (("p", "n"), NowScreen),
    ],
)
async def test_letters_and_f_keys_go_to_the_pages(keys: tuple[str, ...], screen: type) -> None:
    """One key goes to a page; F-keys work while something is typed."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(3))) as pilot:
        await press(pilot, *keys)
        assert on(pilot, screen)
        assert len(pilot.app.screen_stack) <= 2


async def test_a_click_on_the_key_line_does_what_it_says() -> None:
    """The mouse works as well."""
    async with running(SessionOfAnEvening()) as pilot:
        line = picture(pilot.app).splitlines()[-1]
        await pilot.click(offset=(line.index("Findings"), 23))
        await until(pilot, lambda: on(pilot, FindingsScreen))


async def test_the_log_filters_as_words_are_typed() -> None:
    """Only rows with the words stay; Esc shows all again."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(40))) as pilot:
        await press(pilot, "l", "slash", *"tilted")
        table = pilot.app.screen.query_one(LogTable)
        assert {row.result_text for row in table.rows} == {"tilted"}
        await press(pilot, "escape")
        assert (pilot.app.screen.query_one(Input).value, len(table.rows)) == ("", 40)


async def test_the_log_reads_on_near_its_end() -> None:
    """A long log opens with one page and reads the next one when the mark comes near."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(450))) as pilot:
        await press(pilot, "l")
        table = pilot.app.screen.query_one(LogTable)
        assert len(table.rows) == 200
        await press(pilot, "end")
        await until(pilot, lambda: len(table.rows) == 400)
        assert "450 attempts" in picture(pilot.app)
        assert table.marked == 199


async def test_the_log_hides_and_shows_history() -> None:
    """Hide says what it did; history opens in a window."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(3))) as pilot:
        await press(pilot, "l", "down", "d")
        assert "Hidden: a1." in picture(pilot.app)
        await press(pilot, "h")
        assert "good became tilted" in picture(pilot.app)
        await press(pilot, "escape")
        assert on(pilot, LogScreen)


async def test_an_empty_log_says_what_to_do() -> None:
    """No rows, and where to go."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "l", "a", "d", "h", "down")
        assert "Nothing is logged yet" in picture(pilot.app)


async def test_findings_show_counts_for_the_one_in_focus() -> None:
    """Moving down shows the next finding with its counts."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "f")
        assert "7 of 10" in picture(pilot.app)
        assert "well supported" in picture(pilot.app)
        await press(pilot, "down")
        assert "5 of 12" in picture(pilot.app)
        assert "changes only with the" in picture(pilot.app)


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
    session = SessionOfAnEvening(found=bench.no_findings().model_copy(update={"attempts": 7}))
    async with running(session) as pilot:
        await press(pilot, "f")
        assert "20 to 40 more attempts" in picture(pilot.app)


async def test_progress_moves_up_and_down_the_stair() -> None:
    """The grade worked at is in focus first; down is the easier one."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "p")
        assert "11 of 15 good" in picture(pilot.app)
        await press(pilot, "down")
        assert "Passed." in picture(pilot.app)


async def test_the_first_start_asks_name_course_and_tools() -> None:
    """Each question has something that stands; the answers go to the service."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        assert on(pilot, FirstRunScreen)
        await press(pilot, *"Edda", "enter", "2", "enter", "4", "enter")
        assert on(pilot, NowScreen)
    ((name, course, tools),) = session.begun
    assert (name, course) == ("Edda", "large-to-small")
    assert list(tools) == list(bench.SOME_TOOLS[:3])


async def test_the_first_start_can_be_skipped() -> None:
    """Esc takes what stands and goes to Now."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, "escape")
        assert on(pilot, NowScreen)
    ((name, course, _),) = session.begun
    assert (name, course) == ("", "small-to-large")


async def test_the_colours_go_round() -> None:
    """Three sets of colours, and back to the first."""
    async with running(SessionOfAnEvening()) as pilot:
        seen = []
        for _ in range(3):
            seen.append(pilot.app.theme)
            await press(pilot, "f9")
        assert seen == ["bench", "daylight", "high contrast"]
        assert pilot.app.theme == "bench"


async def test_the_palette_offers_the_commands_of_the_screen() -> None:
    """The palette is made from the same table."""
    async with running(SessionOfAnEvening()) as pilot:
        titles = {c.title for c in pilot.app.get_system_commands(pilot.app.screen)}
        assert "start (Enter)" in titles
        assert "Log (l, F3)" in titles
        assert not any("hide" in title for title in titles)
