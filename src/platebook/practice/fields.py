"""The record's contract: every field an attempt may have, and the values its choices may take.

The tables in `data/` are the contract; this module only reads them. The names are the same in the
logbook, CSV, JSON and Python. One row of `fields.csv` is all that a field needs: what it is, when
it is asked and in which words, what a sensible number of it is, and what analysis may do. The
values of `part` are the part exercises there are, a table each in `parts.toml`.
"""

import functools
from collections.abc import Mapping
from typing import Any, Literal, cast

from platebook.practice.defects import GOOD, defects, verdicts
from platebook.tables import csv_rows, toml_table
from platebook.values import Value

FieldType = Literal[
    "text",
    "integer",
    "number",
    "length",
    "choice",
    "yes/no",
    "datetime",
    "uuid7",
    "defects",
    "list",
]
Role = Literal["cause", "process", "response", "nuisance", "identifier", "none"]
TOOLS_OF_A_STONE = (
    "pilot_mm",
    "opening_bur_shape",
    "opening_bur_mm",
    "seat_bur",
    "seat_bur_shape",
    "seat_bur_mm",
)
"""The tools of a set-up that go with the size of its stone, by field."""

Asked = Literal["never", "once", "plate", "carried", "reading", "look", "optional", "automatic"]


class Field(Value):
    """One field of the record: what it means, who asks for it and what analysis may do with it.

    `label` is its name in words and `unit` that of its numbers, "" where it has none. `low` and
    `high` bound what a number can sensibly be (judgement, and wide on purpose); None for what is no
    number. `help` says how it is read at the bench, "" where its meaning says enough.
    """

    name: str
    group: str
    type: FieldType
    role: Role
    asked: Asked
    meaning: str
    label: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    help: str = ""

    @property
    def may_be_a_cause(self) -> bool:
        """Whether findings judge it; a field whose role is `process` may as well be an effect."""
        return self.role in {"cause", "process"}


class Choice(Value):
    """One value of a choice field, its other spellings, and its rank where it has an order."""

    value: str
    aliases: tuple[str, ...]
    rank: int | None


class PartExercise(Value, kw_only=True):
    """What a part exercise trains.

    `cautions` is the step of the work whose cautions belong to it, `does` the steps that the setter
    does in it, `stone` whether a stone is in it, `readings` the fields that it can have read, in
    the order asked.
    """

    name: str
    cautions: str
    aliases: tuple[str, ...] = ()
    does: tuple[str, ...] = ()
    stone: bool = True
    readings: tuple[str, ...] = ()


def _number(text: str) -> float | None:
    return float(text) if text else None


@functools.cache
def fields() -> Mapping[str, Field]:
    """All fields by name, in the order of the contract."""
    return {
        row["field"]: Field(
            name=row["field"],
            group=row["group"],
            type=cast("FieldType", row["type"]),
            role=cast("Role", row["role"]),
            asked=cast("Asked", row["asked"]),
            meaning=row["meaning"],
            label=row["label"] or row["field"].replace("_", " "),
            unit=row["unit"],
            low=_number(row["low"]),
            high=_number(row["high"]),
            help=row["help"],
        )
        for row in csv_rows("platebook.practice", "fields.csv")
    }


@functools.cache
def choices() -> Mapping[str, tuple[Choice, ...]]:
    """The listed values of each choice field, in the order of the contract.

    Those of `result` are good and the defects of `defects.toml`, a digit that keys one being its
    rank; those of `part` are the parts of `parts.toml`.
    """
    listed: dict[str, list[Choice]] = {}
    for row in csv_rows("platebook.practice", "choices.csv"):
        aliases = tuple(a for a in row["aliases"].split(";") if a)
        rank = int(row["rank"]) if row["rank"] else None
        listed.setdefault(row["field"], []).append(Choice(row["value"], aliases, rank))
    results = (verdicts()[GOOD], *defects().values())
    listed["result"] = [Choice(r.name, r.aliases, _rank_of_key(r.key)) for r in results]
    listed["part"] = [Choice(part.name, part.aliases, None) for part in parts().values()]
    return {name: tuple(values) for name, values in listed.items()}


def _rank_of_key(key: str) -> int | None:
    return int(key) or None if key.isdecimal() else None


@functools.cache
def ranks(field: str) -> Mapping[str, int]:
    """Rank by value for an ordered choice field; empty for one without an order."""
    return {c.value: c.rank for c in choices().get(field, ()) if c.rank is not None}


@functools.cache
def parts() -> Mapping[str, PartExercise]:
    """All parts by name, in the order of the table; ValueError for one that lacks something."""
    return {row["name"]: _part(row) for row in _parts_table()["part"]}


@functools.cache
def _parts_table() -> dict[str, Any]:
    return toml_table("platebook.practice", "parts.toml")


def parts_without(step: str) -> tuple[str, ...]:
    """The parts in which the setter does not do this step of the work."""
    return tuple(part.name for part in parts().values() if step not in part.does)


def steps_done(kind: str | None, part: str | None) -> frozenset[str]:
    """The steps of the work that are done in an attempt of this kind; all of them in a setting."""
    known = parts().get(part or "") if kind == "part" else None
    return frozenset(_parts_table()["tools"]) if known is None else frozenset(known.does)


def tools_together() -> tuple[tuple[str, ...], ...]:
    """The fields of one tool each, where they say different things of it; each has two or more."""
    by_step: Mapping[str, list[str]] = _parts_table()["tools"]
    return tuple(tuple(by_step[step]) for step in ("open", "seat", "level"))


def tools_not_of(part: str | None) -> frozenset[str]:
    """The fields of the set-up that serve only steps which are not done in this part.

    None for a part that the table does not know, as for a whole setting.
    """
    known = parts().get(part or "")
    if known is None:
        return frozenset()
    by_step: Mapping[str, list[str]] = _parts_table()["tools"]
    return frozenset(
        name for step, names in by_step.items() if step not in known.does for name in names
    )


def _part(row: Mapping[str, Any]) -> PartExercise:
    values: dict[str, Any] = {key: tuple(v) if isinstance(v, list) else v for key, v in row.items()}
    try:
        return PartExercise(**values)
    except TypeError as error:
        raise ValueError(f"parts.toml, {row['name']}: {error}") from error
