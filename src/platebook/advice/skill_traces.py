"""Trouble by skill, and when it brings a part exercise: the rule's constants.

What they were measured on is in docs/methods/next-exercise.md; `bench/learners.py` runs the rule
and its variants on simulated learners.

f keeps 85 % of itself at each whole setting and gains 15 % of how far the setting speaks against
the skill (`blame`). At no settings every f is 0.1. It is a guide to what to practise, not an
estimate of anything, and is never shown as one.
"""

from collections.abc import Mapping

from platebook.advice.defect_skills import SKILLS, Skill
from platebook.values import Value, replace


class PartRule(Value):
    """Constants of the skill traces and of part exercises.

    A skill's running trouble f starts at `start` and keeps 1 - `gain`. Its part exercise comes when
    f is above `trouble` and above `share` of all f together. It is one row of `row` tries, over as
    soon as `pass_at` are good; f is then halved and `whole_between` whole settings follow. What a
    course says about the rows of an exercise goes before `row` and `pass_at`. `an_evening` of None
    sets no bound on how many are begun.
    `begins_backwards` puts burnishing prepared seats before the first whole setting.
    """

    start: float = 0.10
    gain: float = 0.15
    trouble: float = 0.45
    share: float = 0.45
    row: int = 4
    pass_at: int = 2
    whole_between: int = 3
    an_evening: int | None = 2
    begins_backwards: bool = True


PARTS_IN_USE = PartRule()
"""The rule in use."""


class SkillTraces(Value):
    """The running trouble of every skill, in the order of `SKILLS`."""

    trouble: tuple[float, ...]

    @classmethod
    def at_first(cls, rule: PartRule = PARTS_IN_USE) -> "SkillTraces":
        """Before any setting."""
        return cls((rule.start,) * len(SKILLS))

    def of(self, skill: Skill) -> float:
        """Running trouble of one skill."""
        return self.trouble[SKILLS.index(skill)]

    def share(self, skill: Skill) -> float:
        """One skill's share of all trouble."""
        total = sum(self.trouble)
        return self.of(skill) / total if total else 0.0

    def after(
        self, suspected: Mapping[Skill, float], rule: PartRule = PARTS_IN_USE
    ) -> "SkillTraces":
        """The traces after a whole setting."""
        keep = 1 - rule.gain
        pairs = zip(SKILLS, self.trouble, strict=True)
        return SkillTraces(tuple([keep * f + rule.gain * suspected[s] for s, f in pairs]))

    def halved(self, skill: Skill) -> "SkillTraces":
        """The traces after a part exercise of the skill is over."""
        place = SKILLS.index(skill)
        trouble = (*self.trouble[:place], self.trouble[place] / 2, *self.trouble[place + 1 :])
        return replace(self, trouble=trouble)

    def weakest(self, rule: PartRule = PARTS_IN_USE) -> Skill | None:
        """The skill that stands out enough for a part exercise; the earlier step where two tie."""
        most = max(self.trouble)
        if most <= rule.trouble:
            return None
        worst = SKILLS[self.trouble.index(most)]
        return worst if self.share(worst) > rule.share else None
