"""How each grade of a course stands: the one answer for every screen, page and JSON.

| state | is a grade |
|---|---|
| `ahead` | not worked at yet |
| `practised` | that the work is at: one of each track begun |
| `tried` | worked at before, and not passed |
| `passed` | with its points, and signed off where the course asks for that |
| `to be signed off` | with its points, where only an instructor's sign-off is missing |
| `slipping` | passed once; its watch has signalled since, and it is to be passed again |

At 0 settings the first grade of the first track is practised and all others are ahead.
"""

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from platebook.analysis.grades.way_up import WayUp

State = Literal["ahead", "practised", "tried", "passed", "to be signed off", "slipping"]
"""As in JSON; `reports.text.figures.GRADES` has the words for people."""

TO_BE_PASSED: frozenset[State] = frozenset({"practised", "tried", "slipping"})
"""The states of a grade that was begun, or is to be now, and whose points are still to come."""


def grade_states(way: "WayUp") -> dict[str, State]:
    """How each grade of the course stands, by its id.

    A passed, slipping or waiting grade says so, practised or not; of the others the one that the
    work is at is practised, those worked at before are tried, and the rest are ahead.
    """
    tried = {setting.grade.id for setting in way.settings}
    practised = way.practised()
    standings = way.counters.standings()
    states: dict[str, State] = {}
    for grade in way.course.grades:
        so_far = standings[grade.id]
        if so_far.slipped:
            states[grade.id] = "slipping"
        elif so_far.passed:
            states[grade.id] = "passed"
        elif so_far.waiting:
            states[grade.id] = "to be signed off"
        elif grade.id in practised:
            states[grade.id] = "practised"
        else:
            states[grade.id] = "tried" if grade.id in tried else "ahead"
    return states
