"""The way up a track: the grade the work is at, and the short row an evening begins with.

| name | is |
|---|---|
| `WayRule` | the constants of the way up; what they were measured on is in docs/methods |
| `Ladder` | one track's grades, the place of the work and its running success |
| `Opening` | the short row of an evening: which grade, what for, how many are left |
| `WayUp` | one setter's log played again: fed attempt by attempt, asked where the work is |

A grade opens when the one before is passed, and the work is at the first grade of a track that is
not passed. Setter and teacher may choose otherwise, by setting at another grade: the work is there
then, and s says when it goes back or on. s keeps 80 % of itself at each whole setting of the work
and gains 20 % if it was good; below `down` the work goes back to an easier grade that is to be
passed, above `up` on to a harder one that is open. It is an estimate of nothing.

An evening begins with a short row at another grade where there is reason for one: a re-test of a
passed grade that was not set for some weeks, a refresher after a pause, or, where the work is ahead
by choice, the easier grade that is still to be passed. What is set in that row moves points, never
the work.

Nothing of this is stored: it follows from the attempts, in their order. At 0 attempts the work is
at the first grade.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Literal, Self

from platebook.analysis.grades.points import Counters
from platebook.analysis.grades.whole_settings import Signed, WholeSetting, log_to_play
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Grade
from platebook.practice.reading.doubts import moved_by_stone
from platebook.practice.records import SignOff
from platebook.values import Value, field, replace

OpeningPurpose = Literal["re-test", "refresher", "proving"]


class WayRule(Value):
    """Constants of the way up.

    The running success starts at `start`, keeps 1 - `gain` of itself at each whole setting, and
    moves the work on above `up` or back below `down`; it then stands at `moved`. The work is let at
    most `ahead` grades beyond the first that is not passed, without a choice.

    `row` is the length of an evening's short row. A passed grade is tested again `retest_days`
    after it was last set, the first, second and any later time; after the first of them where its
    watch is not at rest. Re-tests take at most `retest_share` of all settings. A pause of more than
    `pause_days` asks for `refresher` settings first.
    """

    start: float = 0.525
    gain: float = 0.20
    up: float = 0.65
    down: float = 0.15
    moved: float = 0.475
    ahead: int = 0

    row: int = 2
    retest_days: tuple[int, ...] = (14, 35, 84)
    retest_share: float = 0.12
    pause_days: int = 14
    refresher: int = 2


WAY_IN_USE = WayRule()
"""The way up in use."""


class Ladder(Value):
    """One track's grades, easiest first, the place of the work and the running success there.

    `kept` holds the running success of grades the setter left by choice, for the way back.
    """

    grades: tuple[str, ...]
    place: int = 0
    success: float = WAY_IN_USE.start
    kept: Mapping[str, float] = field(default_factory=dict)

    @property
    def grade(self) -> str:
        """The grade the work is at."""
        return self.grades[self.place]

    @property
    def easier(self) -> str | None:
        """The grade below, or None at the lower end."""
        return self.grades[self.place - 1] if self.place else None

    def after(self, *, failed: bool, rule: WayRule = WAY_IN_USE) -> "Ladder":
        """The ladder with the running success after one more whole setting of the work."""
        success = (1 - rule.gain) * self.success + (0.0 if failed else rule.gain)
        return replace(self, success=success)

    def at(self, place: int, rule: WayRule = WAY_IN_USE) -> "Ladder":
        """The ladder after the work moved to this place."""
        return self if place == self.place else replace(self, place=place, success=rule.moved)

    def moved_to(self, grade: str, rule: WayRule = WAY_IN_USE) -> "Ladder":
        """The ladder after the setter chose another grade of the track."""
        kept = {**self.kept, self.grade: self.success}
        success = kept.get(grade, rule.moved)
        return replace(self, place=self.grades.index(grade), success=success, kept=kept)


class Opening(Value):
    """The short row an evening begins with: what for, at which grade, and how many are left."""

    purpose: OpeningPurpose
    grade: str
    left: int


class WayUp:
    """Feed it every attempt in order with `take`, or a whole log at once with `of`.

    A whole setting at another grade than the work's is the setter's own choice, and the work moves
    there; but for the row an evening begins with, for a passed grade, whose watch it feeds, and for
    an odd stone that was meant for the grade worked at and counts at its own.
    `signed` says which grades an instructor signed off, and when; where the course asks for that,
    the work moves no higher than the first grade that is not signed. `pause` is the last pause in
    days that asked for a refresher.
    """

    def __init__(
        self, course: Course, rule: WayRule = WAY_IN_USE, *, signed: Signed | None = None
    ) -> None:
        self.course = course
        self.rule = rule
        self.counters = Counters(course, signed)
        self.track = course.tracks()[0]
        self.settings: list[WholeSetting] = []
        self.last_day: date | None = None
        self.pause: int = 0
        self._begun: dict[str, Ladder] = {}
        self._to_be_signed = course.to_be_signed()
        self._opening: Opening | None = None
        self._evening: date | None = None
        self._set_at: dict[str, date] = {}
        self._retests: dict[str, int] = {}
        self._retest_settings = 0

    @classmethod
    def of(
        cls, course: Course, attempts: Iterable[Attempt], sign_offs: Iterable[SignOff] = ()
    ) -> Self:
        """One setter's whole log under the rule in use, put in order.

        Raises ValueError where the attempts are of several setters.
        """
        marks, log = log_to_play(course, attempts, sign_offs)
        way = cls(course, signed=marks)
        for attempt, setting in log:
            way.take(attempt, setting)
        return way

    def take(self, attempt: Attempt, setting: WholeSetting | None) -> bool:
        """Take in one more attempt; whether it was a setting of the work, moving it or not."""
        day = attempt.began.date() if attempt.began is not None else None
        if day is not None and day != self._evening:
            self._opening = self.opening(day)
            self._evening = day
            self.pause = self._days_paused(day) or self.pause
        of_the_work = setting is not None and self._take_whole(setting, day)
        self.last_day = day or self.last_day
        return of_the_work

    def ladder(self, track: str | None = None) -> Ladder:
        """The ladder of a track, by default the one last worked at, as it stands now."""
        wanted = track or self.track
        begun = self._begun.get(wanted)
        if begun is None:
            grades = self._grades(wanted)
            begun = Ladder(tuple(g.id for g in grades), success=self.rule.start)
        return begun.at(self._place(begun), self.rule)

    def _grades(self, track: str) -> tuple[Grade, ...]:
        grades = self.course.ladder(track) or tuple(
            g for g in self.course.grades if g.track == track
        )
        if not grades:
            raise ValueError(f"the course {self.course.id} has no track {track!r}")
        return grades

    def to_pass(self, ladder: Ladder) -> Sequence[int]:
        """Places of the grades that are not passed, easiest first."""
        return self.counters.unpassed(ladder.grades)

    def ceiling(self, ladder: Ladder) -> int:
        """The highest place on a ladder that the work moves up to."""
        grades, to_pass = ladder.grades, self.to_pass(ladder)
        if not to_pass:
            return len(grades) - 1
        for place in to_pass[: self.rule.ahead + 1]:
            if grades[place] in self._to_be_signed:
                return place
        return to_pass[: self.rule.ahead + 1][-1]

    def is_held_for_sign_off(self, ladder: Ladder) -> bool:
        """Whether the work may not move up because a grade is not signed off."""
        top = self.ceiling(ladder)
        signs = ladder.grades[top] in self._to_be_signed
        return signs and ladder.place >= top and top + 1 < len(ladder.grades)

    def on_from(self, ladder: Ladder) -> str | None:
        """The next harder grade that the work may move up to; None where there is none."""
        top = self.ceiling(ladder)
        harder = (p for p in self.to_pass(ladder) if ladder.place < p <= top)
        return next((ladder.grades[p] for p in harder), None)

    def back_from(self, ladder: Ladder) -> str | None:
        """The next easier grade that the work may move back to; None where there is none."""
        easier = [p for p in self.to_pass(ladder) if p < ladder.place]
        return ladder.grades[easier[-1]] if easier else None

    def _place(self, ladder: Ladder) -> int:
        """Where the work is: never at a passed grade while another one is to be passed."""
        to_pass = self.to_pass(ladder)
        if not to_pass:
            return ladder.place
        top = self.ceiling(ladder)
        above = [p for p in to_pass if ladder.place < p <= top]
        below = [p for p in to_pass if p < ladder.place]
        if ladder.place not in to_pass:
            return above[0] if above else below[-1] if below else ladder.place
        if ladder.success > self.rule.up and above:
            return above[0]
        return below[-1] if ladder.success < self.rule.down and below else ladder.place

    def in_a_row(self, ladder: Ladder, *, failed: bool, at_most: int = 20) -> int | None:
        """How many settings in a row, all good or all failed, move the work; None if none do."""
        after = ladder
        for count in range(1, at_most + 1):
            after = after.after(failed=failed, rule=self.rule)
            if self._place(after) != ladder.place:
                return count
        return None

    def opening(self, day: date | None) -> Opening | None:
        """The row this evening begins with, as far as it is not done; None for none."""
        if day is None or day == self._evening:
            return self._opening
        ladder = self.ladder()
        if self._retest_settings + self.rule.row <= self.rule.retest_share * len(self.settings):
            due = [
                (last, grade) for grade, last in self._set_at.items() if self._is_due(grade, day)
            ]
            due = [(last, grade) for last, grade in due if grade != ladder.grade]
            if due:
                return Opening("re-test", min(due)[1], self.rule.row)
        easier = reversed(ladder.grades[: ladder.place])
        to_prove = next((g for g in easier if not self.counters.has_points(g)), None)
        if self._days_paused(day):
            grade = to_prove or ladder.easier or ladder.grade
            return Opening("refresher", grade, self.rule.refresher)
        return Opening("proving", to_prove, self.rule.row) if to_prove and self.rule.row else None

    def _is_due(self, grade: str, day: date) -> bool:
        """Whether a grade is passed and was not set for so long that it is tested again."""
        if not self.counters.is_passed(grade):
            return False
        days = self.rule.retest_days
        disturbed = self.counters.watch(grade) > 0
        place = 0 if disturbed else min(self._retests.get(grade, 0), len(days) - 1)
        return (day - self._set_at[grade]).days >= days[place]

    def days_unset(self, grade: str, day: date | None) -> int:
        """Days since a grade was last set; 0 where it was not, or where no day is known."""
        last = self._set_at.get(grade)
        return (day - last).days if day is not None and last is not None else 0

    def _days_paused(self, day: date | None) -> int:
        """Days without practice before this day, 0 where they ask for no refresher."""
        if day is None or self.last_day is None:
            return 0
        days = (day - self.last_day).days
        return days if days > self.rule.pause_days else 0

    def _take_whole(self, setting: WholeSetting, day: date | None) -> bool:
        grade = setting.grade.id
        # Taken before it is counted: what is signed off after this setting opens the next one.
        here, track = self.ladder(), setting.grade.track
        there = here if track == self.track else self.ladder(track)
        was_passed = self.counters.is_passed(grade)
        self.settings.append(setting)
        self.counters.count(grade, failed=setting.failed)
        if day is not None:
            self._note_day(grade, day, was_passed=was_passed)
        in_row = self._opening is not None and self._opening.grade == grade
        if self._opening is not None:
            left = self._opening.left - 1
            self._opening = replace(self._opening, left=left) if in_row and left else None
        beside = in_row or was_passed or moved_by_stone(setting.attempt)
        if grade != here.grade and beside:
            return False
        self._work(there, setting)
        return True

    def _note_day(self, grade: str, day: date, *, was_passed: bool) -> None:
        opening = self._opening
        if opening is not None and opening.purpose == "re-test" and opening.grade == grade:
            self._retest_settings += 1
            if opening.left == self.rule.row:
                self._retests[grade] = self._retests.get(grade, 0) + 1
        if not was_passed:
            self._retests.pop(grade, None)
        self._set_at[grade] = day
        for easier in self.counters.easier[grade]:
            if self.counters.is_passed(easier):
                self._set_at.setdefault(easier, day)

    def _work(self, ladder: Ladder, setting: WholeSetting) -> None:
        """One more setting of the work on this ladder."""
        grade = setting.grade
        self.track = grade.track
        if grade.id not in ladder.grades:
            return
        if grade.track not in self._begun:
            ladder = Ladder(ladder.grades, ladder.grades.index(grade.id), self.rule.start)
        elif grade.id != ladder.grade:
            ladder = ladder.moved_to(grade.id, self.rule)
        self._begun[grade.track] = self._settled(
            ladder.after(failed=setting.failed, rule=self.rule)
        )

    def _settled(self, ladder: Ladder) -> Ladder:
        return ladder.at(self._place(ladder), self.rule)

    def next_track(self, ladder: Ladder) -> str | None:
        """The first open grade of another track, once all grades of this one are passed."""
        if self.to_pass(ladder):
            return None
        for track in self.course.tracks():
            to_do = (g for g in self.course.ladder(track) if not self.counters.is_passed(g.id))
            first = next(to_do, None)
            if first and (first.after is None or self.counters.is_passed(first.after)):
                return first.id
        return None

    def practised(self) -> frozenset[str]:
        """The grades the work is at: one of each track begun, or of the one to begin next."""
        begun = {*self._begun, self.track} if self.settings else {self.track}
        grades = {self.ladder(track).grade for track in begun}
        opened = self.next_track(self.ladder())
        return frozenset(grades | ({opened} if opened else set()))
