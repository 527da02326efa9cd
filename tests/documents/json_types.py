"""The words that docs/json.md uses for types, and whether a value is of the type named."""

import re
from collections.abc import Iterator

_KINDS: dict[str, tuple[type, ...]] = {
    "text": (str,),
    "date": (str,),
    "number": (int, float),
    "whole number": (int,),
    "yes/no": (bool,),
    "null": (type(None),),
    "object": (dict,),
}
_OF = {"objects": "object", "numbers": "number", "whole numbers": "whole number", "dates": "date"}
"""What a list holds, by the word for one of them."""


def is_of(value: object, named: str) -> bool:
    """Whether a value is what `whole number or null, days` says; units are only for the reader."""
    kinds = re.split(r", | or ", named)
    if isinstance(value, list):
        if not named.startswith("list"):
            return False
        of = re.sub(r"^list(?: of)? ?(?:\d+ )?", "", kinds[0])
        return not of or all(is_of(one, " or ".join([of, *kinds[1:]])) for one in value)
    return any(_is_kind(value, _OF.get(kind, kind)) for kind in kinds)


def _is_kind(value: object, kind: str) -> bool:
    if isinstance(value, bool):
        return kind == "yes/no"
    return isinstance(value, _KINDS.get(kind, ()))


def values_at(value: object, path: str = "") -> Iterator[tuple[str, object]]:
    """Every key in a JSON value by its path, as the page writes it, with what stands there."""
    match value:
        case dict():
            for key, inner in value.items():
                here = f"{path}.{key}" if path else key
                yield here, inner
                yield from values_at(inner, here)
        case list():
            for inner in value:
                yield from values_at(inner, f"{path}[]")
