"""User text is never markup and never a command to the terminal, on any screen.

The payloads are those that break widgets of Textual when handed over as plain strings: styling,
closing tags that crash the app, tags that run an action, terminal escapes, direction overrides.
"""

from typing import Any

import pytest
from tests.tui import bench, class_values
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.findings.values import some_findings
from tests.tui.pictures import picture

from platebook.analysis.findings.telling.results import Findings
from platebook.practice.records import Setter
from platebook.services.drawer.drawer import DrawerRow
from platebook.services.pages.course_page import CourseRow, CourseView
from platebook.services.people.setters import ListedSetter, OfferedCourse
from platebook.services.plates import PlateCell, PlateView
from platebook.services.session import LogbookUnusable, Refused
from platebook.tui.parts.text import line
from platebook.values import replace

HOSTILE = (
    "[red]hi[/red] size [3.0] mm \\[b [@click=app.leave]click[/]",
    "x [/nope] y $metal $x",
    "[@click=app.leave]click[/] \u0000\u009b31m",
    "\x1b]0;title\x07\x1b[2Jesc a\u202eb\u2066c\u200fd two\nlines\r\nand\ttab",
)
"""Each begins with another kind, because a narrow cell shows no more than that."""

FORBIDDEN = set("\x1b\x07\x00\x9b\u202e\u2066\u200f")


def hostile_session(text: str) -> SessionOfAnEvening:
    """An evening in which every text that a person wrote is this one."""
    view = bench.a_view()
    reading = replace(bench.FIT, label=text, meaning=text, target=text)
    advice = replace(view.advice, why=(text, text))
    plate = PlateView(name=text, cells=(PlateCell(text, text, text),), next_position=text)
    session = SessionOfAnEvening(
        view=replace(
            view,
            setter=text,
            course_title=text,
            grade_title=text,
            exercise_title=text,
            task=text,
            criterion=text,
            advice=advice,
            set_up={**view.set_up, "stone_lot": text, "seat_bur": text},
            readings=(reading,),
            plate=plate,
            cautions=(text,),
        ),
        rows=tuple(
            replace(row, note=text, setter=text, grade=text, result=(text,))
            for row in bench.log_rows(3)
        ),
        found=hostile_findings(text),
        setter=text,
        course_shown=CourseView(text, text, (CourseRow(text, text, (text,)),), ()),
        tools=(DrawerRow("t1", text, text, text, text, text),),
        standings=(
            replace(class_values.STANDINGS[0], name=text, grade=text, defect=text, eye=text),
        ),
        queue=(replace(class_values.QUEUE[0], setter=text, sentence=text, plate=text),),
        everyone=(
            ListedSetter(
                Setter(setter_id="s1", name=line(text) or "x", group=text), 1, in_use=True
            ),
        ),
    )
    grades = [replace(g, title=text) for g in session.counted.grades]
    session.counted = replace(session.counted, grades=tuple(grades))
    return session


def hostile_findings(text: str) -> Findings:
    """Findings whose every word is this text."""
    answer = some_findings()
    findings = tuple(
        finding.model_copy(update={"variable": text, "sentence": text, "notes": (text,)})
        for finding in answer.findings
    )
    judged = tuple(n.model_copy(update={"reason": text}) for n in answer.not_judged)
    return answer.model_copy(
        update={"findings": findings, "not_judged": judged, "answer": (text,), "setter": text}
    )


TOUR = (
    *("l", "h", "escape", "d", "f", "down", "p", "down", "c", "t", "b", "enter", "k", "q", "n"),
    *("enter", "slash", "2", "escape", "escape", "1", "4", "2", "7", "6"),
)

WRITTEN = ("0 l", "4 f", "6 p", "8 c", "9 t", "10 b", "12 k", "13 q", "15 enter")
"""Steps of the tour at which the text is on the screen."""


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
async def test_no_screen_takes_text_for_markup(text: str) -> None:
    """Every screen shows the text, runs nothing and stays alive."""
    async with running(hostile_session(text), size=(120, 40)) as pilot:
        seen = {"start": picture(pilot.app)}
        for step, key in enumerate(TOUR):
            await press(pilot, key)
            seen[f"{step} {key}"] = picture(pilot.app)
        assert pilot.app.is_running
        assert FORBIDDEN.isdisjoint("".join(seen.values()))
        assert all(shows(seen[step], text) for step in ("start", *WRITTEN))


def shows(seen: str, text: str) -> bool:
    """Whether the start of the cleaned text is to be read on the screen."""
    return line(text)[:7].rstrip() in seen


async def test_a_click_on_hostile_text_runs_nothing() -> None:
    """A tag that names an action is text, also under the pointer."""
    text = "[@click=app.leave]click[/]"
    async with running(hostile_session(text)) as pilot:
        rows = picture(pilot.app).splitlines()
        place = next((x, y) for y, row in enumerate(rows) if (x := row.find("click[/]")) >= 0)
        await pilot.click(offset=place)
        await press(pilot, "l")
        assert pilot.app.is_running


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
async def test_typed_and_pasted_text_is_shown_as_text(text: str) -> None:
    """A note with anything in it is typed, shown and saved without harm."""
    session = SessionOfAnEvening(view=bench.a_view(readings_asked=False))
    async with running(session) as pilot:
        await press(pilot, "enter", "0", "6")
        for sign in text.replace("\n", " ").replace("\r", " "):
            await pilot.press(sign if sign.isprintable() else "space")
        await press(pilot, "enter", "enter")
    assert len(session.saved) == 1


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
async def test_windows_and_offers_take_text_as_text(text: str) -> None:
    """Trouble, refusals and the offers of the first start are text as well."""
    unusable: Any = LogbookUnusable(text, text)
    async with running(SessionOfAnEvening(fault=unusable)) as pilot:
        assert FORBIDDEN.isdisjoint(picture(pilot.app))
    session = SessionOfAnEvening(new=True, setter="")
    session.courses = (OfferedCourse("a", text, text),)
    async with running(session) as pilot:
        await press(pilot, "enter", "enter")
        assert FORBIDDEN.isdisjoint(picture(pilot.app))
        session.fault = Refused(text)
        await press(pilot, "enter", "u")
        assert FORBIDDEN.isdisjoint(picture(pilot.app))
