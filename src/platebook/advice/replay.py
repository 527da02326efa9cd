"""A setter's log played again from the start, to know where the rule stands after it.

`Replay` is fed the log, and its `Offer` is what comes next, before its reasons (`reasons`). Nothing
of the rule's state is ever stored: it follows from the attempts, in their order.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final, Self

from platebook.advice.defect_skills import BLAMELESS, Skill, blame
from platebook.advice.exercise import Kind, Purpose
from platebook.advice.ladder import IN_USE, Ladder, LadderRule, SkillTraces
from platebook.analysis.grades.points import Counters
from platebook.analysis.grades.whole_settings import (
    Signed,
    WholeSetting,
    as_whole_settings,
    one_setter,
    signed,
)
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.course import Course, Grade, PartName
from platebook.practice.records import SignOff
from platebook.practice.results import failed

PART: Final = "part"
_FIRST_PARTS: Mapping[str | None, PartName] = {"own": "burnishing no stone"}
"""What a setter begins with, by who prepares seats for them: a prepared seat is burnished, and who
has only seats of their own burnishes empty ones, where no stone can be lost."""
_FIRST_PART: PartName = "burnishing"


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing to do at one grade, up to `repeat` times, and what it is for."""

    purpose: Purpose
    grade: str
    repeat: int
    kind: Kind = "whole"
    part: PartName | None = None

    @property
    def spares_the_ladder(self) -> bool:
        """Whether a setting done for this moves points alone, not the ladder or the traces."""
        return self.purpose in {"refresher", "proving"}


@dataclass(frozen=True, slots=True)
class Tries:
    """A part exercise under way: what was tried so far, True for a good one."""

    part: PartName
    results: tuple[bool, ...] = ()

    def after(self, *, good: bool) -> "Tries":
        """One more try."""
        return replace(self, results=(*self.results, good))

    @property
    def straight(self) -> int:
        """Good ones in a row at the end."""
        count = 0
        for good in reversed(self.results):
            if not good:
                break
            count += 1
        return count

    def is_over(self, rule: LadderRule) -> bool:
        """Whether it was got right often enough, or tried often enough."""
        done = len(self.results)
        if rule.row is None:
            return self.straight >= rule.straight or done >= rule.tries
        row = self.results[-rule.row :]
        full = done > 0 and done % rule.row == 0
        return full and (sum(row) >= rule.row_pass or done >= 2 * rule.row)

    def left(self, rule: LadderRule) -> int:
        """Tries left at most."""
        most = rule.tries if rule.row is None else 2 * rule.row
        return max(most - len(self.results), 0)


@dataclass(frozen=True, slots=True)
class PartRemedy:
    """The part exercise that a skill's trouble asked for."""

    skill: Skill
    tries: Tries


class Replay:
    """Feed it attempts in order with `log`, or a whole log at once with `of`; ask it with `offer`.

    A whole setting at another grade than the one worked at is the setter's own choice, and the
    work moves there, unless a refresher or a proving set was on offer at that grade. `pause` is the
    last pause in days that asked for a refresher. `signed` says which grades an instructor signed
    off, and when; where the course asks for that, the work moves no higher than the first grade
    that is not passed. `seats` says who prepares seats for the setter, as in their record.
    """

    def __init__(
        self,
        course: Course,
        rule: LadderRule = IN_USE,
        *,
        signed: Signed | None = None,
        seats: str | None = None,
    ) -> None:
        self.course = course
        self.grades = {grade.id: grade for grade in course.grades}
        self.rule = rule
        self.counters = Counters(course, signed)
        self.traces = SkillTraces.at_first(rule)
        self.track = course.tracks()[0]
        self.remedy: PartRemedy | None = None
        self.attempts: list[Attempt] = []
        self.settings: list[WholeSetting] = []
        self.last_day: date | None = None
        self.pause: int = 0
        self._begun: dict[str, Ladder] = {}
        self._to_be_signed = course.to_be_signed()
        self._parts = {e.part for e in course.exercises if e.kind == PART and e.part}
        self._first_part = _FIRST_PARTS.get(seats, _FIRST_PART)
        self._first_tries = Tries(self._first_part)
        self._refresh_left = 0
        self._whole_since_part = rule.whole_between
        self._parts_begun: tuple[date | None, int] = (None, 0)
        self._proving_done = 0
        self._own_since_proving = rule.proving_row
        self._here = self._ladder_of(self.track)

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
        ordered = in_order(attempts)
        one_setter(ordered)
        settings = as_whole_settings(course, ordered)
        counted = [setting for setting in settings if setting is not None]
        replay = cls(course, signed=signed(course, counted, sign_offs), seats=seats)
        for attempt, setting in zip(ordered, settings, strict=True):
            replay._take(attempt, setting)
        return replay

    def log(self, attempt: Attempt) -> None:
        """Take in one more attempt."""
        self._take(attempt, *as_whole_settings(self.course, (attempt,)))

    def ladder(self, track: str | None = None) -> Ladder:
        """The ladder of a track, by default the one last worked at."""
        return self._ladder_of(track) if track and track != self.track else self._here

    def ceiling(self, ladder: Ladder) -> int:
        """The highest place on a ladder that the work may move up to."""
        if self._to_be_signed:
            for place, grade in enumerate(ladder.grades):
                if grade in self._to_be_signed and not self.counters.is_passed(grade):
                    return place
        return len(ladder.grades) - 1

    def offer(self, day: date | None = None, track: str | None = None) -> Offer:
        """What comes next on this day."""
        ladder = self.ladder(track)
        if self._begins():
            left = self._first_tries.left(self.rule)
            return Offer("begin", ladder.grade, left, PART, self._first_part)
        refresh = self.rule.refresher if self._days_paused(day) else self._refresh_left
        if refresh:
            return Offer("refresher", ladder.easier or ladder.grade, refresh)
        if self.remedy is not None and self.has_room_for_a_part(day):
            tries = self.remedy.tries
            return Offer("remedial", ladder.grade, tries.left(self.rule), PART, tries.part)
        if (target := self._to_prove(ladder)) is not None:
            return Offer("proving", target, self.rule.proving_row - self._proving_done)
        if (opened := self._next_track(ladder)) is not None:
            return Offer("next track", opened, self.rule.proving_row)
        return Offer("settings", ladder.grade, self._until_something_changes(ladder))

    def _take(self, attempt: Attempt, setting: WholeSetting | None) -> None:
        """One more attempt, with the whole setting it counts as."""
        day = attempt.began.date() if attempt.began is not None else None
        if paused := self._days_paused(day):
            self.pause = paused
            self._refresh_left = self.rule.refresher
        if setting is not None:
            self._take_whole(setting, day)
        elif attempt.kind == PART:
            self._take_part(attempt, day)
        if self._refresh_left and attempt.result is not None:
            self._refresh_left -= 1
        self.last_day = day or self.last_day
        self.attempts.append(attempt)

    def _take_whole(self, setting: WholeSetting, day: date | None) -> None:
        grade = setting.grade
        # Taken before it is counted: what is signed off after this setting opens the next one.
        ladder = self._here if grade.track == self.track else self._ladder_of(grade.track)
        beside = self.offer(day) if grade.id != self._here.grade else None
        self.settings.append(setting)
        self.counters.count(grade.id, failed=setting.failed)
        if beside is not None and beside.spares_the_ladder and beside.grade == grade.id:
            self._count_proving(beside)
        else:
            self._own_since_proving += 1
            self._climb(ladder, grade, failed=setting.failed)
            self._see_to_remedy(setting)
        self._here = self._ladder_of(self.track)

    def _ladder_of(self, track: str) -> Ladder:
        """A track's ladder as it stands: a grade up where the one worked at was signed off."""
        begun = self._begun.get(track)
        if begun is not None:
            if not self._to_be_signed:
                return begun
            opened = begun.grade in self._to_be_signed and self.counters.is_passed(begun.grade)
            return begun.lifted(self.rule) if opened else begun
        grades = self.course.ladder(track) or tuple(
            g for g in self.course.grades if g.track == track
        )
        if not grades:
            raise ValueError(f"the course {self.course.id} has no track {track!r}")
        return Ladder(tuple(g.id for g in grades), success=self.rule.start)

    def _climb(self, ladder: Ladder, grade: Grade, *, failed: bool) -> None:
        self.track = grade.track
        if grade.id not in ladder.grades:
            return
        if grade.track not in self._begun:
            ladder = Ladder(
                ladder.grades, place=ladder.grades.index(grade.id), success=self.rule.start
            )
        elif grade.id != ladder.grade:
            ladder = ladder.moved_to(grade.id, self.rule)
        self._begun[grade.track] = ladder.after(
            failed=failed, rule=self.rule, ceiling=self.ceiling(ladder)
        )

    def _count_proving(self, offered: Offer) -> None:
        if offered.purpose != "proving":
            return
        self._proving_done += 1
        if self._proving_done == self.rule.proving_row:
            self._proving_done = self._own_since_proving = 0

    def _see_to_remedy(self, setting: WholeSetting) -> None:
        suspected = BLAMELESS
        if setting.failed:
            suspected = blame(setting.attempt, failure_from=self.course.failure_from)
        self.traces = self.traces.after(suspected, self.rule)
        self._whole_since_part += 1
        weakest = self.traces.weakest(self.rule)
        if self.remedy is not None and weakest != self.remedy.skill:
            self.remedy = None
        due = self.remedy is None and self._whole_since_part >= self.rule.whole_between
        if due and weakest is not None and weakest in self._parts:
            self.remedy = PartRemedy(weakest, Tries(weakest))

    def _take_part(self, attempt: Attempt, day: date | None) -> None:
        part, missed = self._part_of(attempt), failed(attempt)
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
        if tries.is_over(self.rule):
            self.traces = self.traces.halved(self.remedy.skill)
            self.remedy = None
            self._whole_since_part = 0
        else:
            self.remedy = PartRemedy(self.remedy.skill, tries)

    def _part_of(self, attempt: Attempt) -> str | None:
        exercise = self.course.exercise(attempt.exercise) if attempt.exercise else None
        return attempt.part or (exercise.part if exercise is not None else None)

    def _begins(self) -> bool:
        wanted = self.rule.begins_backwards and self._first_part in self._parts
        return wanted and not self.settings and not self._first_tries.is_over(self.rule)

    def _days_paused(self, day: date | None) -> int:
        """Days without practice before this day, 0 where they ask for no refresher."""
        if day is None or self.last_day is None:
            return 0
        days = (day - self.last_day).days
        return days if days > self.rule.pause_days else 0

    def has_room_for_a_part(self, day: date | None) -> bool:
        """Whether a part exercise may still be begun, or gone on with, on this day."""
        bound, begun = self.rule.parts_an_evening, self.remedy and self.remedy.tries.results
        if bound is None or begun or day is None or self._parts_begun[0] != day:
            return True
        return self._parts_begun[1] < bound

    def _to_prove(self, ladder: Ladder) -> str | None:
        if ladder.success <= self.rule.proving or self._own_since_proving < self.rule.proving_row:
            return None
        for easier in self.counters.easier[ladder.grade]:
            if not self.counters.has_points(easier):
                return easier
        return None

    def _next_track(self, ladder: Ladder) -> str | None:
        for grade in ladder.grades:
            if not self.counters.is_passed(grade):
                return None
        for track in self.course.tracks():
            to_do = (g for g in self.course.ladder(track) if not self.counters.is_passed(g.id))
            first = next(to_do, None)
            if first and (first.after is None or self.counters.is_passed(first.after)):
                return first.id
        return None

    def _until_something_changes(self, ladder: Ladder) -> int:
        top = self.ceiling(ladder)
        rows = [ladder.in_a_row(failed=f, rule=self.rule, ceiling=top) for f in (False, True)]
        return min([row for row in rows if row is not None] + [self.rule.proving_row])
