"""Published data as logs: what textbooks find in them comes first, in any order of the rows.

Each data set is mapped to attempts by fields of a course, with the role of a cause; nothing of it
is known to the trade map. Sources stand in tests/reference/README.md, where the data lie.
"""

import csv
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest
from tests.builders import some_course

from platebook.analysis import find
from platebook.analysis.findings.telling.results import Finding
from platebook.analysis.variables.attempt_log import EVERYTHING
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import ExtraField
from platebook.practice.fields import FieldType

REFERENCE = Path(__file__).parents[2] / "reference"
FIRST = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
ORDERS = (11, 12, 13)

Fields = tuple[tuple[str, str | float | bool], ...]


def _rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((REFERENCE / name).read_text(encoding="utf-8").splitlines()))


def _found(sessions: Sequence[list[tuple[bool, Fields]]], seed: int) -> tuple[Finding, ...]:
    """What is found where these sessions of (failed, fields) come in an order by lot."""
    kinds: Mapping[type, FieldType] = {bool: "yes/no", float: "number", str: "choice"}
    fields = sessions[0][0][1]
    course = some_course(
        extra=tuple(
            ExtraField(name=name, type=kinds[type(value)], role="cause", meaning=name)
            for name, value in fields
        )
    )
    order = np.random.default_rng(seed).permutation(len(sessions))
    attempts = [
        Attempt(
            result=("loose",) if failed else ("good",),
            began=FIRST + timedelta(days=day, minutes=minute),
            extra=extra,
        )
        for day, place in enumerate(order)
        for minute, (failed, extra) in enumerate(sessions[place])
    ]
    return find(attempts, course=course, window=EVERYTHING).findings


def _births() -> list[list[tuple[bool, Fields]]]:
    """A birth a day: low weight is the failure."""
    races = {"1": "white", "2": "black", "3": "other"}
    return [
        [
            (
                row["low"] == "1",
                (
                    ("age", float(row["age"])),
                    ("weight_of_mother", float(row["lwt"])),
                    ("race", races[row["race"]]),
                    ("smoked", row["smoke"] == "1"),
                    ("earlier_premature_labours", float(row["ptl"])),
                    ("hypertension", row["ht"] == "1"),
                    ("irritability_of_uterus", row["ui"] == "1"),
                    ("visits", float(row["ftv"])),
                ),
            )
        ]
        for row in _rows("birth-weight.csv")
    ]


IN_THE_TEXTBOOK = {
    "earlier_premature_labours",
    "weight_of_mother",
    "hypertension",
    "irritability_of_uterus",
    "smoked",
    "race",
}


@pytest.mark.parametrize("seed", ORDERS)
def test_low_birth_weight_goes_first_with_earlier_premature_labours(seed: int) -> None:
    """Venables & Ripley 2002, 7.2: kept are ptd, lwt, ht, ui, smoke and race; age and visits go.

    One of 189 rows a session, 59 low. Earlier premature labours have the largest single effect.
    """
    found = _found(_births(), seed)
    first = found[0]
    assert (first.variable, first.direction) == ("earlier_premature_labours", "higher")
    assert [(count.failed, count.of) for count in first.counts] == [(18, 30), (41, 159)]
    assert {finding.variable for finding in found} <= IN_THE_TEXTBOOK


def _patients() -> list[list[tuple[bool, Fields]]]:
    """A patient is a session of four visits: a poor respiratory status is the failure."""
    by_patient = groupby(_rows("respiratory.csv"), key=lambda row: (row["center"], row["id"]))
    return [
        [
            (
                row["outcome"] == "0",
                (
                    ("centre", row["center"]),
                    ("treated", row["treat"] == "A"),
                    ("sex", row["sex"]),
                    ("age", float(row["age"])),
                    ("good_at_first", row["baseline"] == "1"),
                    ("visit", float(row["visit"])),
                ),
            )
            for row in visits
        ]
        for _, visits in by_patient
    ]


@pytest.mark.parametrize("seed", ORDERS)
def test_respiratory_status_goes_with_the_first_status_and_the_treatment(seed: int) -> None:
    """Davis 1991: the status at the start first, and the active drug; sex and visit say nothing.

    444 visits of 111 patients: what a patient is treated with stands all through a session.
    """
    found = _found(_patients(), seed)
    first, treated = found[0], next(f for f in found if f.variable == "treated")
    assert (first.variable, first.direction, first.status) == ("good_at_first", "no", "claim")
    assert (treated.direction, treated.status) == ("no", "claim")
    assert [(count.failed, count.of) for count in treated.counts] == [(127, 228), (69, 216)]
    assert {"sex", "visit"}.isdisjoint(f.variable for f in found)
