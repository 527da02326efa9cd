"""Plain-text pictures of every screen, empty and full, at 80 by 24 and 120 by 40."""

from collections.abc import Callable

import pytest
from tests.tui import bench, class_values
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.findings.values import no_findings
from tests.tui.grades.values import no_progress
from tests.tui.pictures import SIZES, assert_same_picture

from platebook.services.people.at_the_bench import InView
from platebook.values import replace


def full() -> SessionOfAnEvening:
    """An evening in the middle of the course."""
    return SessionOfAnEvening(
        rows=bench.log_rows(60), minding=bench.some_minding(), minded=bench.some_minded()
    )


def looked_at() -> SessionOfAnEvening:
    """An instructor has looked at two and written to the class since the last evening."""
    first, second, *others = bench.log_rows(60)
    rows = (
        replace(first, looked="new"),
        replace(second, looked="read"),
        *others,
    )
    return SessionOfAnEvening(
        rows=rows, received=class_values.some_received(), news=class_values.NEWS
    )


def block() -> SessionOfAnEvening:
    """In the middle of a block that settles a lead."""
    return SessionOfAnEvening(view=bench.a_view_of_a_block())


def empty() -> SessionOfAnEvening:
    """The first evening."""
    return SessionOfAnEvening(
        view=bench.an_empty_view(),
        found=no_findings(),
        counted=no_progress(),
        tools=(),
    )


def invented() -> SessionOfAnEvening:
    """The invented class."""
    return SessionOfAnEvening(invented=True)


def new() -> SessionOfAnEvening:
    """Nobody has been set up yet."""
    return SessionOfAnEvening(new=True, setter="", view=bench.an_empty_view())


def teaching() -> SessionOfAnEvening:
    """A teacher of two classes, with somebody who waits to be let in."""
    return SessionOfAnEvening(
        setter="Isolde Crane",
        teaches=True,
        in_view=InView("t", "Thursday"),
        classes_there=class_values.CLASSES,
        teachers=(class_values.TEACHER,),
        waiting=(class_values.STRANGER,),
    )


PICTURES: dict[str, tuple[Callable[[], SessionOfAnEvening], tuple[str, ...]]] = {
    "now-full": (full, ()),
    "now-empty": (empty, ()),
    "now-invented": (invented, ()),
    "now-steps": (full, ("s",)),
    "now-block": (block, ()),
    "now-news": (looked_at, ()),
    "attempt-reading": (full, ("enter", "3")),
    "words-asked": (full, ("enter", "f12")),
    "words-found": (full, ("l", "f12", *"tilt")),
    "settings": (full, ("O",)),
    "attempt-result": (full, ("enter", "3", "2", "1")),
    "attempt-looking": (full, ("enter", "3", "2", "1", "down", "down")),
    "attempt-severity": (full, ("enter", "3", "2", "1", "4")),
    "attempt-finish": (full, ("enter", "3", "2", "1", "4", "2", "7")),
    "attempt-saved": (full, ("enter", "3", "2", "1", "4", "2", "7", "enter")),
    "attempt-empty": (empty, ("enter",)),
    "attempt-part": (empty, ("enter", "enter")),
    "plate-readings": (full, ("w", *"33453", *"22")),
    "plate-results": (full, ("w", *"3" * 7, *"2" * 7, *"1" * 7, *"00122")),
    "plate-sizes": (full, ("w", *"33453", "m", "1", *"1.95", "enter", *"2.01", "enter")),
    "plate-which-size": (full, ("w", "m")),
    "log-full": (full, ("l",)),
    "log-empty": (empty, ("l",)),
    "log-filtered": (full, ("l", "slash", "t", "i")),
    "log-looked-at": (looked_at, ("l", "escape")),
    "log-received": (looked_at, ("l",)),
    "findings-full": (full, ("f",)),
    "findings-empty": (empty, ("f",)),
    "progress-full": (full, ("p",)),
    "progress-empty": (empty, ("p",)),
    "course-full": (full, ("c", "down")),
    "drawer-full": (full, ("t", "down", "enter")),
    "drawer-empty": (empty, ("t",)),
    "class-full": (full, ("k",)),
    "class-queue": (full, ("k", "q", "2")),
    "plate-looks": (full, ("k", "i", "0", "2", "2", "0", "4")),
    "class-shared": (full, ("k", "a")),
    "second-look": (full, ("j", "2")),
    "seeing-plates": (full, ("v",)),
    "seeing-judged": (full, ("v", "enter", "0", "1")),
    "setters-full": (full, ("b", "down")),
    "setters-teacher": (teaching, ("b", "end")),
    "pick-class": (teaching, ("k", "g")),
    "new-class": (teaching, ("k", "m", *"Thursday", "enter")),
    "now-teacher": (teaching, ()),
    "share-where": (teaching, ("S",)),
    "share-came": (teaching, ("S", "enter")),
    "first-start-name": (new, ()),
    "first-start-teacher": (new, ("ctrl+t",)),
    "first-start-seats": (new, ("enter",)),
    "first-start-course": (new, ("enter", "enter")),
    "first-start-tools": (new, ("enter", "enter", "enter")),
    "help-now": (full, ("question_mark",)),
    "help-attempt": (full, ("enter", "question_mark")),
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", PICTURES)
async def test_the_screen_looks_as_its_picture(name: str, size: tuple[int, int]) -> None:
    """What stands on the screen is what was last looked at."""
    session, keys = PICTURES[name]
    async with running(session(), size=size) as pilot:
        await press(pilot, *keys)
        assert_same_picture(pilot.app, name)
