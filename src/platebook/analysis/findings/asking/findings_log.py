"""The log that findings rest on: one setter's attempts, by their checked tools, inside a window.

What goes with failure, the habits behind it, the values and the pictures are all told of this one
log, made once, so that each counts the same attempts in the same columns.

| class | holds |
|---|---|
| `FindingsLog` | all that were judged, those of them inside the window, and their columns |
"""

import functools
from collections.abc import Sequence

from platebook.analysis.measurements.seat_readings import NO_TOOLS, Worth, corrected_seats
from platebook.analysis.variables.attempt_log import (
    LATELY,
    AttemptLog,
    Window,
    attempt_log,
    recent,
)
from platebook.analysis.variables.columns import Column, columns
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.values import Value


class FindingsLog(Value, eq=False, dict=True):
    """One setter's log as findings are asked of it.

    `attempts` are all of them, readings corrected by what the tool's check found; `worth` says what
    is left to be said of the tools. `whole` are the judged ones since the day asked for, which are
    counted; `log` are those of them inside the window.
    """

    attempts: tuple[Attempt, ...]
    course: Course | None
    worth: Worth
    window: Window
    whole: AttemptLog
    log: AttemptLog

    @classmethod
    def of(
        cls,
        attempts: Sequence[Attempt],
        course: Course | None = None,
        *,
        worth: Worth = NO_TOOLS,
        window: Window = LATELY,
    ) -> "FindingsLog":
        """Make it; no attempts give a log without any."""
        corrected, left = corrected_seats(attempts, worth)
        whole = attempt_log(corrected, course)
        if window.since is not None:
            whole = recent(whole, window)
        return cls(tuple(corrected), course, left, window, whole, recent(whole, window))

    @functools.cached_property
    def columns(self) -> tuple[Column, ...]:
        """Every variable of the log inside the window as numbers."""
        return columns(self.log, self.course)
