"""What a course's parts say together: ids, the order of grades, points, sheet and stone."""

from collections.abc import Iterable, Iterator, Sequence

from platebook.practice.course import Exercise, ExtraField, Grade, Points
from platebook.practice.course_model_errors import exercises_astray, grades_astray
from platebook.practice.course_toml import DEFAULTS, CourseSource, Path
from platebook.practice.field_values import read_choice
from platebook.practice.fields import choices, fields
from platebook.practice.problem import Problem
from platebook.practice.text import number_text
from platebook.trade.rules import choosable, conflicts, rules

DEEPEST_STONE = 0.6
"""Depth of a round brilliant in diameters, at the upper end of the usual 58 to 62 % (judgement)."""
CULET_MARGIN_MM = 0.2
"""Metal wanted behind the point where the back encloses it (common practice)."""

Numbered = Sequence[tuple[int, Grade]]


def check_grades(source: CourseSource, grades: Numbered) -> Iterator[Problem]:
    """Ids, order, points, words and sheet of the grades that could be read."""
    yield from _repeated(source, "grades", "id", ((at, grade.id) for at, grade in grades))
    yield from _order(source, grades)
    for at, grade in grades:
        path: Path = ("grades", at)
        yield from _points(source, (*path, "points"), grade.points)
        yield from _words(source, path, grade)
        yield from _culet(source, path, grade)


def check_exercises(
    source: CourseSource, exercises: Sequence[tuple[int, Exercise]]
) -> Iterator[Problem]:
    """Ids, kinds and rows of the exercises that could be read."""
    yield from _repeated(source, "exercises", "id", ((at, e.id) for at, e in exercises))
    kinds = {table.get("kind") for table in source.tables("exercises")}
    if exercises and "whole" not in kinds and not exercises_astray(source):
        yield source.problem(("exercises",), "at least one exercise of kind whole", read="none")
    for at, exercise in exercises:
        path: Path = ("exercises", at)
        if exercise.kind == "part" and exercise.part is None:
            yield source.problem((*path, "part"), "the skill that this part trains")
        if exercise.kind != "part" and exercise.part is not None:
            yield source.problem((*path, "part"), "nothing, as this is no part exercise")
        if (exercise.row is None) != (exercise.pass_at is None):
            yield source.problem(path, "both row and pass_at, or neither", read="one of them")
        elif exercise.row is not None and not 1 <= (exercise.pass_at or 0) <= exercise.row:
            yield source.problem((*path, "pass_at"), f"1 to {exercise.row}, the length of a row")


def check_extra(source: CourseSource, extra: Sequence[tuple[int, ExtraField]]) -> Iterator[Problem]:
    """Names and choices of the course's own fields."""
    yield from _repeated(source, "extra", "name", ((at, field.name) for at, field in extra))
    for at, field in extra:
        if field.name in fields():
            expected = "a name of its own; the record has a field of this name"
            yield source.problem(("extra", at, "name"), expected)
        if field.type == "choice" and not field.choices:
            yield source.problem(("extra", at, "choices"), "the values to choose from")
        if field.type in {"datetime", "uuid7", "defects", "list"}:
            expected = "text, integer, number, length, choice or yes/no for a course's own field"
            yield source.problem(("extra", at, "type"), expected)


def check_rules(source: CourseSource) -> Iterator[Problem]:
    """Rules of thumb that the course chooses: each known, and one for a purpose."""
    chosen = source.raw.get("rules", [])
    for at, name in enumerate(chosen if isinstance(chosen, list) else []):
        if isinstance(name, str) and name not in rules():
            expected = f"the id of a rule that can be chosen: {', '.join(choosable())}"
            yield source.problem(("rules", at), expected, read=name)
    known = [name for name in chosen if name in rules()] if isinstance(chosen, list) else []
    for one, other in conflicts(known):
        expected = f"one rule for {rules()[one].purpose}; {one} is for it too"
        yield source.problem(("rules", chosen.index(other)), expected, read=other)


def _repeated(
    source: CourseSource, many: str, key: str, ids: Iterable[tuple[int, str]]
) -> Iterator[Problem]:
    seen: set[str] = set()
    for at, name in ids:
        if name in seen:
            yield source.problem((many, at, key), "an id that no other has")
        seen.add(name)


def _order(source: CourseSource, grades: Numbered) -> Iterator[Problem]:
    defaults = source.raw.get(DEFAULTS)
    given = defaults if isinstance(defaults, dict) else {}
    tables = [{**given, **table} for table in source.tables("grades")]
    known = [str(table.get("id")) for table in tables]
    after = {grade.id: grade.after for _, grade in grades}
    astray = grades_astray(source)
    # Also of grades with another fault: where they stand can be told all the same.
    for at, table in enumerate(tables):
        before = table.get("after")
        if isinstance(before, str) and before not in known and not astray:
            yield source.problem(("grades", at, "after"), f"the id of a grade: {', '.join(known)}")
    for at, grade in grades:
        if grade.after in known and _returns(grade.id, after):
            expected = "an earlier grade; this one leads back to itself"
            yield source.problem(("grades", at, "after"), expected)
    begun = any(table.get("after") is None for table in tables)
    if grades and not begun and not astray:
        yield source.problem(("grades",), "one grade without after, to begin with", read="none")


def _returns(start: str, after: dict[str, str | None]) -> bool:
    step = after.get(start)
    for _ in after:
        if step is None or step == start:
            break
        step = after.get(step)
    return step == start


def _points(source: CourseSource, path: Path, points: Points) -> Iterator[Problem]:
    if points.p0 >= points.p1:
        yield source.problem((*path, "p0"), f"less than p1, which is {number_text(points.p1)}")
        return
    for rate, name in ((points.p0, "p0"), (points.p1, "p1")):
        drift = points.good * (1 - rate) + points.failure * rate
        if name == "p0" and drift <= 0:
            expected = (
                f"points that rise for a setter who should pass: at {number_text(rate)} failures "
                f"they move by {drift:+.2f} an attempt, so up_at could never be reached"
            )
            yield source.problem(path, expected, read=_in_words(points))
        if name == "p1" and drift >= 0:
            expected = (
                f"points that fall for a setter who should not pass: at {number_text(rate)} "
                f"failures they move by {drift:+.2f} an attempt"
            )
            yield source.problem(path, expected, read=_in_words(points), level="notice")


def _in_words(points: Points) -> str:
    return f"good {points.good:+d}, failure {points.failure:+d}, up at {points.up_at}"


def _words(source: CourseSource, path: Path, grade: Grade) -> Iterator[Problem]:
    for name in ("stone_material", "metal", "metal_state", "backing"):
        value = getattr(grade, name)
        if value is None:
            continue
        _, expected = read_choice(value, choices()[name])
        if expected:
            yield source.problem((*path, name), f"{expected}; kept as it is", level="notice")


def _culet(source: CourseSource, path: Path, grade: Grade) -> Iterator[Problem]:
    if grade.culet != "enclosed" or grade.backing != "none":
        return
    needed = DEEPEST_STONE * max(grade.stones_mm) + CULET_MARGIN_MM
    thick = grade.sheet_mm * grade.layers
    if thick < needed:
        expected = (
            f'about {needed:.2f} mm of metal to enclose the point, or culet = "free"; '
            f"{grade.layers} x {grade.sheet} is {thick:.2f} mm"
        )
        yield source.problem((*path, "culet"), expected, level="notice")
