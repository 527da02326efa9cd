"""Work of one's own: judged whole settings at no grade of the course; and what is no whole setting.

| function | gives |
|---|---|
| `own_work` | a tally for each stone size and metal, the most practised first |
| `all_settings` | every judged whole setting, of the course or not |
| `not_whole` | how many attempts were part exercises, in blocks, or not judged |

A grade of another course is work of one's own too. At 0 attempts all is empty.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from platebook.analysis.grades.whole_settings import WHOLE
from platebook.analysis.success.tally import Tally, tally
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.results import failed_in
from platebook.trade.stones import size_text, sold_mm
from platebook.values import Value, fields_of

_BLOCK = "block"


class OwnSetting(Value):
    """One judged whole setting, at a grade of the course or not."""

    attempt: Attempt
    failed: bool

    @property
    def day(self) -> date | None:
        """The day it was made, by the bench's own date; None where none is noted."""
        return self.attempt.began.date() if self.attempt.began is not None else None


class OwnWork(Tally, kw_only=True):
    """Settings of one stone size in one metal, outside the course; None for what is not noted."""

    stone_mm: float | None
    metal: str | None


class NotWhole(Value):
    """Attempts that are no judged whole settings, by what they are."""

    parts: int
    blocks: int
    not_judged: int

    @property
    def total(self) -> int:
        """All of them."""
        return self.parts + self.blocks + self.not_judged


def all_settings(course: Course, attempts: Iterable[Attempt]) -> tuple[OwnSetting, ...]:
    """Every judged whole setting in the order given, judged as the course judges."""
    settings = []
    for attempt in attempts:
        if (attempt.kind or WHOLE) == WHOLE:
            outcome = failed_in(course, attempt)
            if outcome is not None:
                settings.append(OwnSetting(attempt, outcome))
    return tuple(settings)


def own_work(
    course: Course, settings: Iterable[OwnSetting], *, curves: bool = True
) -> tuple[OwnWork, ...]:
    """What was set outside the course, by stone size (as it was sold) and metal."""
    grades = {grade.id for grade in course.grades}
    kinds: dict[tuple[float | None, str | None], list[OwnSetting]] = {}
    for setting in settings:
        if setting.attempt.grade not in grades:
            kinds.setdefault(_kind(setting.attempt), []).append(setting)
    lines = [_line(kind, of_kind, curves=curves) for kind, of_kind in kinds.items()]
    return tuple(sorted(lines, key=lambda line: (-line.attempts, line.title)))


def not_whole(attempts: Iterable[Attempt], whole: int) -> NotWhole:
    """What the other attempts were, where so many of these were judged whole settings."""
    every = tuple(attempts)
    blocks = sum(a.kind == _BLOCK for a in every)
    parts = sum((a.kind or WHOLE) not in {WHOLE, _BLOCK} for a in every)
    return NotWhole(parts=parts, blocks=blocks, not_judged=len(every) - whole - parts - blocks)


def _kind(attempt: Attempt) -> tuple[float | None, str | None]:
    size = attempt.stone_diameter_mm
    return (sold_mm(size) if size is not None else None), attempt.metal or None


def _line(
    kind: tuple[float | None, str | None], settings: Sequence[OwnSetting], *, curves: bool
) -> OwnWork:
    size, metal = kind
    stone = size_text(size) if size is not None else "stone not noted"
    title = f"{stone} in {metal}" if metal else f"{stone}, metal not noted"
    return OwnWork(
        stone_mm=size, metal=metal, **fields_of(tally(title, settings, curves=curves)[1])
    )
