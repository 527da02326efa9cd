"""The next exercise and why; the balanced block; what an instructor looks at first.

| name | gives |
|---|---|
| `NextExercise` | one exercise to do, with its reasons |
| `next_exercise` | what one setter does next at a course, with its reasons |
| `readings_asked` | whether the next attempt's readings are asked, decided before it begins |

Each is loaded when first asked for, so that what was worked out before is shown without arrays.
"""

import importlib
import sys
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from platebook.advice.exercise import NextExercise as NextExercise
    from platebook.advice.next_exercise import next_exercise as next_exercise
    from platebook.advice.readings import readings_asked as readings_asked

_ROOMS = {
    "NextExercise": "exercise",
    "next_exercise": "next_exercise",
    "readings_asked": "readings",
}


class _Package(ModuleType):
    """A package whose function keeps its name, though it lives in a module of the same name."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in _ROOMS and isinstance(value, ModuleType)):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package


def __getattr__(name: str) -> object:
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f"{__name__}.{_ROOMS[name]}"), name)
