"""What each heading of a table was taken for, and how sure that is.

A heading is a field by its name; else by what was answered; else by a word for it in some language,
where the cells agree: under "Stein" sizes are the diameter and words are the material. What only
looks alike, or could be two things, is a question.
"""

import difflib
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Literal

from platebook.exchange.sheets.answers import OWN
from platebook.exchange.sheets.cells import CellReader, is_length
from platebook.exchange.sheets.days import order_of
from platebook.exchange.sheets.meaning import (
    TableMeaning,
    heading_and_unit,
    key_of,
    names_by_key,
    word_of,
)
from platebook.exchange.sheets.words import ROW_ID, TIME, bare, heading_meanings
from platebook.practice.courses.course import ExtraField
from platebook.practice.fields import Choice, FieldType, fields
from platebook.practice.reading.timestamps import SlashOrder
from platebook.values import Value, replace

How = Literal["name", "answer", "words", "unclear"]

ENOUGH = 0.5
"""Share of the cells that a field has to be able to read before a word alone means it (judgement);
lists of words may be new to us altogether, and are asked about one by one."""

SURE = 0.7
"""From this share on, cells alone suggest a field whatever the heading says (judgement)."""

ALIKE = 0.8
MOST_CHOICES = 12
LONGEST_CHOICE = 40
SHOWN = 3
_TELLING = ("result", "began", "metal", "stone_material", "fit", "lubricant", "seat_bur_shape")
"""Fields that the cells alone may suggest."""


class Column(Value, kw_only=True):
    """One column of the table and what it was taken for.

    `field` is a field of the record, one beside it, `time` or `row id`; None where it is not read.
    `guesses` are what an unclear heading may mean, the likeliest first. `values` counts its cells.
    `offers` are what one that says nothing may be, of which none is likelier. `own` is the setter's
    own field where the column is one.
    """

    heading: str
    field: str | None
    how: How
    values: Mapping[str, int]
    unit: str = ""
    guesses: tuple[str, ...] = ()
    offers: tuple[str, ...] = ()
    own: ExtraField | None = None

    @property
    def samples(self) -> tuple[str, ...]:
        """A few of its values, the most frequent first."""
        ranked = sorted(self.values, key=lambda value: -self.values[value])
        return tuple(ranked[:SHOWN])

    @property
    def filled(self) -> int:
        """How many cells have something in them."""
        return sum(self.values.values())


def kind_of(name: str, extra: Sequence[ExtraField] = ()) -> FieldType:
    """The type of a field by its name, beside the record or not."""
    own = next((f for f in extra if f.name == name), None)
    if own is not None:
        return own.type
    return fields()[name].type if name in fields() else "text"


def listed_in(name: str, extra: Sequence[ExtraField]) -> tuple[Choice, ...]:
    """The values of a field beside the record."""
    own = next((f for f in extra if f.name == name), None)
    return tuple(Choice(value, (), None) for value in own.choices) if own is not None else ()


def reader_of(column: Column, reading: TableMeaning, dates: SlashOrder | None) -> CellReader:
    """What reads the cells of a column that means something."""
    name = column.field or ""
    extra = (*reading.extra, *((column.own,) if column.own is not None else ()))
    people = tuple(Choice(person, (), None) for person in reading.people)
    return CellReader(
        name,
        kind_of(name, extra),
        people if name == "setter" else listed_in(name, extra),
        unit=column.unit if is_length(name) else "",
        meant=reading.answers.meanings_in(column.heading),
        unreadable=reading.answers.of("unreadable", column.heading),
        dates=dates,
    )


def take_columns(
    headings: Sequence[str], cells: Sequence[Counter[str]], reading: TableMeaning
) -> tuple[Column, ...]:
    """The columns in their order; `cells` counts what stands under each heading."""
    keys = {key_of(heading) for heading in headings}
    exported = keys >= OF_AN_EXPORT
    taken = [
        _take(heading, counts, reading, exported=exported)
        for heading, counts in zip(headings, cells, strict=True)
    ]
    placed = _each_once(taken)
    free = {column.field for column in placed}
    return tuple(
        replace(
            column,
            guesses=tuple(name for name in column.guesses if name not in free),
            offers=tuple(name for name in _sizes_like(column, reading) if name not in free),
        )
        for column in placed
    )


_SIZES = ("stone_diameter_mm", "seat_bur_mm", "seat_diameter_mm", "seat_depth_mm", "sheet_mm")
"""What a column of sizes is as a rule (judgement)."""


def _sizes_like(column: Column, reading: TableMeaning) -> tuple[str, ...]:
    """The sizes that an unclear column of sizes may be; empty for any other column."""
    if column.how != "unclear" or column.guesses:
        return ()
    numbers = [float(text.replace(",", ".")) for text in column.values if _SIZE.fullmatch(text)]
    if len(numbers) < SURE * len(column.values):
        return ()
    middle = sorted(numbers)[len(numbers) // 2]
    within = [n for n in _SIZES if (fields()[n].low or 0) <= middle <= (fields()[n].high or 0)]
    counts = Counter(column.values)
    return tuple(name for name in within if _read_share(name, counts, reading) >= SURE)


_SIZE = re.compile(r"[0-9]+[.,][0-9]+")


OF_AN_EXPORT = {"attempt_id", "setter_id"}
"""Headings that only an export of this program has: every other column of it is wanted back."""


def _take(heading: str, counts: Counter[str], reading: TableMeaning, *, exported: bool) -> Column:
    said = reading.answers.of("columns", heading)
    unit = reading.answers.of("units", heading) or heading_and_unit(heading)[1]
    plain = Column(heading=heading, field=None, how="answer", values=counts, unit=unit)
    names = names_by_key(tuple(f.name for f in reading.extra))
    name = names.get(key_of(heading))
    wanted_back = exported and not said and name is None and bool(heading.strip())
    if said == OWN or (wanted_back and counts):
        own = own_field(heading, counts, reading)
        return replace(plain, field=own.name, own=own)
    if said:
        special = said if said in {TIME, ROW_ID} else None
        return replace(plain, field=names.get(key_of(said), special))
    if name is not None:
        return replace(plain, field=name, how="name")
    if not heading.strip() or not counts:
        return plain
    return _by_words(plain, counts, reading)


def _by_words(plain: Column, counts: Counter[str], reading: TableMeaning) -> Column:
    """What the words of a heading mean where its cells agree; unclear where they do not."""
    word = word_of(plain.heading)
    candidates = heading_meanings().get(word, ())
    shares = {name: _share(name, counts, plain.unit, reading) for name in candidates}
    ranked = sorted(candidates, key=lambda name: -shares[name])
    fitting = [name for name in ranked if shares[name] >= ENOUGH]
    # Of two meanings that fit as well, the one that the word has first in the table counts.
    if fitting and (
        len(fitting) == 1 or shares[fitting[0]] > shares[fitting[1]] or fitting[0] == candidates[0]
    ):
        return replace(plain, field=fitting[0], how="words")
    guesses = ranked or _alike(word)
    words = Counter({text: n for text, n in counts.items() if not _ONE_NUMBER.fullmatch(text)})
    if words.total() >= SURE * counts.total():
        guesses += [name for name in _TELLING if _read_share(name, words, reading) >= SURE]
    return replace(plain, how="unclear", guesses=tuple(dict.fromkeys(guesses))[:SHOWN])


_NUMBER = re.compile(r"[0-9.,]+")
_ONE_NUMBER = re.compile(r"[0-9]*[.,]?[0-9]*")
"""Not 1.6.26, which is a day."""


def _alike(word: str) -> list[str]:
    near = difflib.get_close_matches(word, list(heading_meanings()), SHOWN, ALIKE)
    return [name for match in near for name in heading_meanings()[match]]


def _share(name: str, counts: Counter[str], unit: str, reading: TableMeaning) -> float:
    """How much of a column a field can read; words that are new to a list count half."""
    total = sum(counts.values())
    if name == ROW_ID:
        return 1.0 if total > 1 and len(counts) == total else 0.0
    kind = kind_of(name, reading.extra)
    if kind == "text" and name not in {TIME, ROW_ID}:
        return _share_of_text(name, counts)
    read = _read_share(name, counts, reading, unit=unit)
    if kind in {"choice", "defects"}:
        numbers = sum(n for text, n in counts.items() if _NUMBER.fullmatch(text))
        return max(read, (total - numbers) * ENOUGH / total)
    return read


def _read_share(name: str, counts: Counter[str], reading: TableMeaning, *, unit: str = "") -> float:
    """The share of cells that the field reads as they stand."""
    dates = reading.answers.dates or order_of(counts) or "dmy"
    kind = kind_of(name, reading.extra)
    reader = CellReader(name, kind, unit=unit if is_length(name) else "", dates=dates)
    read = sum(count for text, count in counts.items() if not reader(text).unknown)
    return read / max(1, counts.total())


def _share_of_text(name: str, counts: Counter[str]) -> float:
    """Names of plates, people and tools repeat, a place is short, a note is anything."""
    total = sum(counts.values())
    if name == "note":
        return ENOUGH
    if name == "position":
        return sum(count for text, count in counts.items() if len(text) <= 6) / total * 0.9
    numbers = sum(c for text, c in counts.items() if _NUMBER.fullmatch(text))
    return 0.8 if name == "plate" else 0.8 * (1 - numbers / total)


def _each_once(taken: Sequence[Column]) -> list[Column]:
    """Of two columns with one meaning the surer one has it; the other is a question.

    Two columns of the field's own name, or answered so, both keep it: that is a problem to tell.
    """
    rank = {"name": 0, "answer": 0, "words": 1}
    best: dict[str, Column] = {}
    for column in taken:
        if column.field is not None:
            held = best.get(column.field)
            if held is None or rank[column.how] < rank[held.how]:
                best[column.field] = column
    done = []
    for column in taken:
        loses = column.field is not None and best[column.field] is not column
        if loses and column.how == "words":
            word = word_of(column.heading)
            free = [name for name in heading_meanings().get(word, ()) if name not in best]
            done.append(replace(column, field=None, how="unclear", guesses=tuple(free[:SHOWN])))
        else:
            done.append(column)
    return done


def own_field(heading: str, counts: Mapping[str, int], reading: TableMeaning) -> ExtraField:
    """The setter's own field that a column is: name from the heading, type from the cells.

    A heading without a letter or digit is a "column".
    """
    name = bare(heading).replace(" ", "_") or "column"
    if name in fields() or name in {TIME, ROW_ID.replace(" ", "_")}:
        name = f"my_{name}"
    known = next((f for f in reading.extra if f.name == name), None)
    if known is not None:
        return known
    meaning = " ".join(heading.split())
    kinds: tuple[FieldType, ...] = ("yes/no", "number")
    for kind in kinds:
        reader = CellReader(name, kind)
        if counts and not any(reader(text).unknown for text in counts):
            return ExtraField(name=name, type=kind, meaning=meaning)
    values = sorted(counts, key=lambda text: -counts[text])
    if len(values) <= MOST_CHOICES and all(len(v) <= LONGEST_CHOICE for v in values):
        return ExtraField(name=name, type="choice", meaning=meaning, choices=tuple(values))
    return ExtraField(name=name, type="text", meaning=meaning)
