"""Log, Findings, Progress and the first start: messages first, then what is to be seen."""

import pytest
from tests.tui import bench
from tests.tui.class_values import STANDINGS
from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.services.people.at_the_bench import InView
from platebook.tui.findings.screen import FindingsScreen
from platebook.tui.grades.progress_screen import ProgressScreen
from platebook.tui.log.screen import LogScreen
from platebook.tui.now.screen import NowScreen


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


@pytest.mark.parametrize("page", ["n", "l", "f", "p", "c", "t"])
async def test_report_and_card_are_written_from_every_page(page: str) -> None:
    """And it is said there where they are."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, page, "ctrl+r")
        assert "Written to report.html." in picture(pilot.app)
        await press(pilot, "ctrl+b")
        assert "Written to card.svg." in picture(pilot.app)


async def test_the_card_of_a_class_is_of_the_one_marked() -> None:
    """Of whoever is marked on the screen Class: Bram, who is first."""
    bram = next(each for each in STANDINGS if each.name == "Bram Osk")
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "k", "ctrl+b")
        assert f"Written to card{bram.setter_id}.svg." in picture(pilot.app)


async def test_the_report_of_a_class_is_its_page() -> None:
    """Of the class in view."""
    session = SessionOfAnEvening(in_view=InView("t", "Thursday"))
    async with running(session) as pilot:
        await press(pilot, "k", "ctrl+r")
        assert "Written to class-t-Thursday.html." in picture(pilot.app)
