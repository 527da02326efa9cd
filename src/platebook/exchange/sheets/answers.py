"""What a person answered about a sheet: headings, values, units, dates; as a file and as options.

The answers stand in a TOML file that the asking writes and `--answers` reads again:

    dates = "dmy"
    [columns]
    "Stein Ø" = "stone_diameter_mm"
    "Musik" = "own"
    [units]
    "Stein Ø" = "in"
    [values."Ergebnis"]
    "zu locker" = "loose"

A column may also mean `time` (the time of day), `row id` (the sheet's own number of a row), `own`
(a column of the setter's own) or `leave out`; a value `leave out` or `keep`.
"""

import json
from collections.abc import Iterable, Mapping
from typing import Any, Literal, cast

import tomli

from platebook.practice.problem import Problem
from platebook.practice.reading.field_values import spelling
from platebook.practice.reading.timestamps import SlashOrder
from platebook.practice.text import clean
from platebook.values import Value, field, replace

LEAVE_OUT = "leave out"
KEEP = "keep"
OWN = "own"
NUMBER = "number"
ABOVE = "above"

Table = Literal["columns", "units", "unreadable", "blanks"]


class Answers(Value, kw_only=True):
    """What was answered; empty where nothing was asked.

    `columns`, `units`, `unreadable` and `blanks` go by heading as typed, `values` by heading and
    then by the value as it stands there; under the heading "" a value has this meaning wherever it
    stands. `unreadable` says what becomes of cells that cannot be read (`number`: the number in
    them, or `leave out`), `blanks` of empty ones (`above`: as the row above).
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    unreadable: Mapping[str, str] = field(default_factory=dict)
    blanks: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    dates: SlashOrder | None = None
    zone: str = ""
    encoding: str = ""
    sheets: tuple[str, ...] = ()
    broken_rows: str = ""

    def over(self, earlier: "Answers") -> "Answers":
        """These answers, and where they say nothing the earlier ones."""
        values = {
            heading: {**earlier.values.get(heading, {}), **self.values.get(heading, {})}
            for heading in {**earlier.values, **self.values}
        }
        return Answers(
            columns=_laid_over(earlier.columns, self.columns),
            units={**earlier.units, **self.units},
            unreadable={**earlier.unreadable, **self.unreadable},
            blanks={**earlier.blanks, **self.blanks},
            values=values,
            dates=self.dates or earlier.dates,
            zone=self.zone or earlier.zone,
            encoding=self.encoding or earlier.encoding,
            sheets=self.sheets or earlier.sheets,
            broken_rows=self.broken_rows or earlier.broken_rows,
        )

    def with_entry(self, table: Table, heading: str, answer: str) -> "Answers":
        """These answers with one more in a table that goes by heading."""
        entries: dict[str, Any] = {table: {**getattr(self, table), heading: answer}}
        return replace(self, **entries)

    def with_value(self, heading: str, value: str, meaning: str) -> "Answers":
        """These answers with the meaning of one more value."""
        column = {**self.values.get(heading, {}), value: meaning}
        return replace(self, values={**self.values, heading: column})

    def with_dates(self, dates: SlashOrder | None) -> "Answers":
        """These answers with the order of numbers between slashes."""
        return replace(self, dates=dates)

    def meanings_in(self, heading: str) -> Mapping[str, str]:
        """What was answered for the values of this column, by what their spellings share."""
        wanted = spelling(heading)
        anywhere = self.values.get("", {})
        here = [v for name, v in self.values.items() if name and spelling(name) == wanted]
        tables = (anywhere, *here)
        return {spelling(value): means for table in tables for value, means in table.items()}

    def of(self, table: Table, heading: str) -> str:
        """The answer for this heading in one of the tables, in any spelling; "" for none."""
        wanted = spelling(heading)
        entries: Mapping[str, str] = getattr(self, table)
        return next((a for name, a in entries.items() if spelling(name) == wanted), "")


NO_ANSWERS = Answers()


def _laid_over(earlier: Mapping[str, str], later: Mapping[str, str]) -> dict[str, str]:
    said = {spelling(name) for name in later}
    return {**{n: a for n, a in earlier.items() if spelling(n) not in said}, **later}


_PLAIN = ("dates", "zone", "encoding", "broken_rows")
_TABLES: tuple[Table, ...] = ("columns", "units", "unreadable", "blanks")


def answers_text(answers: Answers) -> str:
    """The answers as TOML, which `read_answers` reads back as the same."""
    lines = ["# What was answered when this spreadsheet was imported; `--answers` repeats it."]
    plain = {name: getattr(answers, name) for name in _PLAIN}
    lines += [f"{name} = {_quoted(value)}" for name, value in plain.items() if value]
    if answers.sheets:
        lines.append(f"sheets = [{', '.join(map(_quoted, answers.sheets))}]")
    for table in _TABLES:
        lines += _table_lines(table, getattr(answers, table))
    for heading, column in answers.values.items():
        lines += _table_lines(f"values.{_quoted(heading)}", column)
    return "\n".join(lines) + "\n"


def _table_lines(name: str, entries: Mapping[str, str]) -> list[str]:
    if not entries:
        return []
    return ["", f"[{name}]", *(f"{_quoted(key)} = {_quoted(entries[key])}" for key in entries)]


def _quoted(text: str) -> str:
    # JSON's escapes are those of TOML but for DEL, which needs one there.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def read_answers(text: str) -> tuple[Answers, tuple[Problem, ...]]:
    """Answers from TOML, and what is wrong with it."""
    try:
        plain = tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        return NO_ANSWERS, (Problem(0, "answers", str(error), "TOML as an import writes it"),)
    except (ValueError, RecursionError):
        expected = "TOML as an import writes it, without endless numbers or lists within lists"
        return NO_ANSWERS, (Problem(0, "answers", "", expected),)
    problems: list[Problem] = []
    known = set(Answers.__struct_fields__)
    for name in plain.keys() - known:
        expected = f"one of: {', '.join(sorted(known))}"
        problems.append(Problem(0, "answers", clean(name), expected))
    tables = {name: _texts(plain, name, problems) for name in _TABLES}
    values: dict[str, Mapping[str, str]] = {}
    kept = plain.get("values", {})
    if isinstance(kept, dict):
        values = {heading: _texts(kept, heading, problems) for heading in kept}
    else:
        problems.append(Problem(0, "answers", "values", "a table for each heading"))
    single = {name: _text(plain, name, problems) for name in _PLAIN}
    if single["dates"] not in {"", "dmy", "mdy"}:
        problems.append(Problem(0, "answers", single["dates"], "dates: dmy or mdy"))
    sheets = plain.get("sheets", [])
    if not isinstance(sheets, list) or not all(isinstance(sheet, str) for sheet in sheets):
        problems.append(Problem(0, "answers", "sheets", "a list of names of sheets"))
        sheets = []
    if problems:
        return NO_ANSWERS, tuple(problems)
    return (
        Answers(
            **cast("dict[str, Any]", tables),
            values=values,
            dates=cast("SlashOrder | None", single["dates"] or None),
            zone=single["zone"],
            encoding=single["encoding"],
            broken_rows=single["broken_rows"],
            sheets=tuple(sheets),
        ),
        (),
    )


def _texts(plain: Mapping[str, Any], name: str, problems: list[Problem]) -> Mapping[str, str]:
    table = plain.get(name, {})
    if isinstance(table, dict) and all(isinstance(value, str) for value in table.values()):
        return table
    problems.append(Problem(0, "answers", clean(name), "a table of texts"))
    return {}


def _text(plain: Mapping[str, Any], name: str, problems: list[Problem]) -> str:
    value = plain.get(name, "")
    if isinstance(value, str):
        return value
    problems.append(Problem(0, "answers", clean(str(value)), f"{name}: a text"))
    return ""


def read_map(pairs: Iterable[str]) -> tuple[Mapping[str, str], tuple[Problem, ...]]:
    """Meanings from pairs such as "Their heading=our_field" or "zu locker=loose".

    Whether the left side is a heading or a value, the file says.
    """
    meant: dict[str, str] = {}
    problems: list[Problem] = []
    for pair in pairs:
        left, sign, meaning = pair.rpartition("=")
        if not sign or not left.strip() or not meaning.strip():
            problems.append(Problem(0, "map", clean(pair), '"Their heading=our_field"'))
        elif left.strip() in meant:
            problems.append(Problem(0, "map", clean(pair), "each heading once"))
        else:
            meant[left.strip()] = meaning.strip()
    return meant, tuple(problems)
