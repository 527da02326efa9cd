"""The next exercise and why; the balanced block; what an instructor looks at first.

| name | gives |
|---|---|
| `NextExercise` | one exercise to do, with its reasons |
| `next_exercise` | what one setter does next at a course, with its reasons |
| `readings_asked` | whether the next attempt's readings are asked, decided before it begins |

Each is loaded when first asked for, so that what was worked out before is shown without arrays.
"""

from typing import TYPE_CHECKING

from platebook.lazy_names import lazy_names

if TYPE_CHECKING:
    from platebook.advice.exercise import NextExercise
    from platebook.advice.suggestion import next_exercise, readings_asked

__all__ = ["NextExercise", "next_exercise", "readings_asked"]

_ROOMS = {
    "NextExercise": "exercise",
    "next_exercise": "suggestion",
    "readings_asked": "suggestion",
}

__getattr__ = lazy_names(__name__, _ROOMS)
