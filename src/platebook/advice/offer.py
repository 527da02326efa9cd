"""What is offered next, as plain values, before it is put into words."""

from dataclasses import dataclass, replace
from typing import Literal

from platebook.advice.blame import Skill
from platebook.advice.rule import Rule
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

    def is_over(self, rule: Rule) -> bool:
        """Whether it was got right often enough, or tried often enough."""
        done = len(self.results)
        if rule.row is None:
            return self.straight >= rule.straight or done >= rule.tries
        row = self.results[-rule.row :]
        full = done > 0 and done % rule.row == 0
        return full and (sum(row) >= rule.row_pass or done >= 2 * rule.row)

    def left(self, rule: Rule) -> int:
        """Tries left at most."""
        most = rule.tries if rule.row is None else 2 * rule.row
        return max(most - len(self.results), 0)


@dataclass(frozen=True, slots=True)
class Remedy:
    """The part exercise that a skill's trouble asked for."""

    skill: Skill
    tries: Tries
