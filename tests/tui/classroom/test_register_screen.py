"""The register in the app: signs under their months, who is missing, and what to do without."""

from datetime import date, timedelta

from tests.tui.driving import on, press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.analysis.classes.register import Enrolled, register_of
from platebook.reports.text.register_text import NO_EVENINGS
from platebook.services.people.at_the_bench import InView
from platebook.services.session import Refused
from platebook.tui.classroom.register_screen import RegisterScreen
from platebook.tui.classroom.screen import ClassScreen
from platebook.tui.parts.signs import EVENING_STYLES
from platebook.tui.parts.widgets import Words

THURSDAY = InView("thursday", "Thursday")
WEEKS = [date(2026, 1, 8) + timedelta(weeks=number) for number in range(8)]


def a_person(number: int, *weeks: date) -> Enrolled:
    """A member who came in these weeks."""
    return Enrolled(f"s{number}", f"Student {number:02}", ((None, None),), frozenset(weeks))


async def test_who_came_stands_under_the_months() -> None:
    """Esc goes back to the class."""
    people = (a_person(1, *WEEKS), a_person(2, *WEEKS[:5]))
    async with running(SessionOfAnEvening(register=register_of(people), in_view=THURSDAY)) as pilot:
        await press(pilot, "k", "r")
        assert on(pilot, RegisterScreen)
        seen = picture(pilot.app)
        assert "▌ 8 evenings, 8 January to 26 February 2026." in seen
        assert "\n             Jan     Feb" in seen
        assert "Student 01  o o o o o o o o  8 of 8 evenings" in seen
        assert "Student 02  o o o o o . . .  5 of 8 evenings  not seen for 3 weeks" in seen
        await press(pilot, "escape")
        assert on(pilot, ClassScreen)


async def test_an_evening_that_was_missed_has_a_colour_of_its_own() -> None:
    """As everywhere: blue is work done, yellow what to mind; the signs say it without colour."""
    people = (a_person(1, *WEEKS), a_person(2, *WEEKS[:5]))
    async with running(SessionOfAnEvening(register=register_of(people), in_view=THURSDAY)) as pilot:
        await press(pilot, "k", "r")
        shown = pilot.app.screen.query_one("#words", Words).render()
    styles = {shown.plain[span.start : span.end]: span.style for span in shown.spans}
    assert (styles["o"], styles["."]) == (EVENING_STYLES["came"], EVENING_STYLES["missed"])


async def test_a_logbook_without_classes_is_one_class() -> None:
    """No class is asked for where there is none."""
    session = SessionOfAnEvening(register=register_of([a_person(1, *WEEKS)]))
    async with running(session) as pilot:
        await press(pilot, "k", "r")
        assert on(pilot, RegisterScreen)


async def test_a_large_class_is_paged_through() -> None:
    """Thirty people are more than a screen has lines for."""
    people = [a_person(number, *WEEKS) for number in range(1, 31)]
    async with running(SessionOfAnEvening(register=register_of(people), in_view=THURSDAY)) as pilot:
        await press(pilot, "k", "r")
        assert "Student 30" not in picture(pilot.app)
        await press(pilot, "pagedown", "pagedown")
        assert "Student 30" in picture(pilot.app)
        await press(pilot, "pageup", "pageup")
        assert "Student 01" in picture(pilot.app)


async def test_a_class_without_evenings_and_one_to_be_named_say_so() -> None:
    """What is refused is told in the place of the register."""
    session = SessionOfAnEvening(register=register_of([a_person(1)]), in_view=THURSDAY)
    async with running(session) as pilot:
        await press(pilot, "k", "r")
        assert NO_EVENINGS in picture(pilot.app)
        await press(pilot, "escape")
        session.fault = Refused("class: say which (g on the class screen, or by name): A, B")
        await press(pilot, "r")
        assert "say which (g on the class screen" in " ".join(picture(pilot.app).split())
