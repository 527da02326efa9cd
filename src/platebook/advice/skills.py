"""A running count of trouble for each skill, fed by whole settings.

f keeps 85 % of itself at each whole setting and gains 15 % of how far the setting speaks against
the skill (`blame`). At no settings every f is 0.1. It is a guide to what to practise, not an
estimate of anything.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from platebook.advice.blame import SKILLS, Skill
from platebook.advice.rule import IN_USE, Rule


@dataclass(frozen=True, slots=True)
class SkillTraces:
    """The running trouble of every skill, in the order of `SKILLS`."""

    trouble: tuple[float, ...]

    @classmethod
    def at_first(cls, rule: Rule = IN_USE) -> "SkillTraces":
        """Before any setting."""
        return cls((rule.skill_start,) * len(SKILLS))

    def of(self, skill: Skill) -> float:
        """Running trouble of one skill."""
        return self.trouble[SKILLS.index(skill)]

    def share(self, skill: Skill) -> float:
        """One skill's share of all trouble."""
        total = sum(self.trouble)
        return self.of(skill) / total if total else 0.0

    def after(self, suspected: Mapping[Skill, float], rule: Rule = IN_USE) -> "SkillTraces":
        """The traces after a whole setting."""
        keep = 1 - rule.skill_gain
        pairs = zip(SKILLS, self.trouble, strict=True)
        return SkillTraces(tuple([keep * f + rule.skill_gain * suspected[s] for s, f in pairs]))

    def halved(self, skill: Skill) -> "SkillTraces":
        """The traces after a part exercise of the skill is over."""
        place = SKILLS.index(skill)
        trouble = (*self.trouble[:place], self.trouble[place] / 2, *self.trouble[place + 1 :])
        return replace(self, trouble=trouble)

    def weakest(self, rule: Rule = IN_USE) -> Skill | None:
        """The skill that stands out enough for a part exercise; the earlier step where two tie."""
        most = max(self.trouble)
        if most <= rule.trouble:
            return None
        worst = SKILLS[self.trouble.index(most)]
        return worst if self.share(worst) > rule.trouble_share else None
