"""Which rows of a sheet the logbook knows, which are new, and which were corrected since.

A row is known by the sheet's own number of it, where it has one, else by when, who, stone and
place. It is compared with what the *last import* of it brought, so that what was amended in the
logbook since is not taken back by a sheet that never changed. A row with an `attempt_id` comes from
an export and is compared with the attempt as it stands.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import Any

from platebook.exchange.sheets.table import Table
from platebook.logbook.attempts.attempt_queries import ImportedAttempt
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import SHEET_ROW
from platebook.practice.fields import fields
from platebook.practice.reading.attempt_rows import OFFSET, write_row
from platebook.values import Value

NOT_COMPARED = ("attempt_id", "setter_id", "setter", "day_only", OFFSET, SHEET_ROW.name)


class Change(Value):
    """One field of a correction: what stands now and what the sheet says, as text."""

    field: str
    before: str
    after: str


class Correction(Value):
    """An attempt as it is to be, the place of its row among the attempts, and what changes."""

    attempt: Attempt
    place: int
    changes: tuple[Change, ...]


class SortedRows(Value):
    """Attempts of a sheet sorted: new ones, corrections, and how many are known as they are.

    `taken_out` counts rows of attempts that somebody hid: they stay hidden. `new_places` are the
    places of the new ones among the attempts of the sheet.
    """

    new: tuple[Attempt, ...] = ()
    new_places: tuple[int, ...] = ()
    corrected: tuple[Correction, ...] = ()
    known: int = 0
    taken_out: int = 0


NOTHING_SORTED = SortedRows()


@dataclass
class _Sorting:
    new: list[int] = field(default_factory=list)
    corrected: list[Correction] = field(default_factory=list)
    known: int = 0
    taken_out: int = 0


def sort_rows(
    attempts: Sequence[Attempt],
    present: Sequence[frozenset[str]],
    columns: frozenset[str],
    *,
    imported: Iterable[ImportedAttempt] = (),
    standing: Iterable[Attempt] = (),
) -> SortedRows:
    """The attempts of a sheet by what the logbook knows of them.

    `present` are the fields that each row has anything in, `columns` those that the sheet has a
    column for. `standing` are the attempts whose ids the sheet names.
    """
    compared = tuple(sorted(columns - {*NOT_COMPARED}))
    sorting = _Sorting()
    by_id = {attempt.attempt_id: attempt for attempt in standing}
    nameless: list[int] = []
    for place, attempt in enumerate(attempts):
        before = by_id.get(attempt.attempt_id) if attempt.attempt_id else None
        if attempt.attempt_id is None:
            nameless.append(place)
        elif before is None:
            sorting.new.append(place)
        else:
            _compare(sorting, place, attempt, before, before, _named(compared, present[place]))
    _match(sorting, attempts, nameless, compared, present, imported)
    new = tuple(sorted(sorting.new))
    return SortedRows(
        new=tuple(attempts[place] for place in new),
        new_places=new,
        corrected=tuple(sorted(sorting.corrected, key=lambda c: c.place)),
        known=sorting.known,
        taken_out=sorting.taken_out,
    )


class Alike(Value):
    """Lines of one sheet that are alike in all that is read of them; `sheet` is "" for the only."""

    sheet: str
    lines: tuple[int, ...]


def alike_rows(table: Table, new_places: Iterable[int]) -> tuple[Alike, ...]:
    """Rows that stand in a sheet more than once, where one of them is new, in the order of lines.

    A row with a number or an id of its own is like no other.
    """
    same: dict[Hashable, list[int]] = defaultdict(list)
    for place, row in enumerate(table.rows):
        sheet = table.sheets[place] if table.sheets else ""
        same[sheet, frozenset(row.items())].append(place)
    new = frozenset(new_places)
    return tuple(
        Alike(
            table.sheets[places[0]] if table.sheets else "",
            tuple(table.lines[place] for place in places),
        )
        for places in same.values()
        if len(places) > 1 and not new.isdisjoint(places)
    )


def _named(compared: Sequence[str], present: frozenset[str]) -> tuple[str, ...]:
    """The fields an exported row speaks of; an empty kind is only filled in on reading."""
    return tuple(name for name in compared if name in present or name not in {"kind", "grade"})


def _match(
    sorting: _Sorting,
    attempts: Sequence[Attempt],
    places: Sequence[int],
    compared: Sequence[str],
    present: Sequence[frozenset[str]],
    imported: Iterable[ImportedAttempt],
) -> None:
    """Sort the rows without ids: by their whole content first, then by ever less of it.

    An empty cell says nothing: what was filled in on the first import is not emptied again.
    """
    left = [row for row in imported if not row.taken_back] if places else []
    rows = list(places)
    if not left:
        sorting.new += rows
        return
    said = [tuple(n for n in compared if n in fields_said) for fields_said in present]
    rows, left = _paired(sorting, attempts, rows, left, lambda a: _content(a, compared), said)
    for pattern in sorted({said[place] for place in rows}, key=len, reverse=True):
        alike = [place for place in rows if said[place] == pattern]
        others = [place for place in rows if said[place] != pattern]
        by_pattern = partial(_content, compared=pattern)
        alone, left = _paired(sorting, attempts, alike, left, by_pattern, said)
        rows = sorted((*others, *alone))
    for key in (_by_number, _by_place, _by_time, _by_position):
        rows, left = _paired(sorting, attempts, rows, left, key, said)
    sorting.new += rows


Key = Callable[[Attempt], Hashable | None]


def _paired(
    sorting: _Sorting,
    attempts: Sequence[Attempt],
    rows: Sequence[int],
    left: Sequence[ImportedAttempt],
    key: Key,
    said: Sequence[Sequence[str]],
) -> tuple[list[int], list[ImportedAttempt]]:
    """Pair rows and imported attempts of one key in their order; gives what is left of both."""
    waiting: dict[Hashable, list[ImportedAttempt]] = defaultdict(list)
    unpaired: list[ImportedAttempt] = []
    for known in left:
        found = key(_owned(known))
        if found is None:
            unpaired.append(known)
        else:
            waiting[found].append(known)
    alone: list[int] = []
    for place in rows:
        attempt = attempts[place]
        found = key(attempt)
        pool = waiting.get(found) if found is not None else None
        if not pool:
            alone.append(place)
            continue
        known = pool.pop(0)
        if known.standing is None:
            sorting.taken_out += 1
        else:
            _compare(sorting, place, attempt, known.then, known.standing, said[place])
    unpaired += [known for pool in waiting.values() for known in pool]
    return alone, unpaired


def _owned(known: ImportedAttempt) -> Attempt:
    """The attempt as it was imported, of the setter whose it is now."""
    if known.standing is None or known.standing.setter_id == known.then.setter_id:
        return known.then
    return known.then.with_values(setter_id=known.standing.setter_id)


def _compare(
    sorting: _Sorting,
    place: int,
    row: Attempt,
    then: Attempt,
    standing: Attempt,
    compared: Sequence[str],
) -> None:
    """Whether the row says anything else than it did, and than what stands."""
    values: dict[str, Any] = {}
    extra: dict[str, Any] = dict(standing.extra)
    for name in compared:
        said = _value(row, name)
        if _same(said, _value(then, name)) or _same(said, _value(standing, name)):
            continue
        if name in fields():
            values[name] = said
        elif said is None:
            extra.pop(name, None)
        else:
            extra[name] = said
    if "began" in values:
        values["day_only"] = row.day_only
    after = standing.with_values(**values, extra=tuple(extra.items()))
    if after == standing:
        sorting.known += 1
        return
    old, new = write_row(standing), write_row(after)
    changes = tuple(
        Change(name, old.get(name, ""), new.get(name, ""))
        for name in {**old, **new}
        if old.get(name, "") != new.get(name, "")
    )
    sorting.corrected.append(Correction(after, place, changes))


def _value(attempt: Attempt, name: str) -> object:
    if name in fields():
        return getattr(attempt, name)
    return dict(attempt.extra).get(name)


def _same(one: object, other: object) -> bool:
    """Two moments are the same where the instant is, or what a clock on the wall showed."""
    if isinstance(one, datetime) and isinstance(other, datetime):
        return one == other or one.replace(tzinfo=None) == other.replace(tzinfo=None)
    return one == other


def _wall(attempt: Attempt) -> datetime | None:
    return attempt.began.replace(tzinfo=None) if attempt.began is not None else None


def _content(attempt: Attempt, compared: Sequence[str]) -> Hashable:
    values = (_wall(attempt) if name == "began" else _value(attempt, name) for name in compared)
    return (attempt.setter_id, dict(attempt.extra).get(SHEET_ROW.name), *values)


def _by_number(attempt: Attempt) -> Hashable | None:
    number = dict(attempt.extra).get(SHEET_ROW.name)
    return (attempt.setter_id, number) if number is not None else None


def _by_place(attempt: Attempt) -> Hashable | None:
    began = _wall(attempt)
    if began is None or dict(attempt.extra).get(SHEET_ROW.name) is not None:
        return None
    stone = (attempt.stone_diameter_mm, attempt.stone_material)
    return (attempt.setter_id, began, *stone, attempt.plate, attempt.position)


def _by_time(attempt: Attempt) -> Hashable | None:
    if attempt.day_only or dict(attempt.extra).get(SHEET_ROW.name) is not None:
        return None
    began = _wall(attempt)
    return (attempt.setter_id, began) if began is not None else None


def _by_position(attempt: Attempt) -> Hashable | None:
    began = _wall(attempt)
    if began is None or attempt.position is None or SHEET_ROW.name in dict(attempt.extra):
        return None
    return (attempt.setter_id, began.date(), attempt.plate, attempt.position)
