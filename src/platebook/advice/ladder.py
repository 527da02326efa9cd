"""The ladder: which grade of a track is worked at, moved by a running success.

s keeps 80 % of itself at each whole setting at the working grade and gains 20 % if it was good.
Above 0.55 the work moves a grade up, below 0.12 a grade down, and s stands at 0.40 again: two good
ones in a row move up, six failures in a row down. At either end of the track s runs on,
and so it does under a ceiling. It settles at the hardest grade at which a setter still gets some
right, and seldom gives a grade up.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from platebook.advice.rule import IN_USE, Rule


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

    def after(self, *, failed: bool, rule: Rule = IN_USE, ceiling: int | None = None) -> "Ladder":
        """The ladder after a whole setting at the working grade.

        The work moves no higher than the place `ceiling`; None for the end of the track.
        """
        success = (1 - rule.gain) * self.success + (0.0 if failed else rule.gain)
        by = self._moves_by(success, rule, ceiling)
        return replace(self, place=self.place + by, success=rule.moved if by else success)

    def _moves_by(self, success: float, rule: Rule, ceiling: int | None) -> int:
        """How many places the work moves at this running success: 1 up, -1 down or 0."""
        last = len(self.grades) - 1
        if success > rule.up and self.place < (last if ceiling is None else min(ceiling, last)):
            return 1
        return -1 if success < rule.down and self.place else 0

    def moved_to(self, grade: str, rule: Rule = IN_USE) -> "Ladder":
        """The ladder after the setter chose another grade of the track."""
        kept = {**self.kept, self.grade: self.success}
        success = kept.get(grade, rule.moved)
        return replace(self, place=self.grades.index(grade), success=success, kept=kept)

    def lifted(self, rule: Rule = IN_USE) -> "Ladder":
        """The ladder where a ceiling has gone: a grade up where success was enough already."""
        if self.success <= rule.up or self.harder is None:
            return self
        return replace(self, place=self.place + 1, success=rule.moved)

    def in_a_row(
        self,
        *,
        failed: bool,
        rule: Rule = IN_USE,
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
