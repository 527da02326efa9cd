"""Which attempts are asked for, and in which order: one condition and one order in SQL.

A page is asked for by the attempt it follows (`after`) or precedes (`before`), so that the
thousandth page of a large logbook comes as fast as the first.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any, Literal

from platebook.logbook.record_kinds import WITHOUT_TIME, attempt_columns
from platebook.logbook.row_values import ColumnType, TableColumn, as_json, instant
from platebook.practice.attempt import Attempt
from platebook.trade.lengths import read_length
from platebook.values import Value

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

DAY = "date(began_us / 1000000 + 60 * began_offset_min, 'unixepoch')"
"""The day an attempt began, where it began, in SQL."""


class Titled(Value):
    """What a person sees for an id: the title of a grade or an exercise of a course, or a kind."""

    field: Literal["grade", "exercise", "kind"]
    id: str
    title: str


class Wanted(Value, kw_only=True):
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
                keys, places = self.keys(), self._place(bound)
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
        return ", ".join(f"{key}{down}" for key in self.keys())

    def keys(self) -> tuple[str, ...]:
        """What attempts are put in order by, in SQL; an index holds them together."""
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
    """LIKE knows the case of ASCII letters only; other words go through Unicode's folding.

    That is a call back into Python, and asked of texts only that have other letters themselves.
    """
    if word.isascii():
        return _like(column, word)
    ascii_alone = f"length({column}) = length(CAST({column} AS BLOB))"
    if word.casefold().isascii():
        folded = f"CASE WHEN {ascii_alone} THEN lower({column}) ELSE casefold({column}) END"
        return f"instr({folded}, ?) > 0"
    return f"(NOT {ascii_alone} AND instr(casefold({column}), ?) > 0)"


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
