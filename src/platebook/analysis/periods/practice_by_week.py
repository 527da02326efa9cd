"""How much was practised, week by week, and what it used up: stones by size, seats by bur.

| function | gives |
|---|---|
| `done` | what one setter practised and used up; `seen_on` a day it is the last weeks |
| `together` | the same of several setters |

A week begins on Monday (ISO 8601) and is counted by the bench's own date of each attempt; weeks
without practice count as nothing done. A stone that was set before (`stone_uses` over 0) is no new
stone. A stone counts to the size of the course that it is near to, as it is ordered; without one to
the size it was sold as. A bur is one of its size and shape. Where its shape was not noted it is the
only shape of that size in the log, or among several setters; where its name alone was, it is what
the log has by that name. At 0 attempts all is 0 and empty; attempts without a date count for stones
and burs alone.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, is_near
from platebook.trade.stones import size_text, sold_mm
from platebook.values import Value

WEEKS = 8
"""Weeks that are shown, this one included: about a term's half."""

_WEEK = timedelta(days=7)


class Week(Value):
    """One week: the date of its Monday (ISO 8601), attempts, and days with any."""

    monday: str
    attempts: int
    days: int


class Used(Value):
    """How many of one thing: stones of a size, or seats cut with a bur."""

    what: str
    count: int


class Practice(Value):
    """The last weeks, oldest first, and what was used in all.

    `recent` says that the weeks end with this one; where nothing was done in so many weeks they end
    with the last one practised in. `a_week` is the mean of attempts a week over those weeks since
    the first practice; None where nothing is dated.
    """

    weeks: tuple[Week, ...]
    recent: bool
    a_week: float | None
    stones: tuple[Used, ...]
    burs: tuple[Used, ...]


class Done(Value):
    """What was practised, whatever day it is: attempts by their date, stones and burs used up."""

    days: Mapping[date, int]
    stones: tuple[Used, ...]
    burs: tuple[Used, ...]

    def seen_on(self, today: date) -> Practice:
        """The last weeks as seen on this day; what is dated later counts in no week."""
        this_week = _monday(today)
        last = max((_monday(day) for day in self.days if day <= today), default=this_week)
        recent = this_week - last < WEEKS * _WEEK
        end = this_week if recent else last
        mondays = [end - n * _WEEK for n in reversed(range(WEEKS))]
        weeks = tuple(_week(monday, self.days) for monday in mondays)
        first = min((_monday(day) for day in self.days), default=None)
        since = [w for w in weeks if first is not None and w.monday >= first.isoformat()]
        return Practice(
            weeks=weeks,
            recent=recent,
            a_week=sum(w.attempts for w in since) / len(since) if since else None,
            stones=self.stones,
            burs=self.burs,
        )


def done(attempts: Iterable[Attempt], course: Course | None = None) -> Done:
    """What these attempts come to, whatever day it is; stones by the sizes of this course."""
    logged = tuple(attempts)
    sizes = frozenset(size for grade in course.grades for size in grade.stones_mm) if course else ()
    return Done(
        days=Counter(a.began.date() for a in logged if a.began is not None),
        stones=_used(Counter(filter(None, (_stone(a, sizes) for a in logged)))),
        burs=_used(_burs(logged)),
    )


def together(setters: Iterable[Done]) -> Done:
    """What several setters come to."""
    days: Counter[date] = Counter()
    stones: Counter[str] = Counter()
    burs: Counter[str] = Counter()
    for setter in setters:
        days.update(setter.days)
        stones.update({used.what: used.count for used in setter.stones})
        burs.update({used.what: used.count for used in setter.burs})
    return Done(days, _used(stones), _used(_with_shapes(burs)))


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _week(monday: date, days: Mapping[date, int]) -> Week:
    here = [days[day] for day in days if monday <= day < monday + _WEEK]
    return Week(monday.isoformat(), sum(here), len(here))


def _used(counts: Mapping[str, int]) -> tuple[Used, ...]:
    return tuple(Used(what, counts[what]) for what in sorted(counts))


def _stone(attempt: Attempt, sizes: Iterable[float]) -> str | None:
    stone_mm = attempt.stone_diameter_mm
    if stone_mm is None or attempt.stone_uses:
        return None
    near = [size for size in sizes if is_near(stone_mm, size)]
    return size_text(
        min(near, key=lambda size: abs(size - stone_mm)) if near else sold_mm(stone_mm)
    )


def _burs(logged: Sequence[Attempt]) -> Counter[str]:
    """Seats by bur, by shape and size, so that one of a kind is one whoever owns it."""
    sized = {(a.seat_bur or "", _size_and_shape(a)) for a in logged if a.seat_bur_mm is not None}
    of_name: dict[str, list[str]] = {}
    for name, what in sorted(sized):
        of_name.setdefault(name, []).append(what)
    counts: Counter[str] = Counter()
    for attempt in logged:
        if attempt.seat_bur_mm is not None:
            counts[_size_and_shape(attempt)] += 1
        elif attempt.seat_bur:
            known = of_name.get(attempt.seat_bur, ())
            counts[known[0] if len(known) == 1 else attempt.seat_bur] += 1
    return _with_shapes(counts)


def _size_and_shape(attempt: Attempt) -> str:
    shape = f" {attempt.seat_bur_shape}" if attempt.seat_bur_shape else ""
    return f"{attempt.seat_bur_mm:.2f} mm{shape}"


def _with_shapes(counts: Mapping[str, int]) -> Counter[str]:
    """Burs whose shape was not noted counted to the only one of their size that has a shape."""
    named: Counter[str] = Counter()
    for what, count in counts.items():
        shaped = [
            other for other in counts if what.endswith(" mm") and other.startswith(f"{what} ")
        ]
        named[shaped[0] if len(shaped) == 1 else what] += count
    return named
