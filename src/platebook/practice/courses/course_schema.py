"""The course file as a JSON Schema, for editors that complete and check TOML while one types.

It is made from the models and differs from them where the file does: a grade may leave out what
`[defaults]` says, may name its points, and has its thickness from `sheet`. What the parts of a
course say together is left to `course check`. The dialect is JSON Schema 2020-12.
"""

from typing import Any

from platebook.practice.courses.course import Course
from platebook.practice.courses.course_checks import OF_EACH_GRADE
from platebook.practice.courses.course_toml import DEFAULTS, POINTS
from platebook.practice.fields import parts

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_REFERENCE = "#/$defs/{model}"


def course_schema() -> dict[str, Any]:
    """The schema of a course file."""
    made = Course.model_json_schema(ref_template=_REFERENCE)
    models: dict[str, Any] = made.pop("$defs")
    grade = models["Grade"]
    own = {"description": f"A table, or the name of a table [{POINTS}.NAME]."}
    named = {"anyOf": [{"$ref": _REFERENCE.format(model="Points")}, {"type": "string"}]}
    grade["properties"][POINTS] = own | named
    # TOML has no null: what may be empty is left out.
    for model in (made, *models.values()):
        for value in model["properties"].values():
            _without_null(value)
    models["Exercise"]["properties"]["part"] |= {"enum": list(parts())}
    models["Defaults"] = {**grade, "title": "Defaults", "required": []}
    grade["required"] = [key for key in grade["required"] if key in OF_EACH_GRADE - {"after"}]
    made["properties"][DEFAULTS] = {
        "$ref": _REFERENCE.format(model="Defaults"),
        "description": "What every grade takes unless it says otherwise.",
    }
    made["properties"][POINTS] = {
        "type": "object",
        "additionalProperties": {"$ref": _REFERENCE.format(model="Points")},
        "description": "Points under a name that grades may use.",
    }
    return {"$schema": DIALECT, **made, "$defs": models}


def _without_null(value: dict[str, Any]) -> None:
    """A key that may be None is the same key, left out."""
    kinds = [kind for kind in value.get("anyOf", []) if kind != {"type": "null"}]
    if len(kinds) == 1:
        del value["anyOf"]
        value |= kinds[0]
    if value.get("default", "") is None:
        del value["default"]
