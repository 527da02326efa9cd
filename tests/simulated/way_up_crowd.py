"""The program's rule for many learners at once, proven equal to `Replay` on random logs.

One track of `GRADES` grades; attempts are counted in evenings of `AN_EVENING`, a week apart. The
arrays have a row a learner. What each line means is said in `analysis.grades.way_up` and
`advice.replay`; `tests/simulated/test_way_up_crowd.py` compares every offer.
"""

import numpy as np
from tests.simulated.crowds import GRADES, OF_SKILLS, Failures, Floats, Ints, Truths

from platebook.advice.defect_skills import SKILLS
from platebook.advice.skill_traces import PARTS_IN_USE, PartRule
from platebook.analysis.grades.points import slipping_watch
from platebook.analysis.grades.way_up import WAY_IN_USE, WayRule
from platebook.practice.courses.course import Points

AN_EVENING = 8
WEEK = 7
NONE = -1
NEVER = -10_000
FIRST_PART = SKILLS.index("burnishing")


class WayUpCrowd:
    """Ask it with `offer`, then tell it with `see` how each attempt came out."""

    def __init__(
        self,
        count: int,
        points: tuple[Points, ...],
        way: WayRule = WAY_IN_USE,
        parts: PartRule = PARTS_IN_USE,
        failures: Failures | None = None,
    ) -> None:
        self.way, self.parts = way, parts
        self.failures = failures or Failures.by_table()
        self.good = np.array([p.good for p in points])
        self.bad = np.array([p.failure for p in points])
        self.up_at = np.array([p.up_at for p in points])
        self.watch_at = np.array([int(slipping_watch(p).up_at) for p in points])
        self.rows = np.arange(count)
        self.number = 0
        self.place = np.zeros(count, dtype=np.int64)
        self.s = np.full(count, way.start)
        self.points = np.zeros((count, GRADES), dtype=np.int64)
        self.watch = np.zeros((count, GRADES), dtype=np.int64)
        self.passed = np.zeros((count, GRADES), dtype=bool)
        self.set_at = np.full((count, GRADES), NEVER)
        self.tests = np.zeros((count, GRADES), dtype=np.int64)
        self.retest_settings = np.zeros(count, dtype=np.int64)
        self.settings = np.zeros(count, dtype=np.int64)
        self.row_grade = np.full(count, NONE)
        self.row_left = np.zeros(count, dtype=np.int64)
        self.is_retest: Truths = np.zeros(count, dtype=bool)
        self.f = np.full((count, OF_SKILLS), parts.start)
        self.remedy = np.full(count, NONE)
        self.tries = np.zeros(count, dtype=np.int64)
        self.tries_good = np.zeros(count, dtype=np.int64)
        self.since_part = np.full(count, parts.whole_between)
        self.parts_begun = np.zeros(count, dtype=np.int64)
        self.first_tries = np.zeros(count, dtype=np.int64)
        self.first_good = np.zeros(count, dtype=np.int64)

    def _begins(self) -> Truths:
        if not self.parts.begins_backwards:
            return np.zeros(len(self.rows), dtype=bool)
        over = (self.first_good >= self.parts.pass_at) | (self.first_tries >= self.parts.row)
        return np.asarray((self.settings == 0) & ~over)

    def _first_to_pass(self) -> Ints:
        """Place of the first grade that is not passed; `GRADES` where all are."""
        return np.where(self.passed.all(axis=1), GRADES, (~self.passed).argmax(axis=1))

    def _ceiling(self) -> Ints:
        """The highest place that the work moves up to."""
        rank = (~self.passed).cumsum(axis=1)
        allowed = ~self.passed & (rank <= self.way.ahead + 1)
        top = GRADES - 1 - allowed[:, ::-1].argmax(axis=1)
        return np.where(allowed.any(axis=1), top, GRADES - 1)

    def _settle(self) -> None:
        """Move the work: off passed grades, on above `up`, back below `down`."""
        places = np.arange(GRADES)[None, :]
        to_pass, here = ~self.passed, self.place[:, None]
        above = to_pass & (places > here) & (places <= self._ceiling()[:, None])
        below = to_pass & (places < here)
        on, back = above.argmax(axis=1), GRADES - 1 - below[:, ::-1].argmax(axis=1)
        has_on, has_back = above.any(axis=1), below.any(axis=1)
        at_passed = self.passed[self.rows, self.place] & to_pass.any(axis=1)
        up = has_on & ((self.s > self.way.up) | at_passed)
        down = has_back & ~up & ((self.s < self.way.down) | at_passed)
        self.place = np.where(up, on, np.where(down, back, self.place))
        self.s = np.where(up | down, self.way.moved, self.s)

    def _open_evening(self, day: int) -> None:
        way = self.way
        days = np.array(way.retest_days)
        step = np.where(self.watch > 0, 0, np.minimum(self.tests, len(days) - 1))
        due = self.passed & (self.set_at > NEVER) & (day - self.set_at >= days[step])
        due[self.rows, self.place] = False
        room = self.retest_settings + way.row <= way.retest_share * self.settings
        due &= room[:, None]
        longest = np.where(due, self.set_at, np.iinfo(np.int64).max).argmin(axis=1)
        places = np.arange(GRADES)[None, :]
        easier = ~self.passed & (places < self.place[:, None])
        prove = GRADES - 1 - easier[:, ::-1].argmax(axis=1)
        self.is_retest = np.asarray(due.any(axis=1))
        proves = ~self.is_retest & easier.any(axis=1) & (way.row > 0)
        self.row_grade = np.where(self.is_retest, longest, np.where(proves, prove, NONE))
        self.row_left = np.where(self.is_retest | proves, way.row, 0)
        self.parts_begun[:] = 0

    def offer(self) -> tuple[Ints, Ints]:
        """The grade of what comes next, and its part or -1 for a whole setting."""
        if self.number % AN_EVENING == 0:
            self._open_evening(self.number // AN_EVENING * WEEK)
        begins = self._begins()
        in_row = ~begins & (self.row_left > 0)
        bound = self.parts.an_evening
        room = np.ones_like(begins) if bound is None else self.parts_begun < bound
        remedies = ~begins & ~in_row & (self.remedy >= 0) & (room | (self.tries > 0))
        grade = np.where(in_row, self.row_grade, self.place)
        part = np.where(begins, FIRST_PART, np.where(remedies, self.remedy, NONE))
        return grade, part

    def see(self, grade: Ints, part: Ints, failure: Ints, good_part: Truths) -> None:
        """How each attempt came out: `failure` is a row of the table, -1 for a good setting."""
        whole = part < 0
        self._see_part(~whole, part, good_part)
        self._see_whole(whole, grade, failure)
        self.number += 1

    def _see_part(self, done: Truths, part: Ints, good: Truths) -> None:
        begins = done & self._begins()
        self.first_tries += begins
        self.first_good += begins & good
        mine = done & (part == self.remedy)
        self.parts_begun += mine & (self.tries == 0)
        self.tries += mine
        self.tries_good += mine & good
        over = mine & ((self.tries_good >= self.parts.pass_at) | (self.tries >= self.parts.row))
        self.f[self.rows[over], self.remedy[over]] /= 2
        self.remedy[over] = NONE
        self.tries[over] = self.tries_good[over] = 0
        self.since_part[over] = 0

    def _see_whole(self, done: Truths, grade: Ints, failure: Ints) -> None:
        failed = failure >= 0
        day = self.number // AN_EVENING * WEEK
        was_passed = self.passed[self.rows, grade]
        in_row = done & (self.row_left > 0) & (grade == self.row_grade)
        at_work = done & ((grade == self.place) | ~(in_row | was_passed))
        self.settings += done
        self._count(done, grade, failed=failed)
        retested = in_row & self.is_retest
        self.retest_settings += retested
        first = retested & (self.row_left == self.way.row)
        self.tests[self.rows[first], grade[first]] += 1
        fresh = done & ~was_passed
        self.tests[self.rows[fresh], grade[fresh]] = 0
        self.set_at[self.rows[done], grade[done]] = day
        places = np.arange(GRADES)[None, :]
        carried = done[:, None] & self.passed & (places < grade[:, None]) & (self.set_at == NEVER)
        self.set_at[carried] = day
        self.row_left = np.where(in_row, self.row_left - 1, np.where(done, 0, self.row_left))
        gain = self.way.gain
        after = (1 - gain) * self.s + gain * ~failed
        self.s = np.where(at_work, after, self.s)
        self._settle()
        self._see_to_remedy(at_work, failure)

    def _count(self, done: Truths, grade: Ints, *, failed: Truths) -> None:
        rows, at = self.rows[done], grade[done]
        moved = np.where(failed[done], self.bad[at], self.good[at])
        passed = self.passed[rows, at]
        watch = np.maximum(self.watch[rows, at] - moved, 0)
        slips = passed & (watch >= self.watch_at[at])
        points = np.maximum(self.points[rows, at] + moved, 0)
        reached = ~passed & (points >= self.up_at[at])
        self.points[rows, at] = np.where(slips, 0, np.where(passed, self.points[rows, at], points))
        self.watch[rows, at] = np.where(passed & ~slips, watch, 0)
        self.passed[rows, at] = (passed & ~slips) | reached
        places = np.arange(GRADES)[None, :]
        through = reached[:, None] & (places < at[:, None]) & ~self.passed[rows]
        block = self.passed[rows]
        block[through] = True
        self.passed[rows] = block
        at_limit = self.points[rows]
        at_limit[through] = np.broadcast_to(self.up_at, at_limit.shape)[through]
        self.points[rows] = at_limit

    def _see_to_remedy(self, at_work: Truths, failure: Ints) -> None:
        rule = self.parts
        against: Floats = np.where(
            (failure >= 0)[:, None], self.failures.against[np.maximum(failure, 0)], 0.0
        )
        after = (1 - rule.gain) * self.f + rule.gain * against
        self.f = np.where(at_work[:, None], after, self.f)
        self.since_part += at_work
        most, worst = self.f.max(axis=1), self.f.argmax(axis=1)
        stands_out = (most > rule.trouble) & (most > rule.share * self.f.sum(axis=1))
        weakest = np.where(stands_out, worst, NONE)
        dropped = at_work & (self.remedy >= 0) & (weakest != self.remedy)
        self.remedy[dropped] = NONE
        self.tries[dropped] = self.tries_good[dropped] = 0
        due = at_work & (self.remedy < 0) & (self.since_part >= rule.whole_between)
        begun = due & (weakest >= 0)
        self.remedy = np.where(begun, weakest, self.remedy)
