"""What the course's models found wrong, said to the person who wrote the file."""

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from platebook.practice.course import Course, Part, Points
from platebook.practice.course_follow_ons import TOP, ModelFault
from platebook.practice.course_source import POINTS, CourseSource, nearest
from platebook.practice.toml_lines import Path


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
