"""The record's contract: one set of names in the tables, the attempt and the rows."""

import csv
import dataclasses
from pathlib import Path

import pytest

from platebook.practice.attempt import Attempt
from platebook.practice.fields import choices, fields
from platebook.practice.look import DEFECTS, GOOD, RESULT_KEYS
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


@pytest.mark.parametrize("name", ["fields.csv", "choices.csv"])
def test_every_row_of_the_reference_is_ours(name: str) -> None:
    """The contract may grow, but nothing in it changes or goes."""
    missing = set(rows(REFERENCE / name)) - set(rows(OURS / name))
    assert missing == set()


def test_every_choice_field_has_a_list_and_every_list_a_field() -> None:
    """The two tables name the same choice fields; results have a list too."""
    listed = {name for name, field in fields().items() if field.type == "choice"}
    assert set(choices()) == {*listed, "result"}


def test_results_keys_and_defects_are_one_list() -> None:
    """The list of results, the defects and the digits of the number pad agree."""
    listed = choices()["result"]
    assert [choice.value for choice in listed] == [GOOD, *DEFECTS, "culet out"]
    by_digit = {str(choice.rank): choice.value for choice in listed if choice.rank is not None}
    assert {"0": GOOD, **by_digit} == RESULT_KEYS


def test_limits_belong_to_fields_of_the_contract() -> None:
    """No limit stands for a field that is not there."""
    assert set(bounds()) <= set(fields())
