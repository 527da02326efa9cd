"""Reading a course from its TOML text, with every problem at its file, line and key.

`docs/courses.md` explains the file to a teacher.
"""

import functools
import json
import re
from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

import tomli
from pydantic import ValidationError

from platebook.practice.courses.course import Course, Exercise, ExtraField, Grade, Part, Points
from platebook.practice.courses.course_checks import (
    TOP,
    ModelError,
    check_exercises,
    check_extra,
    check_former_ids,
    check_grades,
    check_ids,
    check_rules,
    independent,
)
from platebook.practice.courses.course_slips import check_slips
from platebook.practice.courses.course_toml import (
    DEFAULTS,
    LISTS,
    POINTS,
    CourseSource,
    Path,
    nearest,
)
from platebook.practice.fields import choices
from platebook.practice.problem import Problem, only_problems
from platebook.practice.reading.field_values import read_choice
from platebook.practice.text import clean
from platebook.shipped import course_texts
from platebook.trade.lengths import read_length

Piece = TypeVar("Piece", bound=Part)

_SYNTAX_PLACE = re.compile(r"\s*\((?:at line (\d+), column \d+|at end of document)\)$")
_SHEET_AGREES_MM = 0.001


class CourseError(ValueError):
    """A course that cannot be used; `problems` holds all of them, `str()` one a line."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


def load_course(text: str, *, name: str = "course", kept: bool = False) -> Course:
    """The course, or CourseError with all its problems. Notices do not stop it.

    A text that is `kept` was sound when it was taken in, and is not looked through for slips.
    """
    course, problems = read_course(text, name=name, kept=kept)
    if course is None:
        raise CourseError(only_problems(problems))
    return course


def read_course(
    text: str, *, name: str = "course", kept: bool = False
) -> tuple[Course | None, tuple[Problem, ...]]:
    """The course and its notices, or None and everything that is wrong, in the order of lines.

    `name` is the file's name in each problem.
    """
    try:
        raw = _cleaned(tomli.loads(text))
    except tomli.TOMLDecodeError as error:
        return None, (_syntax_problem(str(error), text, name),)
    except (ValueError, RecursionError):
        expected = "numbers of a length, and lists within lists, that a course has a use for"
        return None, (Problem(0, "TOML", "", expected, line=1, file=name),)
    source = CourseSource(name, raw, text)
    course, problems = _read(source)
    problems += () if kept else check_slips(source)
    unique = dict.fromkeys(problems)
    in_order = tuple(sorted(unique, key=lambda problem: problem.line or 0))
    return (None if only_problems(in_order) else course), in_order


def _syntax_problem(message: str, text: str, name: str) -> Problem:
    place = _SYNTAX_PLACE.search(message)
    line = int(place[1]) if place and place[1] else text.count("\n") + 1
    read = text.split("\n")[line - 1]
    reason = _SYNTAX_PLACE.sub("", message)
    return Problem(0, "TOML", clean(read), f"TOML: {reason}", line=line, file=name)


def _cleaned(value: Any) -> Any:
    """The same tables with every text made safe to show."""
    match value:
        case str():
            return clean(value, multiline=True)
        case dict():
            return {clean(key): _cleaned(part) for key, part in value.items()}
        case list():
            return [_cleaned(part) for part in value]
        case _:
            return value


def _read(source: CourseSource) -> tuple[Course | None, list[Problem]]:
    problems = list(_unknown_defaults(source))
    tables = _tables(source, problems)
    errors: list[ModelError] = []
    grades = _pieces(source, "grades", tables, Grade, errors)
    exercises = _pieces(source, "exercises", tables, Exercise, errors)
    extra = _pieces(source, "extra", tables, ExtraField, errors)
    problems += check_ids(source)
    problems += check_grades(source, grades)
    problems += check_former_ids(source, grades)
    problems += check_exercises(source, exercises)
    problems += check_extra(source, extra)
    problems += check_rules(source)
    head = {key: value for key, value in source.raw.items() if key not in {DEFAULTS, POINTS}}
    for key, pieces in (("grades", grades), ("exercises", exercises), ("extra", extra)):
        if tables[key]:
            head[key] = tuple(piece for _, piece in pieces)
    course = None
    try:
        course = Course.model_validate(head)
    except ValidationError as error:
        of_course = _model_errors(source, (), Course, error)
        errors += [
            model_error for model_error in of_course if not tables.get(str(model_error.path[0]))
        ]
    return course, [*problems, *independent(source, errors)]


def _tables(source: CourseSource, problems: list[Problem]) -> dict[str, list[dict[str, Any]]]:
    """Raw tables by list, each grade with its defaults, named points and sheet filled in."""
    tables = {key: source.tables(key) for key in LISTS}
    defaults = source.raw.get(DEFAULTS)
    named = source.raw.get(POINTS)
    for at, table in enumerate(tables["grades"]):
        grade = (dict(defaults) if isinstance(defaults, dict) else {}) | table
        grade.setdefault("after", None)
        _name_points(grade, named if isinstance(named, dict) else {})
        _measure_sheet(source, ("grades", at), grade, problems)
        for key in ("stone_material", "metal", "metal_state", "backing"):
            if isinstance(grade.get(key), str):
                grade[key] = read_choice(grade[key], choices()[key])[0]
        tables["grades"][at] = grade
    return tables


def _name_points(grade: dict[str, Any], named: Mapping[str, Any]) -> None:
    points = grade.get(POINTS)
    if isinstance(points, str) and points in named:
        grade[POINTS] = named[points]


def _measure_sheet(
    source: CourseSource, path: Path, grade: dict[str, Any], problems: list[Problem]
) -> None:
    """Sets `sheet_mm` from the sheet as people type it."""
    sheet = grade.get("sheet")
    if not isinstance(sheet, str):
        return
    measured, expected = read_length(sheet)
    if measured is None:
        problems.append(source.problem((*path, "sheet"), expected))
        measured = 1.0
    given = grade.setdefault("sheet_mm", measured)
    if isinstance(given, int | float) and abs(given - measured) > _SHEET_AGREES_MM:
        expected = f"{measured:g}, as the sheet says {sheet}, or no sheet_mm at all"
        problems.append(source.problem((*path, "sheet_mm"), expected))


def _pieces(
    source: CourseSource,
    key: str,
    tables: Mapping[str, list[dict[str, Any]]],
    model: type[Piece],
    errors: list[ModelError],
) -> list[tuple[int, Piece]]:
    """Those tables of one list that are sound by themselves, with their places."""
    sound: list[tuple[int, Piece]] = []
    for at, table in enumerate(tables[key]):
        try:
            sound.append((at, model.model_validate(table)))
        except ValidationError as error:
            errors += _model_errors(source, (key, at), model, error)
    return sound


def _model_errors(
    source: CourseSource, path: Path, model: type[Part], error: ValidationError
) -> Iterator[ModelError]:
    """Each error of one table as a problem, with its place and kind."""
    for detail in error.errors(include_url=False):
        at: Path = (*path, *detail["loc"])
        problem = source.problem(at, _expected(dict(detail), model))
        yield ModelError(problem, at, source.where_written(at), detail["type"])


_PLAIN = {
    "bool": "true or false",
    "float": "a number",
    "int": "a whole number",
    "list": "a list in square brackets",
    "string": "a text in quotes",
    "too": "at least one",
    "tuple": "a list in square brackets",
}
"""What was expected by the first word of the model's kind of error."""


def _expected(error: Mapping[str, Any], model: type[Part]) -> str:
    key = str(error["loc"][-1])
    match error["type"]:
        case "missing":
            return f"a value for {key}, which is missing"
        case "extra_forbidden":
            return _known_keys(key, Points if POINTS in error["loc"][:-1] else model)
        case "literal_error":
            return f"one of {error['ctx']['expected']}"
        case "string_too_short" | "string_too_long":
            longest = error["ctx"].get("max_length")
            return f"at most {longest} letters" if longest else "a text that is not empty"
        case "model_type":
            return f"a table, or the name of a table [{key}.NAME]"
        case kind:
            message = str(error["msg"]).removeprefix("Input should be ")
            return _PLAIN.get(kind.split("_")[0], message)


def _known_keys(key: str, model: type[Part]) -> str:
    known = TOP if model is Course else tuple(model.model_fields)
    near = nearest(key, known)
    hint = f"; did you mean {near}?" if near else ""
    return f"one of the keys {', '.join(known)}{hint}"


def _unknown_defaults(source: CourseSource) -> Iterator[Problem]:
    for name in (DEFAULTS, POINTS):
        if name in source.raw and not isinstance(source.raw[name], dict):
            yield source.problem((name,), f"a table [{name}]")


_OFFERED_FIRST = ("small-to-large", "large-to-small", "curved-metal", "hand-cut-stones")


@functools.cache
def shipped_courses() -> tuple[str, ...]:
    """The texts of the shipped courses, the one to offer first at the front."""
    return tuple(_by_id().values())


def shipped_course(course_id: str) -> str:
    """The text of one shipped course; raises KeyError for an id that is not shipped."""
    return _by_id()[course_id]


def as_new_course(text: str, course_id: str) -> str:
    """The text of a course under another id, as its first version."""
    quoted = json.dumps(course_id, ensure_ascii=False)
    text = re.sub(r"(?m)^id\s*=.*$", lambda _: f"id = {quoted}", text, count=1)
    return re.sub(r"(?m)^version\s*=.*$", "version = 1", text, count=1)


@functools.cache
def _by_id() -> Mapping[str, str]:
    by_id = {_id_in(text): text for text in course_texts()}
    first = {name: by_id.pop(name) for name in _OFFERED_FIRST if name in by_id}
    return first | by_id


def _id_in(text: str) -> str:
    """The id of a course, from its line where that is plain: reading the whole of all is slow."""
    line = re.search(r'(?m)^id = "([a-z0-9-]+)"$', text)
    return line[1] if line else load_course(text).id
