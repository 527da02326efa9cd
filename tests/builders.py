"""Values that tests start from: an attempt, a grade and a course, each changed by keyword."""

from datetime import UTC, datetime
from typing import Any

from platebook.advice.class_standing import SetterLine
from platebook.analysis.findings.telling.raw_values import RawValues
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Exercise, Grade, Points
from platebook.practice.results import Outcome
from platebook.values import replace

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


def outcomes(signs: str) -> tuple[Outcome, ...]:
    """How settings counted, by a sign each: + good, x failed."""
    return tuple("failed" if sign == "x" else "good" for sign in signs)


def a_setter_line(**values: Any) -> SetterLine:
    """Somebody at work on 2 mm in copper, high on one side, with these values changed."""
    somebody = SetterLine(
        setter_id="s1",
        name="Ottoline Marsh",
        attempts=37,
        grade="2.0 mm in copper",
        state="practised",
        good_to_go=4,
        last=outcomes("+x++x+x+"),
        lately=0.62,
        lately_low=0.31,
        lately_high=0.88,
        defect="high",
        clock=4,
        days_since=3,
        eye="kinder than the teacher's",
        last_day="2026-01-31",
    )
    return replace(somebody, **values)


def clearances(
    showed: tuple[float, ...], others: tuple[float, ...], *, unmeasured: int = 0
) -> RawValues:
    """Clearances of loose stones and of the others, cut at 0.05 mm."""
    return RawValues(
        variable="clearance_mm",
        defect="loose",
        unit="mm",
        decimals=2,
        showed=showed,
        others=others,
        unmeasured=unmeasured,
        cuts=(0.05,),
    )


def fits_of_failures(others: tuple[float, ...], names: tuple[str, str, str]) -> RawValues:
    """Fits of three failures, one 4 and two 5, and of the others; `names` are those of 3, 4, 5."""
    return RawValues(
        variable="fit",
        defect="any",
        unit="",
        decimals=0,
        showed=(4.0, 5.0, 5.0),
        others=others,
        unmeasured=0,
        names=tuple(zip((3.0, 4.0, 5.0), names, strict=True)),
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
