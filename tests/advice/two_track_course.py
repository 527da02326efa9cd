"""A small course for tests: two tracks, an optional grade and every part exercise."""

from platebook.practice.courses.course import Course, Exercise, Grade, PartName, Points

LEARNING = Points(p0=0.2, p1=0.5, good=1, failure=-2, up_at=11)
LAST = Points(p0=0.1, p1=0.35, good=1, failure=-4, up_at=15)

PARTS: tuple[PartName, ...] = (
    "seeing",
    "burnishing no stone",
    "burnishing",
    "levelling",
    "depth",
    "width",
    "pilot",
    "opening",
    "clean-up",
)


def _grade(grade_id: str, after: str | None, *, points: Points = LEARNING) -> Grade:
    metal, size = grade_id.split("-")
    return Grade(
        id=grade_id,
        title=f"{size} mm in {metal}",
        track=metal,
        after=after,
        optional=metal == "brass",
        stones_mm=(float(size),),
        stone_material="cubic zirconia",
        metal={"sterling": "sterling silver"}.get(metal, metal),
        sheet="18 ga",
        sheet_mm=1.024,
        method="snap in",
        culet="free",
        points=points,
    )


def _exercise(part: PartName) -> Exercise:
    return Exercise(
        id=f"part-{part.replace(' ', '-')}",
        title=part.capitalize(),
        kind="part",
        part=part,
        task=f"A row of five: {part} alone.",
        criterion="4 of 5",
        row=5,
        pass_at=4,
    )


def two_track_course(**changes: object) -> Course:
    """Four copper grades, two sterling ones after the 2.0, one optional brass grade."""
    values: dict[str, object] = {
        "id": "two-tracks",
        "version": 1,
        "title": "Two tracks",
        "about": "For tests.",
        "grades": (
            _grade("copper-1.5", None),
            _grade("copper-2.0", "copper-1.5"),
            _grade("copper-2.5", "copper-2.0"),
            _grade("copper-3.0", "copper-2.5", points=LAST),
            _grade("sterling-2.0", "copper-2.0", points=LAST),
            _grade("sterling-2.5", "sterling-2.0", points=LAST),
            _grade("brass-2.0", "sterling-2.0"),
        ),
        "exercises": (
            Exercise(
                id="whole",
                title="A whole setting",
                kind="whole",
                task="Set one stone from sheet to finish.",
                criterion="good",
            ),
            Exercise(
                id="block",
                title="A block of eight",
                kind="block",
                task="Eight settings by plan.",
                criterion="all eight logged",
            ),
            *(_exercise(part) for part in PARTS),
        ),
    }
    return Course.model_validate(values | changes)
