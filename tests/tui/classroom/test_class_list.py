"""The class at a glance: one line each, with headings, the reason whole at any width."""

import pytest
from tests.tui.class_values import QUEUE, STANDINGS, STUCK
from tests.tui.driving import press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.app import App, ComposeResult

from platebook.advice.class_standing import QueueReason
from platebook.advice.reasons_to_look import ORDER
from platebook.tui.classroom.class_list import (
    HEADINGS,
    SHORT,
    ClassList,
    due_row,
    glance_of,
    last_seen,
)
from platebook.tui.parts.text import MARK
from platebook.values import replace

OTTOLINE = STANDINGS[0]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"last_day": "2026-02-03", "days_since": 0}, "today"),
        ({"last_day": "2026-02-02", "days_since": 1}, "yesterday"),
        ({"last_day": "2026-01-31", "days_since": 3}, "31 January"),
        ({"last_day": "2025-11-20", "days_since": 75}, "20 Nov 2025"),
        ({"last_day": "", "days_since": None, "attempts": 0}, "never"),
        ({"last_day": "", "days_since": None, "attempts": 2}, "-"),
    ],
)
def test_last_seen_is_a_day_as_people_say_it(values: dict[str, object], words: str) -> None:
    """With its year where that is another one; who has undated work was seen some day."""
    assert last_seen(replace(OTTOLINE, **values)) == words


def test_a_glance_has_the_weightiest_reason_short_and_whole() -> None:
    """The first row of the queue that is theirs; a dash where nothing waits."""
    glance = glance_of(STANDINGS[1], QUEUE)
    assert glance.cells == ("Bram Osk", "2.0 mm in copper", "11", "××◐", "31 January")
    assert (glance.short, glance.reason) == ("stuck", STUCK)
    assert (glance_of(OTTOLINE, ()).short, glance_of(OTTOLINE, ()).reason) == ("-", "")
    passed = replace(OTTOLINE, state="passed")
    assert glance_of(passed, QUEUE).cells[2] == "-"


@pytest.mark.parametrize(
    ("why", "what", "words"),
    [
        ("again", "off mark", "off mark again"),
        ("again", "3 o'clock", "3 o'clock again"),
        ("keeps coming back", "loose", "loose comes back"),
        ("stuck", "", "stuck"),
    ],
)
def test_a_short_reason_says_what_came_up_again(why: str, what: str, words: str) -> None:
    """In the class's column and in the queue; the others are said as they are called."""
    reason = QueueReason(why, "", what)
    due = replace(QUEUE[0], why=why, reasons=(reason,))
    assert glance_of(STANDINGS[1], (due,)).short == words
    assert due_row(due, (), whole=False) == f"{due.setter}: {words}"


def test_every_short_reason_is_one_of_the_queue_and_shorter() -> None:
    """A renamed reason may not lose its short words."""
    assert set(SHORT) <= set(ORDER)
    assert all(len(SHORT.get(why, why)) <= 13 for why in ORDER)


async def test_a_reason_stands_on_its_line_at_80_columns() -> None:
    """However long names and grades are: one line a person, and the reason marked under it."""
    names = ("Pradeep Nallathambi", "Maximiliana Abernathy-Thistlewood", "Sanna Kivel")
    rows = tuple(
        replace(STANDINGS[1], setter_id=str(n), name=name, grade="2.0 mm in sterling")
        for n, name in enumerate(names)
    )
    longest = (QueueReason("again", "12 o'clock 3 times in the last 8", "12 o'clock"),)
    due = tuple(replace(QUEUE[0], setter_id=str(n), why="again", reasons=longest) for n in range(3))
    async with running(SessionOfAnEvening(standings=rows, queue=due)) as pilot:
        await press(pilot, "k")
        lines = [line for line in picture(pilot.app).splitlines() if "2.0 mm in sterling" in line]
    assert [line.rstrip().endswith("12 o'clock again") for line in lines[:3]] == [True] * 3


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_twelve_with_long_names_and_reasons_are_not_cut(size: tuple[int, int]) -> None:
    """Whatever does not fit its column goes on in the next line; the reason marked is whole."""
    name = "Bartholomew Featherstonehaugh-Jones"
    grade = "A piece that will be worn every day of the week"
    long = replace(STANDINGS[1], name=name, grade=grade)
    async with running(
        SessionOfAnEvening(standings=(OTTOLINE, long), queue=QUEUE), size=size
    ) as pilot:
        await press(pilot, "k")
        seen = picture(pilot.app)
        assert "…" not in seen
        assert all(heading in seen for heading in HEADINGS[:-1])
        words = seen.split()
        for text in (name, grade, STUCK):
            assert set(text.split()) - set(words) <= {"Featherstonehaugh-Jones"}


async def test_every_reason_is_told_where_there_is_room_for_the_reasons_alone() -> None:
    """However it goes lately is left out then; where rows are hidden, how many there are stands."""
    due = QUEUE[0]
    rows = tuple(replace(STANDINGS[1], setter_id=f"s{n}") for n in range(16))
    late = tuple(replace(due, setter_id=f"s{n}") for n in (0, 1))
    for height, reasons, heading in ((40, 2, "name "), (12, 1, "name 1 of 16")):

        class OneList(App[None]):
            def compose(self) -> ComposeResult:
                yield ClassList()

        async with OneList().run_test(size=(80, height)) as pilot:
            shown = pilot.app.query_one(ClassList)
            shown.show_class(rows, late)
            shown.headlined = None
            shown.mark(0)
            await pilot.pause()
            seen = shown.render().plain
        assert seen.count("stuck at 1.5 mm in copper") == reasons
        assert seen.splitlines()[0].strip().startswith(heading)


async def test_signs_have_their_colours() -> None:
    """Good and failed as the success curve draws them: by sign and by colour."""

    class OneList(App[None]):
        def compose(self) -> ComposeResult:
            yield ClassList()

    async with OneList().run_test(size=(80, 10)) as pilot:
        shown = pilot.app.query_one(ClassList)
        shown.rows = (("Ottoline Marsh", ""),)
        shown.glances = (glance_of(OTTOLINE, ()),)
        content = shown.render()
        styles = {
            content.plain[span.start : span.end]: span.style
            for span in content.spans
            if content.plain[span.start : span.end] in {"●", "×"}
        }
    assert styles == {"●": "$good", "×": "bold $failed"}


async def test_the_list_stands_by_need_and_a_new_queue_keeps_the_mark() -> None:
    """Who is stuck first, then the drawn, then the others; the mark stays on its setter."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k")
        seen = picture(pilot.app)
        assert seen.index("Bram Osk") < seen.index("Ottoline Marsh ") < seen.index("Cleo Vane")
        moved = replace(
            QUEUE[0], setter_id="s3", setter="Cleo Vane", reasons=(QueueReason("again", "again"),)
        )
        session.queue = (moved, QUEUE[1])
        await press(pilot, "k")
        marked = next(line for line in picture(pilot.app).splitlines() if MARK in line)
        assert "Bram Osk" in marked


def test_who_was_only_drawn_is_said_to_stand_there_for_a_reason_too() -> None:
    """Short or whole; who has no other row stands by name alone."""
    drawn = QUEUE[1]
    for whole in (False, True):
        assert due_row(drawn, {drawn.setter_id}, whole=whole) == f"{drawn.setter}: has a reason too"
        assert due_row(drawn, {"another"}, whole=whole) == drawn.setter
