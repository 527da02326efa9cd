"""The register of a class: who came on each of its evenings, and who has been missing since when.

An evening is a day in the dates of the class on which somebody who was in it logged something.
Where the class says which day of the week it meets on, another day counts only where more than half
of those in it logged something (judgement): one person's practice at home is no evening that the
others missed. Whoever logged anything that day came. On evenings before somebody joined and after
they left there is no sign of theirs. With nobody, or nothing logged, there are no evenings.

| function | gives |
|---|---|
| `register_of` | the evenings, and a row a person |
| `missing_since` | the first evening that somebody has been missing from |
| `weeks_missing` | how many whole weeks before the newest evening they were last seen |
"""

from collections.abc import Iterable, Sequence
from collections.abc import Set as AbstractSet
from datetime import date, timedelta
from typing import Literal, get_args

from platebook.practice.records import Weekday, within
from platebook.values import Value

Sign = Literal["came", "missed"] | None
"""None where somebody was not in the class on that evening."""

_WEEKDAYS: tuple[Weekday, ...] = get_args(Weekday)
_A_WEEK = 7
_HALF = 0.5


class Enrolled(Value):
    """Somebody who is or was in a class: their stays in it, and the days they logged something.

    A stay is its first and last day, both within it; None is open. `active` is False for somebody
    who is put aside.
    """

    setter_id: str
    name: str
    stays: tuple[tuple[date | None, date | None], ...]
    days: AbstractSet[date]
    active: bool = True

    def is_in_on(self, day: date) -> bool:
        """Whether they are in the class on this day.

        Who was taken out of it on an evening they came to was there that evening.
        """
        until = {day, day - timedelta(days=1)} if day in self.days else {day}
        return any(within(day, first, last) or last in until for first, last in self.stays)


class RegisterRow(Value):
    """One person: a sign an evening, and how often they `came` of the `of` while in the class.

    `last_seen` is the last day on which they logged something while in it; None for never.
    `missing_since` is the first evening after that, and `missing_weeks` how many whole weeks before
    the newest evening they were last seen (None for never); both None for who is not missing, and
    for somebody who had left by the newest evening (`left`).
    """

    setter_id: str
    name: str
    signs: tuple[Sign, ...]
    came: int
    of: int
    last_seen: date | None = None
    missing_since: date | None = None
    missing_weeks: int | None = None
    active: bool = True
    left: bool = False


class Register(Value):
    """The evenings of a class, the oldest first, and its people in the order given."""

    evenings: tuple[date, ...]
    rows: tuple[RegisterRow, ...]

    @property
    def coming(self) -> tuple[RegisterRow, ...]:
        """Those who were in the class on its newest evening, or come later, and are not aside."""
        return tuple(row for row in self.rows if row.active and not row.left)

    @property
    def apart(self) -> tuple[RegisterRow, ...]:
        """Those who left or are put aside: they keep their signs."""
        return tuple(row for row in self.rows if not row.active or row.left)


def register_of(
    people: Iterable[Enrolled],
    first: date | None = None,
    last: date | None = None,
    meets_on: Weekday | None = None,
) -> Register:
    """The register from the first day of a class to the last; None leaves a side open."""
    everyone = tuple(people)
    evenings = _evenings(everyone, first, last, meets_on)
    return Register(evenings, tuple(_row(person, evenings, first, last) for person in everyone))


def _evenings(
    people: Sequence[Enrolled], first: date | None, last: date | None, meets_on: Weekday | None
) -> tuple[date, ...]:
    logged = sorted({day for p in people for day in p.days if within(day, first, last)})
    found = []
    for day in logged:
        there = [person for person in people if person.is_in_on(day)]
        came = sum(day in person.days for person in there)
        usual = meets_on is None or _WEEKDAYS[day.weekday()] == meets_on
        if came and (usual or came > _HALF * sum(person.active for person in there)):
            found.append(day)
    return tuple(found)


def _row(
    person: Enrolled, evenings: Sequence[date], first: date | None, last: date | None
) -> RegisterRow:
    signs = tuple(_sign(person, evening) for evening in evenings)
    there = [evening for evening in evenings if person.is_in_on(evening)]
    seen = [day for day in person.days if within(day, first, last) and person.is_in_on(day)]
    last_seen = max(seen, default=None)
    newest = evenings[-1] if evenings else None
    # Somebody who joins after the newest evening has not left, and nobody misses them yet.
    left = newest is not None and all(end is not None and end < newest for _, end in person.stays)
    since = None if left else missing_since(there, last_seen)
    return RegisterRow(
        setter_id=person.setter_id,
        name=person.name,
        signs=signs,
        came=signs.count("came"),
        of=len(there),
        last_seen=last_seen,
        missing_since=since,
        missing_weeks=None if since is None or newest is None else weeks_missing(newest, last_seen),
        active=person.active,
        left=left,
    )


def _sign(person: Enrolled, evening: date) -> Sign:
    if not person.is_in_on(evening):
        return None
    return "came" if evening in person.days else "missed"


def missing_since(evenings: Iterable[date], last_seen: date | None) -> date | None:
    """The first of somebody's evenings after they were last seen; None for who is not missing.

    Who was never seen is missing since the first of them.
    """
    return min((e for e in evenings if last_seen is None or e > last_seen), default=None)


def weeks_missing(newest: date, last_seen: date | None) -> int | None:
    """Whole weeks from the day somebody was last seen to the newest evening; None for never."""
    return None if last_seen is None else max(0, (newest - last_seen).days // _A_WEEK)
