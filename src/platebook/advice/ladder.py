"""The ladder a setter works on: the rule's constants, the grade worked at, trouble by skill.

What they were measured on is in docs/methods/next-exercise.md; `bench/learners.py` runs the rule
and its variants on simulated learners.

s keeps 80 % of itself at each whole setting at the working grade and gains 20 % if it was good.
Above 0.55 the work moves a grade up, below 0.12 a grade down, and s stands at 0.40 again: two good
ones in a row move up, six failures in a row down. At either end of the track s runs on,
and so it does under a ceiling. It settles at the hardest grade at which a setter still gets some
right, and seldom gives a grade up.

f keeps 85 % of itself at each whole setting and gains 15 % of how far the setting speaks against
the skill (`blame`). At no settings every f is 0.1. It is a guide to what to practise, not an
estimate of anything.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from platebook.advice.defect_skills import SKILLS, Skill


@dataclass(frozen=True, slots=True)
class LadderRule:
    """Constants of the ladder, of the skill traces and of what comes between.

    The ladder's running success s starts at `start`, keeps 1 - `gain` of itself at each whole
    setting, and moves a grade up above `up` or down below `down`; it then stands at `moved`.

    A skill's running trouble f starts at `skill_start` and keeps 1 - `skill_gain`. Its part
    exercise comes when f is above `trouble` and above `trouble_share` of all f together, until
    `straight` good ones in a row or `tries`; f is then halved and `whole_between` whole settings
    follow. With a `row` the part exercise goes by rows instead: until `row_pass` good ones in a
    row of that length, or two rows. `parts_an_evening` of None sets no bound.

    `begins_backwards` puts burnishing prepared seats before the first whole setting.

    A pause of more than `pause_days` asks for `refresher` settings first. Above `proving`, with an
    easier grade not passed, a set of `proving_row` is offered there, and as many at the own grade
    come between two sets.
    """

    start: float = 0.40
    gain: float = 0.20
    up: float = 0.55
    down: float = 0.12
    moved: float = 0.40

    skill_start: float = 0.10
    skill_gain: float = 0.15
    trouble: float = 0.45
    trouble_share: float = 0.45
    straight: int = 2
    tries: int = 4
    whole_between: int = 3
    row: int | None = None
    row_pass: int = 4
    parts_an_evening: int | None = 1
    begins_backwards: bool = True

    pause_days: int = 14
    refresher: int = 2
    proving: float = 0.80
    proving_row: int = 5


IN_USE = LadderRule()
"""The rule in use."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """One track's grades, easiest first, the place worked at and the running success there.

    `kept` holds the running success of grades the setter left by choice, for the way back.
    """

    grades: tuple[str, ...]
    place: int = 0
    success: float = IN_USE.start
    kept: Mapping[str, float] = field(default_factory=dict)

    @property
    def grade(self) -> str:
        """The grade worked at."""
        return self.grades[self.place]

    @property
    def easier(self) -> str | None:
        """The grade below, or None at the lower end."""
        return self.grades[self.place - 1] if self.place else None

    @property
    def harder(self) -> str | None:
        """The grade above, or None at the upper end."""
        return self.grades[self.place + 1] if self.place + 1 < len(self.grades) else None

    def after(
        self, *, failed: bool, rule: LadderRule = IN_USE, ceiling: int | None = None
    ) -> "Ladder":
        """The ladder after a whole setting at the working grade.

        The work moves no higher than the place `ceiling`; None for the end of the track.
        """
        success = (1 - rule.gain) * self.success + (0.0 if failed else rule.gain)
        by = self._moves_by(success, rule, ceiling)
        return replace(self, place=self.place + by, success=rule.moved if by else success)

    def _moves_by(self, success: float, rule: LadderRule, ceiling: int | None) -> int:
        """How many places the work moves at this running success: 1 up, -1 down or 0."""
        last = len(self.grades) - 1
        if success > rule.up and self.place < (last if ceiling is None else min(ceiling, last)):
            return 1
        return -1 if success < rule.down and self.place else 0

    def moved_to(self, grade: str, rule: LadderRule = IN_USE) -> "Ladder":
        """The ladder after the setter chose another grade of the track."""
        kept = {**self.kept, self.grade: self.success}
        success = kept.get(grade, rule.moved)
        return replace(self, place=self.grades.index(grade), success=success, kept=kept)

    def lifted(self, rule: LadderRule = IN_USE) -> "Ladder":
        """The ladder where a ceiling has gone: a grade up where success was enough already."""
        if self.success <= rule.up or self.harder is None:
            return self
        return replace(self, place=self.place + 1, success=rule.moved)

    def in_a_row(
        self,
        *,
        failed: bool,
        rule: LadderRule = IN_USE,
        at_most: int = 20,
        ceiling: int | None = None,
    ) -> int | None:
        """How many settings in a row, all good or all failed, move a grade; None if none do."""
        success = self.success
        for count in range(1, at_most + 1):
            success = (1 - rule.gain) * success + (0.0 if failed else rule.gain)
            if self._moves_by(success, rule, ceiling):
                return count
        return None


@dataclass(frozen=True, slots=True)
class SkillTraces:
    """The running trouble of every skill, in the order of `SKILLS`."""

    trouble: tuple[float, ...]

    @classmethod
    def at_first(cls, rule: LadderRule = IN_USE) -> "SkillTraces":
        """Before any setting."""
        return cls((rule.skill_start,) * len(SKILLS))

    def of(self, skill: Skill) -> float:
        """Running trouble of one skill."""
        return self.trouble[SKILLS.index(skill)]

    def share(self, skill: Skill) -> float:
        """One skill's share of all trouble."""
        total = sum(self.trouble)
        return self.of(skill) / total if total else 0.0

    def after(self, suspected: Mapping[Skill, float], rule: LadderRule = IN_USE) -> "SkillTraces":
        """The traces after a whole setting."""
        keep = 1 - rule.skill_gain
        pairs = zip(SKILLS, self.trouble, strict=True)
        return SkillTraces(tuple([keep * f + rule.skill_gain * suspected[s] for s, f in pairs]))

    def halved(self, skill: Skill) -> "SkillTraces":
        """The traces after a part exercise of the skill is over."""
        place = SKILLS.index(skill)
        trouble = (*self.trouble[:place], self.trouble[place] / 2, *self.trouble[place + 1 :])
        return replace(self, trouble=trouble)

    def weakest(self, rule: LadderRule = IN_USE) -> Skill | None:
        """The skill that stands out enough for a part exercise; the earlier step where two tie."""
        most = max(self.trouble)
        if most <= rule.trouble:
            return None
        worst = SKILLS[self.trouble.index(most)]
        return worst if self.share(worst) > rule.trouble_share else None
