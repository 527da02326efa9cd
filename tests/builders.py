"""Values that tests start from: an attempt, a grade and a course, each changed by keyword."""

from datetime import UTC, datetime
from typing import Any

from platebook.practice.attempt import Attempt
from platebook.practice.course import Course, Exercise, Grade, Points

BEGAN = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)
LEARNING = Points(p0=0.2, p1=0.5, good=1, failure=-2, up_at=11)


def an_attempt(**values: Any) -> Attempt:
    """A good whole setting of a 2 mm stone in copper, with these fields changed."""
    return Attempt(
        setter="Ottoline Marsh",
        began=BEGAN,
        kind="whole",
        stone_material="cubic zirconia",
        stone_diameter_mm=1.98,
        metal="copper",
        sheet_mm=0.812,
        layers=1,
        pilot_mm=0.66,
        opening_bur_mm=1.8,
        seat_bur_shape="hart",
        seat_bur_mm=1.9,
        seat_method="snap in",
        result=("good",),
    ).with_values(**values)


def a_grade(grade_id: str = "copper-2.0", **values: Any) -> Grade:
    """A learning grade of the main track, with these values changed."""
    return Grade(
        **{
            "id": grade_id,
            "title": "2.0 mm in copper",
            "track": "main",
            "after": None,
            "stones_mm": (2.0,),
            "stone_material": "cubic zirconia",
            "metal": "copper",
            "sheet": "20 ga",
            "sheet_mm": 0.812,
            "method": "snap in",
            "culet": "free",
            "points": LEARNING,
        }
        | values
    )


def some_course(**values: Any) -> Course:
    """Three copper grades from 1.5 to 2.5 mm, sterling after 2.0, and one exercise of each kind."""
    grades = (
        a_grade("copper-1.5", title="1.5 mm in copper", stones_mm=(1.5,)),
        a_grade("copper-2.0", after="copper-1.5"),
        a_grade("copper-2.5", title="2.5 mm in copper", stones_mm=(2.5,), after="copper-2.0"),
        a_grade("sterling-2.0", track="sterling", metal="sterling silver", after="copper-2.0"),
    )
    exercises = (
        an_exercise("whole"),
        an_exercise("block", kind="block"),
        an_exercise("width", kind="part", part="width", row=5, pass_at=4),
    )
    return Course(
        **{
            "id": "evening",
            "version": 1,
            "title": "Evening class",
            "about": "Three stones in copper, then sterling.",
            "grades": grades,
            "exercises": exercises,
        }
        | values
    )


def an_exercise(exercise_id: str = "whole", **values: Any) -> Exercise:
    """A whole setting, with these values changed."""
    return Exercise(
        **{
            "id": exercise_id,
            "title": exercise_id.capitalize(),
            "kind": "whole",
            "task": "Set one stone.",
            "criterion": "Good.",
        }
        | values
    )
