"""Promotion points: when a grade is passed, and when it slips back.

| function | gives |
|---|---|
| `points_for` | whole points and their limit for two failure rates |
| `false_promotion` | chance that a setter at `p1` has passed by now |
| `mean_to_pass` | mean attempts of a setter at `p0` |
| `slipping_watch` | the counter that watches a passed grade |
| `Counters`, `count_points` | the counters of all grades after each whole setting |

Each grade has its own counter, and a whole setting moves the counter of its own grade alone: a
failure at a harder grade takes nothing from an easier one. Points enough at a grade are enough for
every easier grade on its chain too: who sets 1.5 mm stones well need not go back to prove the 2.0.
Both ways together stay within the stated errors, since no setting counts twice. After a grade is
passed, settings at that grade feed its watch; when the watch signals, the grade has to be passed
again from 0.

Where the course asks for a sign-off (`whole_settings`), enough points do not pass a grade: they
stand, under the same watch, until an instructor signs. What slips back has to be signed again.

Assumption: attempts are independent. Limits are exact (`point_chances`) for the course's own rates.
At 0 attempts all counters are 0. Source: Biau & Porcher, Stat Med 2010;29:1900, in whole points.
"""

import functools
import itertools
import math
from collections.abc import Sequence
from typing import Literal

from platebook.analysis.grades.point_chances import Walk, chance_within, mean_attempts
from platebook.analysis.grades.whole_settings import Signed, WholeSetting
from platebook.practice.courses.course import Course, Grade, Points
from platebook.values import Value

TRIES = 60
"""Attempts within which a false promotion must be rare."""

FALSE_PROMOTION = 0.05
"""The largest chance of a false promotion in `TRIES` attempts."""

WATCH_QUIET = 240
"""Mean attempts a watch stays quiet for a setter who keeps to `p0`: judgement."""

WhichCounter = Literal["points", "watch"]
Event = Literal["passed", "to be signed off", "slipping"]


def promotion_walk(points: Points) -> Walk:
    """The promotion counter of a grade as a walk."""
    return Walk(points.good, points.failure, points.up_at)


def points_for(p0: float, p1: float) -> Points:
    """Whole points nearest to the log-likelihood ratio, with the smallest limit that is safe.

    Safe: at failure rate `p1` at most `FALSE_PROMOTION` pass in `TRIES` attempts. Raises
    ValueError where `p0` is not below `p1`.
    """
    if not 0 < p0 < p1 < 1:
        raise ValueError(f"failure rates must rise from p0 to p1, not {p0} to {p1}")
    ratio = math.log(p0 / p1) / math.log((1 - p0) / (1 - p1))
    failure = min(-1, round(ratio))
    up_at = next(
        limit
        for limit in itertools.count(1)
        if chance_within(Walk(1, failure, limit), p1, TRIES)[-1] <= FALSE_PROMOTION
    )
    return Points(p0=p0, p1=p1, good=1, failure=failure, up_at=up_at)


@functools.lru_cache(maxsize=1024)
def false_promotion(points: Points, attempts: int) -> float:
    """Chance that a setter who fails at `p1` has passed after this many attempts; 0 at none."""
    if attempts <= 0:
        return 0.0
    return float(chance_within(promotion_walk(points), points.p1, attempts)[-1])


@functools.lru_cache(maxsize=256)
def mean_to_pass(points: Points) -> float:
    """Mean attempts until a setter who fails at `p0` has passed."""
    return mean_attempts(promotion_walk(points), points.p0)


@functools.lru_cache(maxsize=256)
def slipping_watch(points: Points) -> Walk:
    """The watch on a passed grade: the points turned round, with a limit for the same rates.

    Its limit is the smallest whose false alarms at `p0` come no oftener than one in `WATCH_QUIET`
    attempts on average.
    """
    watches = (Walk(-points.good, -points.failure, limit) for limit in itertools.count(1))
    return next(w for w in watches if mean_attempts(w, points.p0) >= WATCH_QUIET)


class CounterMove(Value):
    """What one whole setting did to one grade's counter. `setting` counts all settings from 1.

    `own` is false where points enough at a harder grade were enough for this one.
    """

    setting: int
    grade: str
    moved: WhichCounter
    value: int
    own: bool
    event: Event | None = None


class GradePoints(Value):
    """One grade's counters after the settings so far.

    `watch` counts only once there were enough points. `waiting` says that an instructor's sign-off
    is all that is missing; `fell` is the setting after which the points were last lost, 0 for none.
    `through` is the harder grade whose points were enough for this one too, empty for none.
    """

    grade: str
    points: int = 0
    watch: int = 0
    passed: bool = False
    slipped: bool = False
    waiting: bool = False
    fell: int = 0
    through: str = ""
    steps: tuple[CounterMove, ...] = ()


def good_to_go(points: Points, so_far: GradePoints) -> int:
    """How many good ones in a row give a grade its points; 0 where it has them."""
    if so_far.passed or so_far.waiting:
        return 0
    return math.ceil((points.up_at - so_far.points) / points.good)


def good_ones(count: int) -> str:
    """So many good ones in a sentence: one good one, 3 good ones."""
    return "one good one" if count == 1 else f"{count} good ones"


class _Counter:
    """The running counters of one grade."""

    def __init__(self, grade: Grade, signed: tuple[int, ...] | None) -> None:
        """`signed` says after which settings the grade was signed; None where nobody has to."""
        self.grade = grade
        self.signed = signed
        self.rule = grade.points
        self.watch_at = int(slipping_watch(grade.points).up_at)
        self.points = self.watch = 0
        self.enough = self.slipped = False
        self.fell = 0
        self.through = ""
        self.steps: list[CounterMove] = []

    def is_passed(self, now: int) -> bool:
        """Whether it is passed after this many settings of all grades."""
        signed = self.signed is None or any(self.fell < n <= now for n in self.signed)
        return self.enough and signed

    def count(self, number: int, *, failed: bool) -> None:
        """One more setting; the steps are those of `promotion_walk` and of `slipping_watch`."""
        moved = self.rule.failure if failed else self.rule.good
        event: Event | None = None
        if not self.enough:
            self.points = max(self.points + moved, 0)
            if self.points >= self.rule.up_at:
                event = self._reach(number)
            self.steps.append(
                CounterMove(number, self.grade.id, "points", self.points, own=True, event=event)
            )
            return
        self.watch = value = max(self.watch - moved, 0)
        signal = value >= self.watch_at
        slips = signal and (self.slipped or self.is_passed(number))
        if signal:
            self.enough, self.slipped, self.points, self.watch = False, slips, 0, 0
            self.fell, self.through = number, ""
        event = "slipping" if slips else None
        self.steps.append(CounterMove(number, self.grade.id, "watch", value, own=True, event=event))

    def reach_through(self, harder: str, number: int) -> None:
        """Points enough at a harder grade after this setting; nothing where they stand already."""
        if self.enough:
            return
        self.points, self.through = self.rule.up_at, harder
        event = self._reach(number)
        self.steps.append(
            CounterMove(number, self.grade.id, "points", self.points, own=False, event=event)
        )

    def _reach(self, number: int) -> Event:
        """The points are enough after this setting."""
        self.enough, self.watch = True, 0
        passed = self.is_passed(number)
        self.slipped = self.slipped and not passed
        return "passed" if passed else "to be signed off"

    def so_far(self, now: int) -> GradePoints:
        passed = self.is_passed(now)
        return GradePoints(
            self.grade.id,
            self.points,
            self.watch,
            passed,
            self.slipped and not self.enough,
            self.enough and not passed,
            self.fell,
            self.through,
            tuple(self.steps),
        )


class Counters:
    """The running counters of every grade of a course, fed one whole setting after another.

    `signed` are the sign-offs there are; a course that asks for none needs none. `easier` holds the
    easier grades of each grade, nearest first.
    """

    def __init__(self, course: Course, signed: Signed | None = None) -> None:
        signs, asked = signed or {}, course.to_be_signed()
        self._counters = {
            g.id: _Counter(g, signs.get(g.id, ()) if g.id in asked else None) for g in course.grades
        }
        self.easier = {g.id: tuple([e.id for e in course.easier(g.id)]) for g in course.grades}
        self._settings = 0
        self._unpassed: dict[tuple[str, ...], tuple[int, ...]] = {}

    def count(self, grade: str, *, failed: bool) -> None:
        """Count one whole setting at this grade of the course."""
        self._settings += 1
        self._unpassed.clear()
        counter = self._counters[grade]
        before = counter.enough
        counter.count(self._settings, failed=failed)
        if counter.enough and not before:
            for easier in self.easier[grade]:
                self._counters[easier].reach_through(grade, self._settings)

    def is_passed(self, grade: str) -> bool:
        """Whether the grade is passed and has not slipped since."""
        return self._counters[grade].is_passed(self._settings)

    def unpassed(self, grades: tuple[str, ...]) -> tuple[int, ...]:
        """Places in this row of grades that are not passed; asked often between two settings."""
        known = self._unpassed.get(grades)
        if known is None:
            known = tuple([p for p, grade in enumerate(grades) if not self.is_passed(grade)])
            self._unpassed[grades] = known
        return known

    def has_points(self, grade: str) -> bool:
        """Whether the grade has points enough, signed off or not."""
        return self._counters[grade].enough

    def watch(self, grade: str) -> int:
        """Where the watch over a grade with enough points stands."""
        return self._counters[grade].watch

    def waits(self, grade: str) -> bool:
        """Whether the grade has its points and only a sign-off is missing."""
        return self._counters[grade].enough and not self.is_passed(grade)

    def has_slipped(self, grade: str) -> bool:
        """Whether the grade was passed, slipped back and is not passed again."""
        return self._counters[grade].so_far(self._settings).slipped

    def so_far(self, grade: str) -> GradePoints:
        """One grade's counters."""
        return self._counters[grade].so_far(self._settings)

    def standings(self) -> dict[str, GradePoints]:
        """Every grade's counters by grade id."""
        now = self._settings
        return {grade_id: counter.so_far(now) for grade_id, counter in self._counters.items()}


def count_points(
    course: Course, settings: Sequence[WholeSetting], signed: Signed | None = None
) -> dict[str, GradePoints]:
    """Every grade's counters by grade id, after all settings (in the order they were made)."""
    counters = Counters(course, signed)
    for setting in settings:
        counters.count(setting.grade.id, failed=setting.failed)
    return counters.standings()
