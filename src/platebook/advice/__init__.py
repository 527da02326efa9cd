"""The next exercise and why; the balanced block.

| name | gives |
|---|---|
| `next_exercise` | what one setter does next at a course, with its reasons |
| `readings_asked` | whether the next attempt's readings are asked, decided before it begins |
"""

from platebook.advice.next_exercise import NextExercise, next_exercise
from platebook.advice.readings import readings_asked

__all__ = ["NextExercise", "next_exercise", "readings_asked"]
