"""A setter's log played again from the start, to know what comes next after it.

`Replay` is fed the log, and its `Offer` is what comes next, before its reasons (`reasons`). The
grade follows from the way up (`analysis.grades.way_up`), the part exercise from the skill traces.
Nothing of it is ever stored: it follows from the attempts, in their order.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final, Self

from platebook.advice.defect_skills import BLAMELESS, Skill, blame
from platebook.advice.exercise import Kind, Purpose
from platebook.advice.skill_traces import PARTS_IN_USE, PartRule, SkillTraces
from platebook.analysis.grades.points import good_to_go
from platebook.analysis.grades.way_up import WAY_IN_USE, Ladder, WayRule, WayUp
from platebook.analysis.grades.whole_settings import (
    Signed,
    WholeSetting,
    as_whole_settings,
    log_to_play,
)
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, PartName
from platebook.practice.records import SignOff
from platebook.practice.results import failed_in
from platebook.values import Value, replace

PART: Final = "part"
_FIRST_PARTS: Mapping[str | None, PartName] = {"own": "burnishing no stone"}
"""What a setter begins with, by who prepares seats for them: a prepared seat is burnished, and who
has only seats of their own burnishes empty ones, where no stone can be lost."""
_FIRST_PART: PartName = "burnishing"

A_STRETCH = 5
"""Settings offered at once where nothing is to change sooner: a row of a plate."""


class Offer(Value):
    """One thing to do at one grade, up to `repeat` times, and what it is for."""

    purpose: Purpose
    grade: str
    repeat: int
    kind: Kind = "whole"
    part: PartName | None = None


class Tries(Value):
    """A part exercise under way: what was tried so far, True for a good one.

    `row` and `pass_at` are the course's own, or the rule's where it says nothing.
    """

    part: PartName
    row: int
    pass_at: int
    results: tuple[bool, ...] = ()

    def after(self, *, good: bool) -> "Tries":
        """One more try."""
        return replace(self, results=(*self.results, good))

    @property
    def is_over(self) -> bool:
        """Whether enough were good, or the row is full."""
        return sum(self.results) >= self.pass_at or len(self.results) >= self.row

    @property
    def left(self) -> int:
        """Tries left at most."""
        return max(self.row - len(self.results), 0)


class PartRemedy(Value):
    """The part exercise that a skill's trouble asked for."""

    skill: Skill
    tries: Tries


class Replay:
    """Feed it attempts in order with `log`, or a whole log at once with `of`; ask it with `offer`.

    `signed` says which grades an instructor signed off, and when. `way` holds where the work is
    and every grade's points. `seats` says who prepares seats for the setter, as in their record.
    """

    def __init__(
        self,
        course: Course,
        rule: PartRule = PARTS_IN_USE,
        *,
        way_rule: WayRule = WAY_IN_USE,
        signed: Signed | None = None,
        seats: str | None = None,
    ) -> None:
        self.course = course
        self.grades = {grade.id: grade for grade in course.grades}
        self.rule = rule
        self.way = WayUp(course, way_rule, signed=signed)
        self.counters = self.way.counters
        self.settings = self.way.settings
        self.traces = SkillTraces.at_first(rule)
        self.remedy: PartRemedy | None = None
        self.attempts: list[Attempt] = []
        self._parts = {e.part for e in course.exercises if e.kind == PART and e.part}
        self._first_part = _FIRST_PARTS.get(seats, _FIRST_PART)
        self._first_tries = self.row_of(self._first_part)
        self.whole_since_part = rule.whole_between
        self._parts_begun: tuple[date | None, int] = (None, 0)

    @classmethod
    def of(
        cls,
        course: Course,
        attempts: Iterable[Attempt],
        sign_offs: Iterable[SignOff] = (),
        *,
        seats: str | None = None,
    ) -> Self:
        """One setter's whole log under the rule in use, put in order.

        Raises ValueError where the attempts are of several setters.
        """
        marks, log = log_to_play(course, attempts, sign_offs)
        replay = cls(course, signed=marks, seats=seats)
        for attempt, setting in log:
            replay._take(attempt, setting)
        return replay

    def log(self, attempt: Attempt) -> None:
        """Take in one more attempt."""
        self._take(attempt, *as_whole_settings(self.course, (attempt,)))

    def ladder(self, track: str | None = None) -> Ladder:
        """The ladder of a track, by default the one last worked at."""
        return self.way.ladder(track)

    def row_of(self, part: PartName) -> Tries:
        """A row of a part exercise not begun yet, as long as the course says, or the rule."""
        said = next((e for e in self.course.exercises if e.part == part and e.row), None)
        row = self.rule.row if said is None or said.row is None else said.row
        pass_at = self.rule.pass_at if said is None else said.pass_at or row
        return Tries(part, row, pass_at)

    def has_part(self, part: PartName) -> bool:
        """Whether the course has an exercise for this part."""
        return part in self._parts

    def offer(self, day: date | None = None, track: str | None = None) -> Offer:
        """What comes next on this day."""
        ladder = self.ladder(track)
        if self._begins():
            return Offer("begin", ladder.grade, self._first_tries.left, PART, self._first_part)
        if (opening := self.way.opening(day)) is not None:
            return Offer(opening.purpose, opening.grade, opening.left)
        if self.remedy is not None and self.has_room_for_a_part(day):
            tries = self.remedy.tries
            return Offer("remedial", ladder.grade, tries.left, PART, tries.part)
        if (opened := self.way.next_track(ladder)) is not None:
            return Offer("next track", opened, A_STRETCH)
        return Offer("settings", ladder.grade, self._until_something_changes(ladder))

    def _take(self, attempt: Attempt, setting: WholeSetting | None) -> None:
        """One more attempt, with the whole setting it counts as."""
        day = attempt.began.date() if attempt.began is not None else None
        of_the_work = self.way.take(attempt, setting)
        if setting is not None and of_the_work:
            self._see_to_remedy(setting)
        elif setting is None and attempt.kind == PART:
            self._take_part(attempt, day)
        self.attempts.append(attempt)

    def _see_to_remedy(self, setting: WholeSetting) -> None:
        suspected = BLAMELESS
        if setting.failed:
            suspected = blame(setting.attempt, failure_from=self.course.failure_from)
        self.traces = self.traces.after(suspected, self.rule)
        self.whole_since_part += 1
        weakest = self.traces.weakest(self.rule)
        if self.remedy is not None and weakest != self.remedy.skill:
            self.remedy = None
        due = self.remedy is None and self.whole_since_part >= self.rule.whole_between
        if due and weakest is not None and weakest in self._parts:
            self.remedy = PartRemedy(weakest, self.row_of(weakest))

    def _take_part(self, attempt: Attempt, day: date | None) -> None:
        part, missed = self._part_of(attempt), failed_in(self.course, attempt)
        if missed is None:
            return
        if part == self._first_part and self._begins():
            self._first_tries = self._first_tries.after(good=not missed)
        if self.remedy is None or part != self.remedy.tries.part:
            return
        if not self.remedy.tries.results:
            before = self._parts_begun[1] if self._parts_begun[0] == day else 0
            self._parts_begun = (day, before + 1)
        tries = self.remedy.tries.after(good=not missed)
        if tries.is_over:
            self.traces = self.traces.halved(self.remedy.skill)
            self.remedy = None
            self.whole_since_part = 0
        else:
            self.remedy = PartRemedy(self.remedy.skill, tries)

    def _part_of(self, attempt: Attempt) -> str | None:
        exercise = self.course.exercise(attempt.exercise) if attempt.exercise else None
        return attempt.part or (exercise.part if exercise is not None else None)

    def _begins(self) -> bool:
        wanted = self.rule.begins_backwards and self._first_part in self._parts
        return wanted and not self.settings and not self._first_tries.is_over

    def has_room_for_a_part(self, day: date | None) -> bool:
        """Whether a part exercise may still be begun, or gone on with, on this day."""
        bound, begun = self.rule.an_evening, self.remedy and self.remedy.tries.results
        if bound is None or begun or day is None or self._parts_begun[0] != day:
            return True
        return self._parts_begun[1] < bound

    def _until_something_changes(self, ladder: Ladder) -> int:
        rows = [self.way.in_a_row(ladder, failed=failed) for failed in (False, True)]
        grade = self.grades[ladder.grade]
        to_go = good_to_go(grade.points, self.counters.so_far(grade.id))
        return min([row for row in (*rows, to_go) if row] + [A_STRETCH])
