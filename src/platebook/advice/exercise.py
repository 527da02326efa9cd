"""One exercise to do next: what is offered, and the plain value that is kept, shown and printed."""

from dataclasses import dataclass, replace
from typing import Literal

from pydantic import BaseModel, ConfigDict

from platebook.advice.balanced_blocks import BlockPlan
from platebook.advice.defect_skills import Skill
from platebook.advice.ladder import LadderRule
from platebook.practice.course import PartName

Purpose = Literal["begin", "refresher", "remedial", "proving", "next track", "settings", "block"]
Kind = Literal["whole", "part", "block"]


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


class _Value(BaseModel):
    """Base of the values here: frozen, and no key that nobody reads."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class NextExercise(_Value):
    """One exercise to do, up to `repeat` times, with its reasons.

    `exercise` is the course's id for it, None where the course has no exercise of that kind.
    `success` is the ladder's running success and `trouble` the skills' running trouble. `block` is
    the plan where a block was asked for. `readings_asked` says whether the next attempt's readings
    are asked.
    """

    course: str
    course_version: int
    grade: str
    grade_title: str
    exercise: str | None
    title: str
    task: str
    criterion: str
    kind: Kind
    part: PartName | None
    repeat: int
    purpose: Purpose
    why: tuple[str, ...]
    changes: tuple[str, ...]
    readings_asked: bool
    success: float
    trouble: dict[str, float]
    block: BlockPlan | None = None
