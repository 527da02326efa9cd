"""Whether an attempt's readings are asked, decided before it begins.

A reading skipped only when things went wrong cannot be analysed, so neither the setter nor the
result decides: while a grade is being learned and in a block readings are always asked, after that
at a random third of the attempts. The draw follows from the seed and the number of attempts logged,
so it is the same however often it is asked.
"""

from collections.abc import Iterable, Sequence

from platebook.analysis.points import count_points
from platebook.analysis.signing import signed
from platebook.analysis.whole_settings import WHOLE, whole_settings
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.sign_off import SignOff

SEED = 20260101
"""What the draws follow from where nobody gives another number."""

SHARE = 1 / 3
"""Share of attempts at a passed grade whose readings are asked."""


def drawn(seed: int, attempts: int) -> bool:
    """Whether the attempt after this many is among the random third."""
    import numpy as np

    return bool(np.random.default_rng((seed, attempts)).random() < SHARE)


def asks(*, passed: bool, kind: str, seed: int, attempts: int) -> bool:
    """The same from what is known: the grade passed or not, and how many attempts are logged."""
    return not passed or kind != WHOLE or drawn(seed, attempts)


def readings_asked(
    course: Course,
    attempts: Sequence[Attempt],
    *,
    grade: str | None,
    kind: str = WHOLE,
    seed: int = SEED,
    sign_offs: Iterable[SignOff] = (),
) -> bool:
    """Whether the next attempt's readings are asked, for this grade and kind of exercise.

    A grade that is not the course's, or none, counts as being learned.
    """
    settings = whole_settings(course, attempts)
    points = count_points(course, settings, signed(course, settings, sign_offs))
    standing = points.get(grade or "")
    passed = standing is not None and standing.passed
    return asks(passed=passed, kind=kind, seed=seed, attempts=len(attempts))
