"""The record's contract: one set of names in the tables, the attempt and the rows."""

import csv
from inspect import get_annotations
from pathlib import Path

import pytest

from platebook.practice.attempt import BESIDE_THE_FIELDS, TYPES, Attempt, with_every_field
from platebook.practice.defects import GOOD, defects
from platebook.practice.fields import choices, fields
from platebook.practice.reading.attempt_rows import write_row
from platebook.practice.reading.field_values import bounds
from platebook.practice.results import COMPUTED, DEFECTS, RESULT_KEYS
from platebook.values import Value

ROOT = Path(__file__).parents[2]
REFERENCE = ROOT / "tests" / "reference"
OURS = ROOT / "src" / "platebook" / "practice" / "data"


def rows(path: Path) -> list[tuple[str, ...]]:
    """All rows of one table as they stand."""
    with path.open(encoding="utf-8", newline="") as file:
        return [tuple(row) for row in csv.reader(file)]


def test_the_attempt_has_the_fields_of_the_contract() -> None:
    """In the same order, with only the two attributes that are no fields behind them."""
    attributes = list(Attempt.__struct_fields__)
    assert attributes == [*fields(), *BESIDE_THE_FIELDS]


def test_the_lines_of_the_attempt_are_of_the_types_in_the_table() -> None:
    """A field that is written out for the type checker says the same as its row in fields.csv."""
    types = get_annotations(Attempt)
    expected = {name: TYPES[field.type] | None for name, field in fields().items()}
    assert {name: types[name] for name in fields()} == expected


def test_an_attribute_without_a_row_is_refused() -> None:
    """The message says what is missing, when the program starts."""

    class Stray(Value):
        no_such_field: float | None = None

    with pytest.raises(TypeError, match=r"no_such_field is no field: add its row to data/fields"):
        with_every_field(Stray)


def test_a_row_has_the_fields_of_the_contract() -> None:
    """What is written has these columns and no other."""
    assert list(write_row(Attempt())) == list(fields())


def test_every_field_of_the_reference_is_ours() -> None:
    """The contract may grow by rows and columns, but nothing in it changes or goes."""
    contract, ours = rows(REFERENCE / "fields.csv"), rows(OURS / "fields.csv")
    places = [ours[0].index(column) for column in contract[0]]
    missing = set(contract) - {tuple(row[place] for place in places) for row in ours}
    assert missing == set()


@pytest.mark.parametrize(
    "field", dict.fromkeys(row[0] for row in rows(REFERENCE / "choices.csv")[1:])
)
def test_every_choice_of_the_reference_is_ours(field: str) -> None:
    """Values, aliases and ranks in the order of the reference, whatever table they stand in."""
    wanted = [row[1:] for row in rows(REFERENCE / "choices.csv") if row[0] == field]
    ours = [
        (choice.value, ";".join(choice.aliases), "" if choice.rank is None else str(choice.rank))
        for choice in choices()[field]
    ]
    assert [row for row in ours if row in wanted] == wanted


def test_every_choice_field_has_a_list_and_every_list_a_field() -> None:
    """The two tables name the same choice fields; results have a list too."""
    listed = {name for name, field in fields().items() if field.type == "choice"}
    assert set(choices()) == {*listed, "result"}


def test_results_keys_and_defects_are_one_list() -> None:
    """The list of results, the defects and the keys of the number pad agree."""
    listed = choices()["result"]
    assert [choice.value for choice in listed] == [GOOD, *defects()]
    assert {*DEFECTS, *COMPUTED} == set(defects())
    by_digit = {str(choice.rank): choice.value for choice in listed if choice.rank is not None}
    letters = {key: result for key, result in RESULT_KEYS.items() if not key.isdigit()}
    assert {"0": GOOD, **by_digit, **letters} == RESULT_KEYS


def test_limits_are_two_and_belong_to_numbers() -> None:
    """A number has a low and a high one, and nothing else has either."""
    numbers = {f.name for f in fields().values() if f.type in {"length", "number", "integer"}}
    either = {f.name for f in fields().values() if f.low is not None or f.high is not None}
    assert set(bounds()) == either == numbers
    assert all(limits.low < limits.high for limits in bounds().values())


def test_lengths_are_in_millimetres_and_end_so() -> None:
    """The logbook keeps them in micrometres under a name that says it."""
    lengths = {f.name for f in fields().values() if f.type == "length"}
    assert {name for name in lengths if not name.endswith("_mm")} == set()
    assert {fields()[name].unit for name in lengths} == {"mm"}
