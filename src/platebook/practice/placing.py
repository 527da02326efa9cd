"""Where in a course an attempt belongs when its row does not say."""

from collections.abc import Mapping
from typing import cast

from platebook.practice.course import Course, Grade

PLACED_BY = ("exercise", "grade", "metal", "stone_diameter_mm")
"""The fields that tell where in a course a row belongs; one without any of them is not placed."""

NEAR_MM = 0.1
_ROUNDING_MM = 1e-9


def propose_grade(course: Course, *, stone_mm: float | None, metal: str | None) -> Grade | None:
    """The one grade with this stone size (within 0.1 mm) and this metal, or None.

    A mixed row cannot be told from one stone and is never proposed. Of several, the only one on
    the main track is taken.
    """
    if stone_mm is None or metal is None:
        return None
    near = [
        grade
        for grade in course.grades
        if grade.metal == metal
        and len(grade.stones_mm) == 1
        and abs(grade.stones_mm[0] - stone_mm) <= NEAR_MM + _ROUNDING_MM
    ]
    if len(near) > 1:
        near = [grade for grade in near if grade in course.ladder()]
    return near[0] if len(near) == 1 else None


def placed(values: Mapping[str, object], course: Course) -> dict[str, object]:
    """The values that the course adds to a row: grade, course and version, kind and part.

    Only blanks are filled, and nothing in a row that names another course.
    """
    if not _belongs(values, course):
        return {}
    added: dict[str, object] = {}
    exercise = course.exercise(cast("str", values.get("exercise") or ""))
    if exercise is not None:
        added |= {"kind": exercise.kind, "part": exercise.part}
    if values.get("grade") is None:
        proposed = propose_grade(
            course,
            stone_mm=cast("float | None", values.get("stone_diameter_mm")),
            metal=cast("str | None", values.get("metal")),
        )
        added["grade"] = proposed.id if proposed is not None else None
    grade = values.get("grade") or added.get("grade")
    if course.grade(cast("str", grade or "")) is not None:
        added |= {"course": course.id, "course_version": course.version}
    return {
        name: value
        for name, value in added.items()
        if value is not None and values.get(name) is None
    }


def strangers(values: Mapping[str, object], course: Course) -> tuple[tuple[str, str], ...]:
    """Grade and exercise of a row that its course does not know, with those that it does."""
    if not _belongs(values, course):
        return ()
    known = {
        "grade": [grade.id for grade in course.grades],
        "exercise": [exercise.id for exercise in course.exercises],
    }
    return tuple(
        (name, f"a {name} of course {course.id}: {', '.join(ids)}")
        for name, ids in known.items()
        if values.get(name) is not None and values[name] not in ids
    )


def _belongs(values: Mapping[str, object], course: Course) -> bool:
    return values.get("course") in {None, course.id}
