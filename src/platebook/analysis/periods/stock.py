"""Stock by period: new stones by size and places in sheet metal that a stretch of days used up.

Stones are counted by `practice_by_week.done`, the one answer to what was used, of the attempts of
those days. A place is a position of a plate, counted once however often somebody worked on it; an
attempt that notes no plate and position is a place of its own, one that notes no metal or no
thickness is left out. At 0 attempts there is nothing; attempts without a date are in no period.
"""

from collections import Counter
from collections.abc import Iterable
from datetime import date

from platebook.analysis.periods.practice_by_week import Done, Used, done
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.fields import steps_done
from platebook.practice.records import within
from platebook.values import Value


class Stock(Value):
    """What was used up: `done` counts stones by size, `places` places by metal and thickness."""

    done: Done
    places: tuple[Used, ...]

    @property
    def stones(self) -> tuple[Used, ...]:
        """Stones by size, in the order of their names."""
        return self.done.stones


def stock_used(
    course: Course, attempts: Iterable[Attempt], first: date | None = None, last: date | None = None
) -> Stock:
    """What one setter used up from the first day to the last; without days, in all."""
    logged = [
        a
        for a in attempts
        if (first is None and last is None)
        or (a.began is not None and within(a.began.date(), first, last))
    ]
    return Stock(done(logged, course), _places(logged))


def sheet_text(metal: str, sheet_mm: float, layers: int | None = None) -> str:
    """A sheet for people, as it is ordered: copper, 0.81 mm; copper, 0.81 mm, 2 layers."""
    more = f", {layers} layers" if layers is not None and layers > 1 else ""
    return f"{metal}, {sheet_mm:.2f} mm{more}"


def _places(attempts: Iterable[Attempt]) -> tuple[Used, ...]:
    taken: dict[tuple[str | None, str | None], str] = {}
    counts: Counter[str] = Counter()
    for attempt in attempts:
        if attempt.metal is None or attempt.sheet_mm is None:
            continue
        if not steps_done(attempt.kind, attempt.part):
            continue
        what = sheet_text(attempt.metal, attempt.sheet_mm, attempt.layers)
        where = (attempt.plate, attempt.position)
        if None in where:
            counts[what] += 1
        else:
            taken.setdefault(where, what)
    counts.update(taken.values())
    return tuple(Used(what, counts[what]) for what in sorted(counts))
