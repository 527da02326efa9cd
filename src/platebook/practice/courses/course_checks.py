"""What is wrong with a course: what its models found, and what its parts say together.

What a model finds wrong is told once, to the person who wrote the file:

| one problem | what would follow from it |
|---|---|
| a misspelt key | that the right one is missing |
| a misspelt `[defaults]`, or a key missing there | that every grade lacks it |
| a sheet that is missing or no text | that there is no thickness |
| a name of points that is not there | the same in every grade that goes by it |
| a missing line `[[grades]]` | every key below it, in a table where it is unknown |

The checks are of ids, the order of grades, points, sheet and stone.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from platebook.practice.courses.course import Course, Exercise, ExtraField, Grade, Part, Points
from platebook.practice.courses.course_toml import (
    DEFAULTS,
    LISTS,
    POINTS,
    CourseSource,
    Path,
    nearest,
)
from platebook.practice.fields import choices, fields
from platebook.practice.problem import Problem
from platebook.practice.reading.field_values import read_choice
from platebook.practice.text import number_text
from platebook.trade.rules import choosable, conflicts, rules
from platebook.values import Value, replace

OF_EACH_GRADE = {"id", "title", "short", "stones_mm", "after", "was"}
"""What a default makes no sense for, though one may be given."""

TOP = (*Course.model_fields, DEFAULTS, POINTS)
_HEADERS: Mapping[str, type[Part]] = {
    "[[grades]]": Grade,
    "[[exercises]]": Exercise,
    "[[extra]]": ExtraField,
    "[points.NAME]": Points,
}


class ModelError(Value):
    """An error of one table: its path as read, where it was written, and the model's kind of it."""

    problem: Problem
    path: Path
    written: Path
    kind: str


def independent(source: CourseSource, errors: Sequence[ModelError]) -> tuple[Problem, ...]:
    """The problems of these errors without those that only follow from others."""
    first = tuple({(f.written, f.kind): f for f in reversed(errors)}.values())[::-1]
    unknown = [error for error in first if error.kind == "extra_forbidden"]
    astray = {error.written[:-1]: header for error, header in _astray(unknown)}
    # By the tables as read: a key misspelt in the defaults is unknown in every grade.
    keys = [error.path for error in errors if error.kind == "extra_forbidden"]
    kept: list[Problem] = []
    seen: set[object] = set()
    lacking = _lacking(first)
    for error in first:
        key, table = str(error.path[-1]), error.written[:-1]
        same: object = error.written
        problem = error.problem
        if _follows(source, error, keys, astray):
            continue
        if error.kind == "extra_forbidden" and table in astray:
            same = (table, astray[table])
            problem = replace(problem, expected=f"a line {astray[table]} above it")
        elif error.kind == "missing" and len(lacking.get(key, ())) > 1 and _in_grade(error):
            same = (key, "missing")
            problem = _in_defaults(source, key, lacking[key])
        elif error.kind == "model_type" and key == POINTS:
            same = (POINTS, error.problem.read)
        if same not in seen:
            seen.add(same)
            kept.append(problem)
    return tuple(kept)


def grades_astray(source: CourseSource) -> bool:
    """Whether a grade is in the file that cannot be seen as one, or not by its id."""
    tables = source.tables("grades")
    if any(not isinstance(table.get("id"), str) or not table["id"] for table in tables):
        return True
    return _misspelt(source, "grades") or _holds_another(source)


def exercises_astray(source: CourseSource) -> bool:
    """Whether an exercise is in the file that cannot be seen as one, or its kind not be read."""
    kinds = ("whole", "part", "block")
    if any(table.get("kind") not in kinds for table in source.tables("exercises")):
        return True
    return _misspelt(source, "exercises") or _holds_another(source)


def _follows(
    source: CourseSource,
    error: ModelError,
    unknown: Sequence[Path],
    astray: Mapping[Path, str],
) -> bool:
    key, table = str(error.path[-1]), error.path[:-1]
    if error.kind == "model_type" and key == POINTS:
        return "[points.NAME]" in astray.values()
    if error.kind != "missing":
        return False
    if key == "sheet_mm":
        return True
    if any(path[:-1] == table and nearest(str(path[-1]), [key]) for path in unknown):
        return True
    return _in_grade(error) and any(
        isinstance(value, dict) and key in value and nearest(name, [DEFAULTS])
        for name, value in source.raw.items()
        if name not in TOP
    )


def _in_grade(error: ModelError) -> bool:
    return error.path[0] == "grades" and len(error.path) == 3


def _lacking(errors: Sequence[ModelError]) -> dict[str, list[int]]:
    """The places of the grades that lack a key which a default could give."""
    lacking: dict[str, list[int]] = {}
    for error in errors:
        if error.kind == "missing" and _in_grade(error) and error.path[2] not in OF_EACH_GRADE:
            lacking.setdefault(str(error.path[2]), []).append(int(error.path[1]))
    return lacking


def _in_defaults(source: CourseSource, key: str, grades: Sequence[int]) -> Problem:
    several = len(grades) != 1
    lacking = f"{len(grades)} grades have" if several else "1 grade has"
    lacking += " none of their own" if several else " none of its own"
    path: Path = (DEFAULTS, key) if DEFAULTS in source.raw else ("grades", grades[0], key)
    return source.problem(path, f"a value for {key} in [{DEFAULTS}]: {lacking}")


def _astray(unknown: Sequence[ModelError]) -> Iterator[tuple[ModelError, str]]:
    """Unknown keys that are keys of another table altogether, with the line that is missing."""
    by_table: dict[Path, list[ModelError]] = {}
    for error in unknown:
        by_table.setdefault(error.written[:-1], []).append(error)
    for errors in by_table.values():
        keys = {str(error.written[-1]) for error in errors}
        for header, model in _HEADERS.items():
            if len(keys) > 1 and keys <= {*model.model_fields}:
                yield from ((error, header) for error in errors)
                break


def _misspelt(source: CourseSource, name: str) -> bool:
    return any(key not in TOP and nearest(key, [name]) for key in source.raw)


def _holds_another(source: CourseSource) -> bool:
    """Whether some table holds two keys or more that belong under a line of their own."""
    named = source.raw.get(POINTS)
    tables: list[tuple[object, type[Part]]] = [
        *((table, model) for many, model in LISTS.items() for table in source.tables(many)),
        *((table, Points) for table in (named.values() if isinstance(named, dict) else ())),
        (source.raw.get(DEFAULTS), Grade),
    ]
    return any(
        len([key for key in table if key not in model.model_fields]) > 1
        for table, model in tables
        if isinstance(table, dict)
    )


DEEPEST_STONE = 0.6
"""Depth of a round brilliant in diameters, at the upper end of the usual 58 to 62 % (judgement)."""
CULET_MARGIN_MM = 0.2
"""Metal wanted behind the point where the back encloses it (common practice)."""

Numbered = Sequence[tuple[int, Grade]]

LONGEST_ID = 80
"""Letters of an id: it stands in file names and in every attempt."""

_NOT_IN_AN_ID = re.compile(r"^\.|[/\\:]")


def check_ids(source: CourseSource) -> Iterator[Problem]:
    """Ids that can stand in a file's name: no path, no leading dot, not too long."""
    written: list[tuple[Path, object]] = [(("id",), source.raw.get("id"))]
    for key in ("grades", "exercises"):
        tables = enumerate(source.tables(key))
        written += [((key, at, "id"), table.get("id")) for at, table in tables]
    for path, value in written:
        if isinstance(value, str) and (_NOT_IN_AN_ID.search(value) or len(value) > LONGEST_ID):
            expected = f"an id of at most {LONGEST_ID} letters, without / \\ : or a leading dot"
            yield source.problem(path, expected)


def check_grades(source: CourseSource, grades: Numbered) -> Iterator[Problem]:
    """Ids, order, points, words and sheet of the grades that could be read."""
    yield from _repeated(source, "grades", "id", ((at, grade.id) for at, grade in grades))
    yield from _short_names(source, grades)
    yield from _order(source, grades)
    for at, grade in grades:
        path: Path = ("grades", at)
        yield from _points(source, (*path, "points"), grade.points)
        yield from _words(source, path, grade)
        yield from _curve(source, path, grade)
        yield from _culet(source, path, grade)


def check_former_ids(source: CourseSource, grades: Numbered) -> Iterator[Problem]:
    """What grades were called before: no id of a grade there is, and none of two grades."""
    taken = {grade.id for _, grade in grades}
    for at, grade in grades:
        for old in grade.was:
            if old in taken:
                expected = "an id that no grade has now, and none but this one had before"
                yield source.problem(("grades", at, "was"), expected, read=old)
            taken.add(old)


def check_exercises(
    source: CourseSource, exercises: Sequence[tuple[int, Exercise]]
) -> Iterator[Problem]:
    """Ids, kinds and rows of the exercises that could be read."""
    yield from _repeated(source, "exercises", "id", ((at, e.id) for at, e in exercises))
    kinds = [table.get("kind") for table in source.tables("exercises")]
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
    for first, other in conflicts(known):
        expected = f"one rule for {rules()[first].purpose}; {first} is for it too"
        yield source.problem(("rules", chosen.index(other)), expected, read=other)


def _repeated(
    source: CourseSource, many: str, key: str, ids: Iterable[tuple[int, str]]
) -> Iterator[Problem]:
    seen: set[str] = set()
    for at, name in ids:
        if name in seen:
            yield source.problem((many, at, key), "an id that no other has")
        seen.add(name)


def _short_names(source: CourseSource, grades: Numbered) -> Iterator[Problem]:
    called = Counter(grade.short_title for _, grade in grades)
    for at, grade in grades:
        if grade.short and called[grade.short] > 1:
            expected = "a short name that no other grade has, nor for its title"
            yield source.problem(("grades", at, "short"), expected)


def _order(source: CourseSource, grades: Numbered) -> Iterator[Problem]:
    defaults = source.raw.get(DEFAULTS)
    values = defaults if isinstance(defaults, dict) else {}
    tables = [{**values, **table} for table in source.tables("grades")]
    known = [str(table.get("id")) for table in tables]
    after = {grade.id: grade.after for _, grade in grades}
    astray = grades_astray(source)
    # Also of grades with another error: where they stand can be told all the same.
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


def _curve(source: CourseSource, path: Path, grade: Grade) -> Iterator[Problem]:
    """A curve has its radius, and every stone of the grade lies on it with all of its rim."""
    if (grade.curve == "flat") != (grade.curve_radius_mm is None):
        expected = "a curve (ring or dome) together with its outer curve_radius_mm, or neither"
        yield source.problem((*path, "curve"), expected)
    elif grade.curved is not None and not grade.curved.reaches(0.75 * max(grade.stones_mm)):
        expected = "a radius that the grade's stones lie on with all of their rim"
        yield source.problem((*path, "curve_radius_mm"), expected)


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
