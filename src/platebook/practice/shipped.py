"""The courses that come with the program."""

import functools
from collections.abc import Mapping
from importlib import resources
from importlib.resources.abc import Traversable

from platebook.practice.course_file import load_course

_OFFERED_FIRST = ("small-to-large", "large-to-small")


@functools.cache
def shipped_courses() -> tuple[str, ...]:
    """The texts of the shipped courses, the one to offer first at the front."""
    return tuple(_by_id().values())


def shipped_course(course_id: str) -> str:
    """The text of one shipped course; raises KeyError for an id that is not shipped."""
    return _by_id()[course_id]


@functools.cache
def _by_id() -> Mapping[str, str]:
    texts = [
        file.read_text(encoding="utf-8")
        for file in sorted(_folder().iterdir(), key=lambda file: file.name)
        if file.name.endswith(".toml")
    ]
    found = {load_course(text).id: text for text in texts}
    first = {name: found.pop(name) for name in _OFFERED_FIRST if name in found}
    return first | found


def _folder() -> Traversable:
    """The courses inside the package, or beside `src` in a checkout."""
    package = resources.files("platebook")
    inside = package.joinpath("curricula")
    return inside if inside.is_dir() else package.joinpath("..", "..", "curricula")
