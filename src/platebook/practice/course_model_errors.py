"""What a course's models found wrong, each fault told once, to the person who wrote the file.

| one fault | what would follow from it |
|---|---|
| a misspelt key | that the right one is missing |
| a misspelt `[defaults]`, or a key missing there | that every grade lacks it |
| a sheet that is missing or no text | that there is no thickness |
| a name of points that is not there | the same in every grade that goes by it |
| a missing line `[[grades]]` | every key below it, in a table where it is unknown |
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from platebook.practice.course import Course, Exercise, ExtraField, Grade, Part, Points
from platebook.practice.course_toml import DEFAULTS, LISTS, POINTS, CourseSource, Path, nearest
from platebook.practice.problem import Problem

OF_EACH_GRADE = {"id", "title", "stones_mm", "after"}
"""What a default makes no sense for, though one may be given."""

TOP = (*Course.model_fields, DEFAULTS, POINTS)
_HEADERS: Mapping[str, type[Part]] = {
    "[[grades]]": Grade,
    "[[exercises]]": Exercise,
    "[[extra]]": ExtraField,
    "[points.NAME]": Points,
}


@dataclass(frozen=True, slots=True)
class ModelFault:
    """A fault of one table: its path as read, where it was written, and the model's kind of it."""

    problem: Problem
    path: Path
    written: Path
    kind: str


def independent(source: CourseSource, faults: Sequence[ModelFault]) -> tuple[Problem, ...]:
    """The problems of these faults without those that only follow from others."""
    first = tuple({(f.written, f.kind): f for f in reversed(faults)}.values())[::-1]
    unknown = [fault for fault in first if fault.kind == "extra_forbidden"]
    astray = {fault.written[:-1]: header for fault, header in _astray(unknown)}
    # By the tables as read: a key misspelt in the defaults is unknown in every grade.
    keys = [fault.path for fault in faults if fault.kind == "extra_forbidden"]
    kept: list[Problem] = []
    told: set[object] = set()
    lacking = _lacking(first)
    for fault in first:
        key, table = str(fault.path[-1]), fault.written[:-1]
        same: object = fault.written
        problem = fault.problem
        if _follows(source, fault, keys, astray):
            continue
        if fault.kind == "extra_forbidden" and table in astray:
            same = (table, astray[table])
            problem = replace(problem, expected=f"a line {astray[table]} above it")
        elif fault.kind == "missing" and len(lacking.get(key, ())) > 1 and _in_grade(fault):
            same = (key, "missing")
            problem = _in_defaults(source, key, lacking[key])
        elif fault.kind == "model_type" and key == POINTS:
            same = (POINTS, fault.problem.read)
        if same not in told:
            told.add(same)
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
    kinds = {"whole", "part", "block"}
    if any(table.get("kind") not in kinds for table in source.tables("exercises")):
        return True
    return _misspelt(source, "exercises") or _holds_another(source)


def _follows(
    source: CourseSource,
    fault: ModelFault,
    unknown: Sequence[Path],
    astray: Mapping[Path, str],
) -> bool:
    key, table = str(fault.path[-1]), fault.path[:-1]
    if fault.kind == "model_type" and key == POINTS:
        return "[points.NAME]" in astray.values()
    if fault.kind != "missing":
        return False
    if key == "sheet_mm":
        return True
    if any(path[:-1] == table and nearest(str(path[-1]), [key]) for path in unknown):
        return True
    return _in_grade(fault) and any(
        isinstance(value, dict) and key in value and nearest(name, [DEFAULTS])
        for name, value in source.raw.items()
        if name not in TOP
    )


def _in_grade(fault: ModelFault) -> bool:
    return fault.path[0] == "grades" and len(fault.path) == 3


def _lacking(faults: Sequence[ModelFault]) -> dict[str, list[int]]:
    """The places of the grades that lack a key which a default could give."""
    found: dict[str, list[int]] = {}
    for fault in faults:
        if fault.kind == "missing" and _in_grade(fault) and fault.path[2] not in OF_EACH_GRADE:
            found.setdefault(str(fault.path[2]), []).append(int(fault.path[1]))
    return found


def _in_defaults(source: CourseSource, key: str, grades: Sequence[int]) -> Problem:
    lacking = f"{len(grades)} grades have none of their own"
    path: Path = (DEFAULTS, key) if DEFAULTS in source.raw else ("grades", grades[0], key)
    return source.problem(path, f"a value for {key} in [{DEFAULTS}]: {lacking}")


def _astray(unknown: Sequence[ModelFault]) -> Iterator[tuple[ModelFault, str]]:
    """Unknown keys that are keys of another table altogether, with the line that is missing."""
    by_table: dict[Path, list[ModelFault]] = {}
    for fault in unknown:
        by_table.setdefault(fault.written[:-1], []).append(fault)
    for faults in by_table.values():
        keys = {str(fault.written[-1]) for fault in faults}
        for header, model in _HEADERS.items():
            if len(keys) > 1 and keys <= {*model.model_fields}:
                yield from ((fault, header) for fault in faults)
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


def model_faults(
    source: CourseSource, path: Path, model: type[Part], error: ValidationError
) -> Iterator[ModelFault]:
    """Each fault of one table as a problem, with its place and kind."""
    for fault in error.errors(include_url=False):
        at: Path = (*path, *fault["loc"])
        told = source.problem(at, _expected(dict(fault), model))
        yield ModelFault(told, at, source.where_written(at), fault["type"])


_PLAIN = {
    "bool": "true or false",
    "float": "a number",
    "int": "a whole number",
    "list": "a list in square brackets",
    "string": "a text in quotes",
    "too": "at least one",
    "tuple": "a list in square brackets",
}
"""What was expected by the first word of the model's kind of fault."""


def _expected(fault: Mapping[str, Any], model: type[Part]) -> str:
    key = str(fault["loc"][-1])
    match fault["type"]:
        case "missing":
            return f"a value for {key}, which is missing"
        case "extra_forbidden":
            return _known_keys(key, Points if POINTS in fault["loc"][:-1] else model)
        case "literal_error":
            return f"one of {fault['ctx']['expected']}"
        case "string_too_short":
            return "a text that is not empty"
        case "model_type":
            return f"a table, or the name of a table [{key}.NAME]"
        case kind:
            said = str(fault["msg"]).removeprefix("Input should be ")
            return _PLAIN.get(kind.split("_")[0], said)


def _known_keys(key: str, model: type[Part]) -> str:
    known = TOP if model is Course else tuple(model.model_fields)
    near = nearest(key, known)
    hint = f"; did you mean {near}?" if near else ""
    return f"one of the keys {', '.join(known)}{hint}"
