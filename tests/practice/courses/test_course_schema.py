"""The schema of a course file: every key of the models is in it, and every shipped course fits."""

import tomllib
from itertools import chain
from typing import Any

import pytest
from pydantic import BaseModel

from platebook.practice.courses.course import Course, Exercise, ExtraField, Grade, Points
from platebook.practice.courses.course_file import shipped_courses
from platebook.practice.courses.course_schema import course_schema

SCHEMA = course_schema()
MODELS: dict[str, type[BaseModel]] = {
    "Grade": Grade,
    "Exercise": Exercise,
    "ExtraField": ExtraField,
    "Points": Points,
}
TYPES = {"string": str, "boolean": bool, "array": list, "object": dict}


def misfits(value: Any, schema: dict[str, Any], path: str = "") -> list[str]:
    """Where a value does not fit, by the keywords that the schema uses."""
    if "$ref" in schema:
        schema = SCHEMA["$defs"][schema["$ref"].rpartition("/")[2]]
    if "anyOf" in schema:
        return min((misfits(value, one, path) for one in schema["anyOf"]), key=len)
    kind = schema.get("type")
    fits = (
        isinstance(value, int | float) and not isinstance(value, bool)
        if kind in {"number", "integer"}
        else isinstance(value, TYPES[kind or "object"])
    )
    if not fits or ("enum" in schema and value not in schema["enum"]):
        return [path]
    if isinstance(value, list):
        inside = schema["items"]
        return list(chain(*(misfits(one, inside, f"{path}.{n}") for n, one in enumerate(value))))
    if not isinstance(value, dict):
        low, high = schema.get("minimum", value), schema.get("maximum", value)
        long = len(str(value)) >= schema.get("minLength", 0)
        return [] if low <= value <= high and long else [path]
    known, others = schema.get("properties", {}), schema.get("additionalProperties")
    found = [f"{path}.{key}" for key in schema.get("required", []) if key not in value]
    for key, inner in value.items():
        fitting = known.get(key, others)
        found += misfits(inner, fitting, f"{path}.{key}") if fitting else [f"{path}.{key}"]
    return found


def test_every_key_of_the_models_is_in_it() -> None:
    """And the two tables that only the file has."""
    assert set(SCHEMA["properties"]) == {*Course.model_fields, "defaults", "points"}
    for name, model in MODELS.items():
        assert set(SCHEMA["$defs"][name]["properties"]) == set(model.model_fields)


@pytest.mark.parametrize("text", shipped_courses())
def test_a_shipped_course_fits(text: str) -> None:
    """As its TOML reads."""
    assert misfits(tomllib.loads(text), SCHEMA) == []


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ('method = "snap in"', 'method = "snap"', ".defaults.method"),
        ("stones_mm = [1.5]", 'stones_mm = ["1.5"]', ".grades.0.stones_mm.0"),
        ('title = "1.5 mm in copper"', 'titel = "1.5 mm in copper"', ".grades.0.title"),
        ("up_at = 11", "up_at = 0", ".points.learning.up_at"),
    ],
)
def test_what_does_not_fit_is_seen(old: str, new: str, where: str) -> None:
    """A word outside its list, a text for a number, a key that is misspelt, a number too small."""
    text = shipped_courses()[0].replace(old, new, 1)
    assert where in misfits(tomllib.loads(text), SCHEMA)
