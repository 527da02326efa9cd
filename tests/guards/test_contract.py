"""The record's contract: one set of names in the tables, the attempt and the rows."""

import csv
import dataclasses
from pathlib import Path

import pytest

from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD, defects
from platebook.practice.fields import choices, fields
from platebook.practice.look import COMPUTED, DEFECTS, RESULT_KEYS
from platebook.practice.values import bounds
from platebook.practice.writing_rows import write_row

ROOT = Path(__file__).parents[2]
REFERENCE = ROOT / "tests" / "reference"
OURS = ROOT / "src" / "platebook" / "practice" / "data"
BESIDE_THE_RECORD = ("day_only", "extra")


def rows(path: Path) -> list[tuple[str, ...]]:
    """All rows of one table as they stand."""
    with path.open(encoding="utf-8", newline="") as file:
        return [tuple(row) for row in csv.reader(file)]


def test_the_attempt_has_the_fields_of_the_contract() -> None:
    """In the same order, with only the two attributes that are no fields behind them."""
    attributes = [field.name for field in dataclasses.fields(Attempt)]
    assert attributes == [*fields(), *BESIDE_THE_RECORD]


def test_a_row_has_the_fields_of_the_contract() -> None:
    """What is written has these columns and no other."""
    assert list(write_row(Attempt())) == list(fields())


def test_every_field_of_the_reference_is_ours() -> None:
    """The contract may grow, but nothing in it changes or goes."""
    assert set(rows(REFERENCE / "fields.csv")) - set(rows(OURS / "fields.csv")) == set()


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


def test_limits_belong_to_fields_of_the_contract() -> None:
    """No limit stands for a field that is not there."""
    assert set(bounds()) <= set(fields())
