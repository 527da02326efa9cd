"""The trade map and the table of variables are complete and say what the reference says."""

import csv
from pathlib import Path

from platebook.analysis.trade_map import defined_by, trade_map
from platebook.analysis.variables import expectation, known_variables, variable
from platebook.practice.fields import fields
from platebook.practice.look import DEFECTS

REFERENCE = Path(__file__).parents[1] / "reference" / "trade-map.csv"
NOT_IN_THE_RECORD = {"edge_distance_mm"}
"""The map knows it; no field of the record gives it yet."""


def test_every_row_of_the_reference_is_in_the_map() -> None:
    """Signs and weights are those of the reference table (common practice and geometry)."""
    with REFERENCE.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    signs = {"+": 1, "-": -1, "0": 0}
    expected = {(r["variable"], r["defect"]): (signs[r["sign"]], r["weight"]) for r in rows}
    assert {key: (row.sign, row.weight) for key, row in trade_map().items()} == expected


def test_the_map_speaks_of_defects_of_the_record() -> None:
    """A defect that nobody can log would never be found."""
    assert {defect for _, defect in trade_map()} - {*DEFECTS, "any"} == set()


def test_every_cause_of_the_record_and_of_the_map_has_words() -> None:
    """No variable is ever shown by its column name."""
    spoken = set(known_variables())
    causes = {n for n, f in fields().items() if f.role in {"cause", "process"} and f.type != "text"}
    mapped = {name for name, _ in trade_map()} - NOT_IN_THE_RECORD
    nuisance = {n for n, f in fields().items() if f.role == "nuisance"}
    assert (causes | mapped) - nuisance - spoken == set()


def test_a_choice_that_tells_a_dimension_takes_its_place_in_the_map() -> None:
    """Where only `fit` stands, it goes with loose stones as clearance does."""
    assert expectation("fit", "loose") == trade_map()["clearance_mm", "loose"]


def test_depth_and_height_are_defined_by_each_other() -> None:
    """Too deep is low by definition: never a discovery."""
    assert defined_by("depth_error_mm") == {"low", "high"}
    assert defined_by("trial_height") == {"low", "high"}


def test_a_course_field_is_a_family_of_its_own() -> None:
    """An unknown name is spoken as it was typed."""
    assert variable("lamp_height").family == "lamp height"
