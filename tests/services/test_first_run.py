"""The first start: a name, a course, a few tools."""

from pathlib import Path

from tests.services.bench import ADA, COURSE, SEAT_BUR, new_desk

from platebook.services.first_run import (
    NAMELESS,
    begin,
    first_offers,
    is_new,
    offered_courses,
    offered_tools,
)
from platebook.services.roster import listed, tools


def test_a_logbook_is_new_until_somebody_is_set_up(tmp_path: Path) -> None:
    """Asking makes no file."""
    desk = new_desk(tmp_path)
    assert (is_new(desk), desk.path.exists()) == (True, False)
    begin(desk, name=ADA, course_id=None)
    assert not is_new(desk)


def test_a_first_start_is_offered_courses_and_tools_once(tmp_path: Path) -> None:
    """Whoever has been set up is asked nothing more."""
    desk = new_desk(tmp_path)
    offers = first_offers(desk)
    assert offers is not None
    assert (offers.courses, offers.tools) == (offered_courses(), offered_tools())
    begin(desk, name=ADA, course_id=None)
    assert first_offers(desk) is None


def test_what_was_answered_stands(tmp_path: Path) -> None:
    """Name, course and tools; the desk is in the setter's name and the setter in use."""
    desk = begin(new_desk(tmp_path), name=f" {ADA} ", course_id=COURSE, tools=(SEAT_BUR,))
    (entry,) = listed(desk)
    assert (entry.setter.name, entry.setter.course, entry.in_use) == (ADA, COURSE, True)
    assert (desk.setter_name, desk.author, desk.setter_id) == (ADA, ADA, entry.setter.setter_id)
    assert [t.name for t in tools(desk)] == [SEAT_BUR.name]


def test_all_of_it_can_be_skipped(tmp_path: Path) -> None:
    """A blank name is "me", the course is the one offered first, the drawer is empty."""
    desk = begin(new_desk(tmp_path), name="", course_id=None)
    (entry,) = listed(desk)
    assert (entry.setter.name, entry.setter.course) == (NAMELESS, offered_courses()[0].id)
    assert tools(desk) == ()


def test_both_orders_are_offered() -> None:
    """Teachers differ, so from small to large and from large to small stand side by side."""
    assert [c.id for c in offered_courses()] == [COURSE, "large-to-small"]
    assert all(c.title and c.about for c in offered_courses())


def test_the_offered_tools_are_what_the_first_stones_need(tmp_path: Path) -> None:
    """Each once, with a size; they go into the drawer as they are (common practice sizes)."""
    offered = offered_tools()
    assert len({(t.kind, t.shape, t.size_mm) for t in offered}) == len(offered)
    burs = {t.size_mm for t in offered if t.kind == "bur"}
    assert {1.4, 1.9, 2.4, 2.9} <= burs
    assert {t.kind for t in offered} == {"twist drill", "bur", "burnisher", "measuring"}
    desk = begin(new_desk(tmp_path), name=ADA, course_id=None, tools=offered)
    assert [t.model_copy(update={"tool_id": None}) for t in tools(desk)] == list(offered)
