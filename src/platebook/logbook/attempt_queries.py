"""Which attempts are asked for, and the attempts as they stand, in the order asked for.

A page is asked for by the attempt it follows (`after`) or precedes (`before`), so that the
thousandth page of a large logbook comes as fast as the first.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from platebook.logbook.errors import UnreadableRowError
from platebook.logbook.file.connection import Database
from platebook.logbook.record_kinds import WITHOUT_TIME, attempt_columns
from platebook.logbook.revisions import batches
from platebook.logbook.row_values import ColumnType, TableColumn, as_json, instant
from platebook.practice.attempt import Attempt, attempts_of
from platebook.trade.lengths import read_length

Order = Literal["time", "stone", "grade"]
"""By when it began; by the stone's diameter, then when; by the grade's id, then when."""

_KEYS: dict[Order, str | None] = {
    "time": None,
    "stone": "ifnull(stone_diameter_um, -1)",
    "grade": "ifnull(grade, '')",
}
_LENGTHS = ("stone_diameter_um", "seat_bur_um", "pilot_um", "sheet_um")
_BEGAN = (
    "strftime('%Y-%m-%dT%H:%M', began_us / 1000000 + 60 * began_offset_min, 'unixepoch')"
    " || ' ' || strftime('%H:%M', began_us / 1000000 + 60 * began_offset_min, 'unixepoch')"
)

_DAY = "date(began_us / 1000000 + 60 * began_offset_min, 'unixepoch')"


@dataclass(frozen=True, slots=True)
class Titled:
    """What a person sees for an id: the title of a grade or an exercise of a course, or a kind."""

    field: Literal["grade", "exercise", "kind"]
    id: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which attempts: of one setter, one grade, one plate, with one defect or good as a result.

    None means all of them. All `words` have to stand in an attempt, in any case: in its texts, the
    time it began, the sizes of stone, sheet, drill and bur, the setter's name, or one of the
    `titles` of its grade and exercise. A word `field=value` looks into that field of the record
    alone, with its titles. `after` and `before` are attempts that bound the page in this `order`;
    neither is part of it.
    """

    setter_id: str | None = None
    grade: str | None = None
    plate: str | None = None
    result: str | None = None
    words: tuple[str, ...] = ()
    titles: tuple[Titled, ...] = ()
    order: Order = "time"
    after: Attempt | None = None
    before: Attempt | None = None

    def where(self) -> tuple[str, list[Any]]:
        """The condition in SQL, and its values."""
        conditions: list[str] = ["hidden = 0"]
        values: list[Any] = []
        for name in ("setter_id", "grade", "plate"):
            if (value := getattr(self, name)) is not None:
                conditions.append(f"{name} = ?")
                values.append(value)
        if self.result is not None:
            # The results are a JSON list, in which the one wanted stands as its JSON text.
            conditions.append("instr(result, ?) > 0")
            values.append(as_json(self.result))
        for sign, bound in ((">", self.after), ("<", self.before)):
            if bound is not None:
                keys, places = self._columns(), self._place(bound)
                marks = ", ".join("?" * len(places))
                conditions.append(f"({', '.join(keys)}) {sign} ({marks})")
                values += places
        for word in self.words:
            condition, word_values = _standing_in(word, self.titles)
            conditions.append(condition)
            values += word_values
        return " AND ".join(conditions), values

    def order_by(self, *, newest_first: bool) -> str:
        """The order in SQL; an index has it ready."""
        down = " DESC" if newest_first else ""
        return ", ".join(f"{key}{down}" for key in self._columns())

    def _columns(self) -> tuple[str, ...]:
        key = _KEYS[self.order]
        return ("order_us", "attempt_id") if key is None else (key, "order_us", "attempt_id")

    def _place(self, attempt: Attempt) -> list[Any]:
        began = WITHOUT_TIME if attempt.began is None else instant(attempt.began)[0]
        place: list[Any] = [began, attempt.attempt_id or ""]
        if self.order == "grade":
            place.insert(0, attempt.grade or "")
        if self.order == "stone":
            diameter = attempt.stone_diameter_mm
            place.insert(0, -1 if diameter is None else round(diameter * 1000))
        return place


ALL = Wanted()
"""Every attempt that stands."""


def containing(text: str) -> str:
    """The pattern of SQL's LIKE for texts in which this one stands."""
    for special in ("\\", "%", "_"):
        text = text.replace(special, f"\\{special}")
    return f"%{text}%"


def _standing_in(word: str, titles: tuple[Titled, ...]) -> tuple[str, list[Any]]:
    """The condition that a word stands in an attempt, and its values."""
    name, mark, wanted = word.partition("=")
    column = next((c for c in attempt_columns().columns if mark and c.name == name), None)
    if column is not None:
        condition, values = _field_is(column, wanted)
        if not wanted:
            return condition, values
        called, ids = _titled(wanted, [t for t in titles if t.field == name])
        return f"({' OR '.join([condition, *called])})", [*values, *ids]
    tests = list(_texts_with(word))
    if set(word) <= _OF_A_LENGTH:
        tests += [_like(f"printf('%g', {name} / 1000.0)", word) for name in _LENGTHS]
    if set(word) <= _OF_A_TIME:
        tests.append(_like(_BEGAN, word))
    value = containing(word) if word.isascii() else word.casefold()
    called, ids = _titled(word, titles)
    return f"({' OR '.join([*tests, *called])})", [value] * len(tests) + ids


def _titled(word: str, titles: Iterable[Titled]) -> tuple[list[str], list[str]]:
    """The tests that a grade or an exercise has a title with this word, and their ids."""
    found: dict[str, list[str]] = {}
    for titled in titles:
        if word.casefold() in titled.title.casefold():
            found.setdefault(titled.field, []).append(titled.id)
    tests = [f"{field} IN ({', '.join('?' * len(ids))})" for field, ids in found.items()]
    return tests, [each for ids in found.values() for each in ids]


_OF_A_LENGTH = frozenset("0123456789.+-eE")
_OF_A_TIME = frozenset("0123456789-:tT ")
"""What a size and a time are written with: no other word stands in one, and none is looked for."""


def _like(column: str, word: str) -> str:
    """The test with `containing(word)`; its special signs cost time where there are none."""
    special = " ESCAPE '\\'" if set(word) & set("\\%_") else ""
    return f"{column} LIKE ?{special}"


def _texts_with(word: str) -> Iterator[str]:
    named = "setter_id IN (SELECT setter_id FROM setter WHERE {})"
    for column in attempt_columns().columns:
        if column.type in {"text", "list", "pairs"} and column.name != "setter_id":
            yield _has(column.stored_as[0], word)
    yield named.format(_has("name", word))


def _has(column: str, word: str) -> str:
    """LIKE knows the case of ASCII letters only; other words go through Unicode's folding."""
    if word.isascii():
        return _like(column, word)
    return f"instr(casefold({column}), ?) > 0"


def _field_is(column: TableColumn, wanted: str) -> tuple[str, list[Any]]:
    """The condition that one field has this value; a value that it cannot have matches nothing."""
    stored = column.stored_as[0]
    if not wanted:
        return f"{stored} IS NULL", []
    if column.type == "datetime":
        return _like(_BEGAN, wanted), [containing(wanted)]
    if column.type in _NUMBERS:
        number = _NUMBERS[column.type](wanted)
        return ("0", []) if number is None else (f"{stored} = ?", [number])
    return _has(stored, wanted), [containing(wanted) if wanted.isascii() else wanted.casefold()]


def _micrometres(text: str) -> float | None:
    length, _ = read_length(text)
    return None if length is None else round(length * 1000)


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _truth(text: str) -> float | None:
    return {"yes": 1, "true": 1, "1": 1, "no": 0, "false": 0, "0": 0}.get(text.casefold())


_NUMBERS: dict[ColumnType, Callable[[str], float | None]] = {
    "length": _micrometres,
    "integer": _number,
    "number": _number,
    "yes/no": _truth,
}


@dataclass(frozen=True, slots=True)
class PlainRows:
    """One setter's attempts as they lie in the table: small to hand over, read only where used."""

    setter: str | None
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]

    def attempts(self) -> tuple[Attempt, ...]:
        """The attempts, in order."""
        return _attempts_in(self.columns, self.rows, lambda _: self.setter)


def plain_rows(db: Database, setter_id: str) -> PlainRows:
    """The attempts of one setter that stand, in order, as plain rows."""
    wanted = Wanted(setter_id=setter_id)
    where, values = wanted.where()
    cursor = db.execute(
        f"SELECT * FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
        f" ORDER BY {wanted.order_by(newest_first=False)}",
        values,
    )
    name = db.execute("SELECT name FROM setter WHERE setter_id = ?", [setter_id]).fetchone()
    columns, rows = tuple(column[0] for column in cursor.description), tuple(cursor.fetchall())
    place = columns.index("setter_id")
    _refuse_others((row[place] for row in rows), setter_id)
    return PlainRows(setter=None if name is None else str(name[0]), columns=columns, rows=rows)


def _refuse_others(setter_ids: Iterable[str | None], wanted: str | None) -> None:
    """UnreadableRowError where one is another setter's than the index says, as after a damage."""
    if wanted is not None and (others := {str(each) for each in setter_ids} - {wanted}):
        raise UnreadableRowError("whose an attempt is", min(others))


def attempt_counts(db: Database) -> dict[str, int]:
    """How many attempts of each setter stand, by id."""
    return dict(db.execute("SELECT setter_id, attempts FROM tally").fetchall())


def days_practised(db: Database, setter_ids: Iterable[str]) -> dict[str, frozenset[date]]:
    """The days on which these setters logged something, each where it was made; by id.

    Attempts without a time have no day, and whoever has none of the others is left out.
    """
    days: dict[str, set[date]] = {}
    for batch in batches(setter_ids):
        for setter_id, day in db.execute(
            f"SELECT DISTINCT setter_id, {_DAY} FROM attempt"  # noqa: S608 - an expression of ours
            " WHERE hidden = 0 AND began_us IS NOT NULL"
            " AND setter_id IN (SELECT value FROM json_each(?))",
            [batch],
        ).fetchall():
            days.setdefault(setter_id, set()).add(date.fromisoformat(day))
    return {setter_id: frozenset(found) for setter_id, found in days.items()}


def select_attempts(
    db: Database, wanted: Wanted = ALL, *, limit: int | None = None, newest_first: bool = False
) -> tuple[Attempt, ...]:
    """The attempts wanted, in order or the other way round, at most `limit` of them.

    In the order of time those without a time come first. The next page is asked for by its bound:
    newest first `before` the last one shown, in order `after` it.
    """
    where, values = wanted.where()
    found = _with_names(
        db,
        f"SELECT * FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
        f" ORDER BY {wanted.order_by(newest_first=newest_first)} LIMIT ?",
        [*values, -1 if limit is None else limit],
    )
    _refuse_others((attempt.setter_id for attempt in found), wanted.setter_id)
    return found


_SET_UP = "stone_diameter_um, metal, sheet_um, layers, grade, stone_material"


def latest_set_ups(db: Database, setter_id: str) -> tuple[Attempt, ...]:
    """Of each set-up of a setter the attempt that had it last, in order; not of part exercises.

    A set-up is stone, metal and sheet, all known, with layers, grade and the stone's material.
    A log of any length has few.
    """
    order = "order_us DESC, attempt_id DESC"
    return _with_names(
        db,
        "SELECT * FROM attempt WHERE attempt_id IN (SELECT attempt_id FROM (SELECT attempt_id,"  # noqa: S608 - names of our own
        f" row_number() OVER (PARTITION BY {_SET_UP} ORDER BY {order}) AS since"
        " FROM attempt WHERE hidden = 0 AND setter_id = ? AND kind IS NOT 'part'"
        " AND stone_diameter_um IS NOT NULL AND metal IS NOT NULL AND sheet_um IS NOT NULL)"
        " WHERE since = 1) ORDER BY order_us, attempt_id",
        [setter_id],
    )


def count_attempts(db: Database, wanted: Wanted = ALL) -> int:
    """How many attempts stand. With no more than a setter given it is read from the tally."""
    if wanted == Wanted(setter_id=wanted.setter_id):
        of_setter = "" if wanted.setter_id is None else " WHERE setter_id = ?"
        values = [] if wanted.setter_id is None else [wanted.setter_id]
        query = f"SELECT coalesce(sum(attempts), 0) FROM tally{of_setter}"  # noqa: S608 - one of two
        return int(db.execute(query, values).fetchone()[0])
    where, conditions = wanted.where()
    query = f"SELECT count(*) FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
    return int(db.execute(query, conditions).fetchone()[0])


def attempt_by_id(db: Database, attempt_id: str) -> Attempt | None:
    """The attempt of this id; None where none stands."""
    return next(iter(attempts_by_id(db, [attempt_id])), None)


def attempts_by_id(db: Database, attempt_ids: Iterable[str]) -> tuple[Attempt, ...]:
    """The attempts of these ids that stand, in order; ids that are unknown are left out."""
    found = [
        attempt
        for batch in batches(attempt_ids)
        for attempt in _with_names(
            db,
            "SELECT * FROM attempt WHERE hidden = 0"
            " AND attempt_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
    ]
    return tuple(sorted(found, key=_place))


def attempt_ids_ending(db: Database, ending: str) -> tuple[str, ...]:
    """Ids of attempts that stand and end so."""
    rows = db.execute(
        "SELECT attempt_id FROM attempt WHERE hidden = 0 AND attempt_id LIKE ? ESCAPE '\\'",
        [containing(ending).removesuffix("%")],
    )
    return tuple(row[0] for row in rows)


def _place(attempt: Attempt) -> tuple[int, str]:
    """Where an attempt stands in the order of time, as the column `order_us` has it."""
    began = WITHOUT_TIME if attempt.began is None else instant(attempt.began)[0]
    return began, attempt.attempt_id or ""


_ROWS_AT_ONCE = 2_000


def _with_names(db: Database, query: str, values: Sequence[Any]) -> tuple[Attempt, ...]:
    """The attempts that a query for all columns finds, each with its setter's name."""
    names = dict(db.execute("SELECT setter_id, name FROM setter").fetchall())
    cursor = db.execute(query, values)
    columns = tuple(column[0] for column in cursor.description)
    attempts: list[Attempt] = []
    while rows := cursor.fetchmany(_ROWS_AT_ONCE):
        attempts += _attempts_in(columns, rows, names.get)
    return tuple(attempts)


def _attempts_in(
    columns: Sequence[str], rows: Sequence[Sequence[Any]], name_of: Callable[[str], str | None]
) -> tuple[Attempt, ...]:
    """The attempts that these rows hold; `name_of` says a setter's name by id."""
    loaded = attempt_columns().loaded_together(columns, rows)
    loaded["setter"] = [name_of(setter_id) for setter_id in loaded.get("setter_id", ())]
    return attempts_of(loaded, len(rows))


@dataclass(frozen=True, slots=True)
class ImportedAttempt:
    """An attempt as the last import left it, and how it stands now.

    `standing` is None where it was taken out, and `taken_back` says that the import itself was.
    """

    then: Attempt
    standing: Attempt | None
    taken_back: bool


def imported_attempts(db: Database) -> tuple[ImportedAttempt, ...]:
    """Every attempt that a file brought in, oldest first.

    A correction that was taken back is as if it had never been imported.
    """
    words = "SELECT reverts, what FROM change WHERE reverts IS NOT NULL ORDER BY counter"
    latest = dict(db.execute(words).fetchall())
    rows = db.execute(
        "SELECT r.record_id, r.record, last.what, r.change_id FROM revision AS r"
        " JOIN change AS c USING (change_id) JOIN attempt AS a ON a.attempt_id = r.record_id"
        " JOIN revision AS now ON now.revision_id = a.revision_id"
        " JOIN change AS last ON last.change_id = now.change_id"
        " WHERE r.kind = 'attempt' AND c.what = 'import' ORDER BY r.counter, r.revision_id"
    ).fetchall()
    then: dict[str, tuple[str, str]] = {}
    for record_id, record, what, change_id in rows:
        if record_id not in then or latest.get(change_id) != "undo":
            then[record_id] = (record, what)
    standing = {str(a.attempt_id): a for a in attempts_by_id(db, then)}
    columns = attempt_columns()
    return tuple(
        ImportedAttempt(
            then=Attempt(**columns.loaded(json.loads(record))),
            standing=standing.get(record_id),
            taken_back=record_id not in standing and what in {"undo", "redo"},
        )
        for record_id, (record, what) in then.items()
    )
