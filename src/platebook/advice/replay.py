"""A setter's log played again from the start, to know where the rule stands after it.

Nothing of the rule's state is ever stored: it follows from the attempts, in their order.
"""

from datetime import date
from typing import Final

from platebook.advice.blame import blame
from platebook.advice.ladder import Ladder
from platebook.advice.offer import Offer, Remedy, Tries
from platebook.advice.rule import IN_USE, Rule
from platebook.advice.skills import SkillTraces
from platebook.analysis.points import Counters
from platebook.analysis.signing import Signed
from platebook.analysis.whole_settings import WHOLE, WholeSetting, has_failed, kind_of
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course, Grade, PartName
from platebook.practice.look import failed

PART: Final = "part"
_FIRST_PART: PartName = "burnishing"


class Replay:
    """Feed it attempts in order with `log`; ask it at any time with `offer`.

    A whole setting at another grade than the one worked at is the setter's own choice, and the
    work moves there, unless a refresher or a proving set was on offer at that grade. `pause` is the
    last pause in days that asked for a refresher. `signed` says which grades an instructor signed
    off, and when; where the course asks for that, the work moves no higher than the first grade
    that is not passed.
    """

    def __init__(
        self, course: Course, rule: Rule = IN_USE, *, signed: Signed | None = None
    ) -> None:
        self.course = course
        self.rule = rule
        self.counters = Counters(course, signed)
        self.traces = SkillTraces.at_first(rule)
        self.track = course.tracks()[0]
        self.remedy: Remedy | None = None
        self.settings: list[WholeSetting] = []
        self.last_day: date | None = None
        self.pause: int = 0
        self._ladders: dict[str, Ladder] = {}
        self._parts = {e.part for e in course.exercises if e.kind == PART and e.part}
        self._first_tries = Tries(_FIRST_PART)
        self._refresh_left = 0
        self._whole_since_part = rule.whole_between
        self._parts_begun: tuple[date | None, int] = (None, 0)
        self._proving_done = 0
        self._own_since_proving = rule.proving_row

    def ladder(self, track: str | None = None) -> Ladder:
        """The ladder of a track, by default the one last worked at."""
        wanted = track or self.track
        found = self._ladders.get(wanted)
        if found is not None:
            opened = self.course.asks_sign_off(found.grade) and self.counters.is_passed(found.grade)
            return found.lifted(self.rule) if opened else found
        grades = self.course.ladder(wanted) or tuple(
            g for g in self.course.grades if g.track == wanted
        )
        if not grades:
            raise ValueError(f"the course {self.course.id} has no track {wanted!r}")
        return Ladder(tuple(g.id for g in grades), success=self.rule.start)

    def ceiling(self, ladder: Ladder) -> int:
        """The highest place on a ladder that the work may move up to."""
        for place, grade in enumerate(ladder.grades):
            if self.course.asks_sign_off(grade) and not self.counters.is_passed(grade):
                return place
        return len(ladder.grades) - 1

    def offer(self, day: date | None = None, track: str | None = None) -> Offer:
        """What comes next on this day."""
        ladder = self.ladder(track)
        if self._begins():
            left = self._first_tries.left(self.rule)
            return Offer("begin", ladder.grade, left, PART, _FIRST_PART)
        refresh = self.rule.refresher if self._paused(day) else self._refresh_left
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

    def log(self, attempt: Attempt) -> None:
        """Take in one more attempt."""
        day = attempt.began.date() if attempt.began is not None else None
        if day is not None and self.last_day is not None and self._paused(day):
            self.pause = (day - self.last_day).days
            self._refresh_left = self.rule.refresher
        offered = self.offer(day)
        kind = kind_of(attempt)
        if kind == PART:
            self._log_part(attempt, day)
        elif kind == WHOLE:
            self._log_whole(attempt, offered)
        if self._refresh_left and attempt.result is not None:
            self._refresh_left -= 1
        self.last_day = day or self.last_day

    def _log_whole(self, attempt: Attempt, offered: Offer) -> None:
        grade = self.course.grade(attempt.grade) if attempt.grade else None
        outcome = has_failed(attempt, self.course, grade) if grade is not None else None
        if grade is None or outcome is None:
            return
        # Taken before it is counted: what is signed off after this setting opens the next one.
        ladder, here = self.ladder(grade.track), self.ladder().grade
        self.settings.append(WholeSetting(attempt, grade, outcome))
        self.counters.count(grade.id, failed=outcome)
        if offered.spares_the_ladder and grade.id == offered.grade != here:
            self._log_proving(offered)
            return
        self._own_since_proving += 1
        self._climb(ladder, grade, failed=outcome)
        suspected = blame(attempt, failure_from=self.course.failure_from)
        self.traces = self.traces.after(suspected, self.rule)
        self._whole_since_part += 1
        self._see_to_remedy()

    def _climb(self, ladder: Ladder, grade: Grade, *, failed: bool) -> None:
        self.track = grade.track
        if grade.id not in ladder.grades:
            return
        if grade.track not in self._ladders:
            ladder = Ladder(
                ladder.grades, place=ladder.grades.index(grade.id), success=self.rule.start
            )
        elif grade.id != ladder.grade:
            ladder = ladder.moved_to(grade.id, self.rule)
        self._ladders[grade.track] = ladder.after(
            failed=failed, rule=self.rule, ceiling=self.ceiling(ladder)
        )

    def _log_proving(self, offered: Offer) -> None:
        if offered.purpose != "proving":
            return
        self._proving_done += 1
        if self._proving_done == self.rule.proving_row:
            self._proving_done = self._own_since_proving = 0

    def _see_to_remedy(self) -> None:
        weakest = self.traces.weakest(self.rule)
        if self.remedy is not None and weakest != self.remedy.skill:
            self.remedy = None
        due = self.remedy is None and self._whole_since_part >= self.rule.whole_between
        if due and weakest is not None and weakest in self._parts:
            self.remedy = Remedy(weakest, Tries(weakest))

    def _log_part(self, attempt: Attempt, day: date | None) -> None:
        part, missed = self._part_of(attempt), failed(attempt)
        if missed is None:
            return
        if part == _FIRST_PART and self._begins():
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
            self.remedy = Remedy(self.remedy.skill, tries)

    def _part_of(self, attempt: Attempt) -> str | None:
        exercise = self.course.exercise(attempt.exercise) if attempt.exercise else None
        return attempt.part or (exercise.part if exercise is not None else None)

    def _begins(self) -> bool:
        wanted = self.rule.begins_backwards and _FIRST_PART in self._parts
        return wanted and not self.settings and not self._first_tries.is_over(self.rule)

    def _paused(self, day: date | None) -> bool:
        if day is None or self.last_day is None:
            return False
        return (day - self.last_day).days > self.rule.pause_days

    def has_room_for_a_part(self, day: date | None) -> bool:
        """Whether a part exercise may still be begun, or gone on with, on this day."""
        bound, begun = self.rule.parts_an_evening, self.remedy and self.remedy.tries.results
        if bound is None or begun or day is None or self._parts_begun[0] != day:
            return True
        return self._parts_begun[1] < bound

    def _to_prove(self, ladder: Ladder) -> str | None:
        if ladder.success <= self.rule.proving or self._own_since_proving < self.rule.proving_row:
            return None
        easier = (g.id for g in self.course.easier(ladder.grade))
        has_its_points = (self.counters.is_passed, self.counters.waits)
        return next((g for g in easier if not any(has(g) for has in has_its_points)), None)

    def _next_track(self, ladder: Ladder) -> str | None:
        if not all(self.counters.is_passed(g) for g in ladder.grades):
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
