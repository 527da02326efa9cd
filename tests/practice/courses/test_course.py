"""Grades in their order, and where in a course an attempt belongs."""

import pytest

from platebook.practice import (
    load_course,
    read_attempts,
    shipped_course,
)
from platebook.practice.courses.course import propose_grade


@pytest.mark.parametrize(
    ("course_id", "stones"),
    [("small-to-large", [1.5, 2.0, 2.5, 3.0]), ("large-to-small", [2.5, 3.0, 2.0, 1.5])],
)
def test_a_shipped_course_leads_through_its_stones(course_id: str, stones: list[float]) -> None:
    """Copper in the order of the name; sterling opens after 2.0 mm; each part can be practised."""
    course = load_course(shipped_course(course_id))
    assert [g.stones_mm for g in course.ladder()] == [(mm,) for mm in stones]
    assert {g.metal for g in course.ladder()} == {"copper"}
    assert course.tracks() == ("copper", "sterling", "hard metal", "piece")
    assert course.ladder("sterling")[0].after == "copper-2.0"
    strict = [g.id for g in course.grades if g.points.up_at == 15]
    assert strict == [g.id for g in course.grades if g not in course.ladder()[:-1]]
    parts = [e for e in course.exercises if e.kind == "part"]
    rows = {
        "seeing": (12, 10),
        "burnishing no stone": (4, 2),
        "burnishing": (4, 2),
        "levelling": (4, 2),
        "depth": (4, 2),
        "width": (4, 2),
        "pilot": (4, 2),
        "opening": (4, 2),
        "clean-up": (4, 2),
    }
    assert rows.items() <= {e.part: (e.row, e.pass_at) for e in parts}.items()


@pytest.mark.parametrize("course_id", ["small-to-large", "large-to-small"])
def test_attempts_are_placed_in_a_shipped_course(course_id: str) -> None:
    """Each grade of a single stone is found from that stone and its metal."""
    course = load_course(shipped_course(course_id))
    single = [g for g in course.grades if len(g.stones_mm) == 1]
    rows = [{"stone_diameter_mm": g.stones_mm[0] - 0.02, "metal": g.metal} for g in single]
    found, problems = read_attempts(rows, course=course)
    assert problems == ()
    assert [a.grade for a in found] == [g.id for g in single]


def test_a_grade_is_proposed_where_size_and_metal_leave_one() -> None:
    """Within 0.1 mm, the bound included; never without a size or a metal, nor between two."""
    course = load_course(shipped_course("small-to-large"))
    proposed = [
        propose_grade(course, stone_mm=stone_mm, metal=metal)
        for stone_mm, metal in ((2.1, "copper"), (1.9, "copper"), (2.11, "copper"), (2.0, "tin"))
    ]
    assert [grade.id if grade else None for grade in proposed] == [
        "copper-2.0",
        "copper-2.0",
        None,
        None,
    ]
    assert propose_grade(course, stone_mm=None, metal="copper") is None
    assert propose_grade(course, stone_mm=2.0, metal=None) is None


def test_easier_grades_follow_the_chain_and_stop_where_it_returns() -> None:
    """Nearest first; a grade nobody knows has none."""
    course = load_course(shipped_course("small-to-large"))
    assert [g.id for g in course.easier("copper-2.5")] == ["copper-2.0", "copper-1.5"]
    assert course.easier("nowhere") == ()
    first, second = (course.grade(name) for name in ("copper-1.5", "copper-2.0"))
    assert first is not None
    assert second is not None
    circle = (first.model_copy(update={"after": second.id}), second)
    returning = course.model_copy(update={"grades": circle})
    assert [g.id for g in returning.easier(second.id)] == [first.id, second.id]


@pytest.mark.parametrize(
    ("of_course", "of_grade", "asks"),
    [(False, None, False), (True, None, True), (True, False, False), (False, True, True)],
)
def test_a_grade_may_ask_for_a_sign_off_otherwise_than_its_course(
    *, of_course: bool, of_grade: bool | None, asks: bool
) -> None:
    """Its own word counts; without one the course's."""
    course = load_course(shipped_course("small-to-large"))
    grade = course.grades[0].model_copy(update={"sign_off": of_grade})
    asking = course.model_copy(update={"sign_off": of_course, "grades": (grade,)})
    assert asking.asks_sign_off(grade.id) == asks
    assert asking.to_be_signed() == ({grade.id} if asks else set())


def test_only_a_grade_of_the_course_can_want_the_back_closed() -> None:
    """By the grade's own word on the culet; no grade, or an unknown one, wants nothing."""
    course = load_course(shipped_course("small-to-large"))
    free = course.grades[0].model_copy(update={"id": "free", "culet": "free"})
    closed = free.model_copy(update={"id": "closed", "culet": "enclosed"})
    both = course.model_copy(update={"grades": (free, closed)})
    asked = ("free", "closed", "nowhere", "", None)
    assert [both.encloses(grade) for grade in asked] == [False, True, False, False, False]
