"""Course: where it opens, and what stands beside the grade or exercise marked."""

import pytest
from tests.tui.driving import on, press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.grades.values import a_course_view
from tests.tui.pictures import picture
from textual.pilot import Pilot

from platebook.services.courses.in_force import Touch
from platebook.services.courses.waiting import CourseWaiting
from platebook.services.pages.course_page import CourseRow, CourseView
from platebook.tui.grades.course_screen import CourseScreen
from platebook.tui.parts.text import MARK
from platebook.values import replace


async def test_the_course_opens_at_the_grade_worked_at() -> None:
    """Its details stand beside it; down goes on through the exercises."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "c")
        assert on(pilot, CourseScreen)
        assert "9 of 17 whole settings good." in picture(pilot.app)
        await press(pilot, "down", "down", "down", "down", "down")
        assert "In rows of 5; 4 good ones pass." in " ".join(picture(pilot.app).split())


WAITING = CourseWaiting(
    "2109dae3",
    "evening",
    "Evening",
    2,
    ("Marta Corvo",),
    conflict=False,
    touch=Touch(5, 297, "5 setters, 297 attempts"),
)


@pytest.mark.parametrize(
    ("key", "done"), [("y", "2109dae3 is in force here"), ("x", "2109dae3 is refused")]
)
async def test_a_course_text_that_waits_is_told_and_answered_by_a_key(key: str, done: str) -> None:
    """Whose it is and whom it touches stand on top; y takes it in, x refuses it."""
    shown = replace(a_course_view(), waiting=(WAITING,))
    async with running(SessionOfAnEvening(course_shown=shown)) as pilot:
        await press(pilot, "c")
        seen = words_on(pilot)
        told = "Version 2 of the course Evening (evening) by Marta Corvo waits. It touches"
        assert told in seen
        await press(pilot, key)
        assert done in words_on(pilot)


def words_on(pilot: Pilot[None]) -> str:
    """Everything on the screen, apart by single blanks."""
    return " ".join(picture(pilot.app).split())


async def test_the_course_says_what_it_is_and_where_each_grade_stands() -> None:
    """Where one stands on top, its aim beside; grades, then exercises, each with its state."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "c")
        seen = words_on(pilot)
        assert "2 mm in copper: grade 2 of 3" in seen
        assert "1 of 3 grades passed" in seen
        assert "Then 2.5 mm in copper: stones of 2.5 mm." in seen
        assert "Small to large: 1.5 to 3.0 mm in copper;" in seen
        rows = [line.partition("│")[0].split() for line in picture(pilot.app).splitlines()]
    first = next(n for n, words in enumerate(rows) if words[-1:] == ["passed"])
    assert [" ".join(words).lstrip(f"{MARK} ") for words in rows[first - 1 : first + 7]] == [
        "Grades",
        "1.5 mm in copper ■ passed",
        "2 mm in copper ▸ now",
        "2.5 mm in copper · ahead",
        "Stones, rows and patterns",
        "Set a stone whole",
        "Parts by themselves",
        "Five seats depth",
    ]


async def test_chances_are_folded_away_until_they_are_asked_for_and_stay_as_they_are_left() -> None:
    """The key m unfolds them, also for when the course is opened again; again folds them."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "c")
        folded = words_on(pilot)
        await press(pilot, "m", "n", "c")
        unfolded = words_on(pilot)
        await press(pilot, "m")
        again = words_on(pilot)
    said = ["Of 100 who fail" in seen for seen in (folded, unfolded, again)]
    assert said == [False, True, False]
    assert "m method" in again


async def test_titles_are_whole_in_a_narrow_window() -> None:
    """A grade has the sign of its state beside it, and the word where it is told about."""
    async with running(SessionOfAnEvening(), size=(60, 20)) as pilot:
        await press(pilot, "c")
        shown = picture(pilot.app)
    rows = [line.partition("│")[0].strip(f"{MARK} ") for line in shown.splitlines()]
    assert {"1.5 mm in copper ■", "2 mm in copper ▸", "2.5 mm in copper ·"} <= {
        " ".join(row.split()) for row in rows
    }
    assert "▸ now" in shown


async def test_another_mark_tells_about_another_grade() -> None:
    """Up to the one before; its details take the place of the others."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "c", "up")
        assert "14 of 20 whole settings good." in words_on(pilot)
        assert "9 of 17 whole settings good." not in words_on(pilot)
        await press(pilot, "up", "up")
        assert "14 of 20 whole settings good." in words_on(pilot)


@pytest.mark.parametrize(
    ("states", "about"),
    [
        (("passed", "slipping", "practised"), "grade 3"),
        (("passed", "practised", "to be signed off"), "grade 2"),
        (("passed", "passed", "passed"), "grade 1"),
        (("ahead", "ahead", "ahead"), "grade 1"),
    ],
)
async def test_the_grade_practised_is_marked(states: tuple[str, ...], about: str) -> None:
    """Where there is none, the first of all."""
    grades = tuple(
        CourseRow(f"{n} mm", state, (f"About grade {n}.",), practised=state == "practised")
        for n, state in enumerate(states, 1)
    )
    view = CourseView(title="Evening", about="Three stones.", grades=grades, exercises=())
    async with running(SessionOfAnEvening(course_shown=view)) as pilot:
        await press(pilot, "c")
        assert f"About {about}." in words_on(pilot)


async def test_a_course_of_nothing_can_be_opened() -> None:
    """Its title stands, and no key does harm."""
    view = CourseView(title="Evening", about="Nothing yet.", grades=(), exercises=())
    async with running(SessionOfAnEvening(course_shown=view)) as pilot:
        await press(pilot, "c", "down", "up")
        assert on(pilot, CourseScreen)
        assert "Evening ▌ Nothing yet." in words_on(pilot)


async def test_a_part_that_its_title_names_is_not_said_twice() -> None:
    """Nor is the title cut for it; what is trained stands there where the title does not say it."""
    view = a_course_view()
    first = "Burnishing without a stone"
    rows = (
        CourseRow(first, "burnishing no stone", (), exercise="burnishing-no-stone"),
        CourseRow("Five seats", "depth", (), exercise="depth"),
    )
    session = SessionOfAnEvening(course_shown=replace(view, exercises=rows))
    async with running(session) as pilot:
        await press(pilot, "c")
        seen = picture(pilot.app).splitlines()
    shown = {row.split("│")[0].strip() for row in seen}
    assert first in shown
    assert any(row.startswith("Five seats") and row.endswith("depth") for row in shown)
