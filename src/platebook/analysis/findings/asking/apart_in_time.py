"""Whether attempts can be told apart by something, or only by when they were made.

| function | answers |
|---|---|
| `reason_in_time` | why a column says no more than the calendar; None where it does say more |
| `far_enough_apart` | whether two sides of a column lie in enough sessions each |

What is the same all through an evening was chosen once an evening, so an evening is one choice, not
eight: each side of a split takes three of them. A tool that was changed once parts the log into
before and after, and whatever else changed then, practice above all, goes with it as well.

Constant columns, and such with one session alone, give a reason, never a split.
"""

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole

LEAST_SESSIONS = 3
"""Sessions on each side of a split of what is constant in a session (judgement)."""


def constant_in_sessions(values: Floats, session: Whole) -> bool:
    """Whether values (n, without gaps) never change within a session, and some session has two."""
    same_session = session[1:] == session[:-1]
    return bool(same_session.any()) and not bool((np.diff(values) != 0.0)[same_session].any())


def far_enough_apart(inside: Truths, outside: Truths, session: Whole) -> bool:
    """Whether both sides (n truths each) lie in at least three sessions."""
    return all(len(np.unique(session[side])) >= LEAST_SESSIONS for side in (inside, outside))


def _can_be_split(values: Floats, session: Whole) -> bool:
    """Whether some step of the values leaves enough sessions on both of its sides."""
    steps = np.unique(values)[:-1]
    return any(far_enough_apart(values <= step, values > step, session) for step in steps)


def reason_in_time(values: Floats, session: Whole, first: int = 0) -> str | None:
    """Why a column (n values in order, NaN where unknown) is only the calendar; None if it is not.

    `first` is how many attempts were judged before these.
    """
    rows = np.flatnonzero(~np.isnan(values))
    known, theirs = values[rows], session[rows]
    changes = np.flatnonzero(np.diff(known) != 0.0)
    if len(changes) == 1:
        number = first + int(rows[changes[0] + 1]) + 1
        return f"changed once, at attempt {number}: cannot be told from time"
    if len(changes) and constant_in_sessions(known, theirs) and not _can_be_split(known, theirs):
        return f"one value all through an evening: {LEAST_SESSIONS} evenings of each are needed"
    return None
