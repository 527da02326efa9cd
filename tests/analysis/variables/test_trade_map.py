"""The trade map and the table of variables are complete and say what the reference says."""

import csv
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.measured.upstream import upstream_cell
from platebook.analysis.models.censored import DEPTH, OVERCUT
from platebook.analysis.variables.columns import Column, Kind, known_variables, variable
from platebook.analysis.variables.trade_map import Form, defined_by, expectation, trade_map
from platebook.practice.fields import fields
from platebook.practice.results import DEFECTS

REFERENCE = Path(__file__).parents[2] / "reference" / "trade-map.csv"
NOT_IN_THE_RECORD = {"edge_distance_mm"}
"""The map knows it; no field of the record gives it yet."""

OF_SEATS = {OVERCUT.name, DEPTH.name}
AFTER_THE_SEAT = {
    "clearance_mm",
    "fit",
    "seat_diameter_mm",
    "depth_error_mm",
    "trial_height",
    "ledge",
    "undersize_mm",
    "seat_bur_mm",
    "levelled_by",
    "punch",
    "hammer_g",
    "burnisher_tip_mm",
    "burnisher_polished",
    "burnish_passes",
    "effort",
    "point_order",
    "minutes",
}
"""Read of the finished seat, part of what is measured, or done after it (design.md's groups)."""

UPSTREAM = {key: row for key, row in trade_map().items() if key[1] in OF_SEATS}
OF_DEFECTS = {key: row for key, row in trade_map().items() if key[1] not in OF_SEATS}


def _candidate(name: str, kind: Kind = "number", form: Form = "linear") -> Candidate:
    return Candidate(Column(name, kind, process=False, values=np.array([0.0, 1.0])), form, 1.0)


def test_every_row_of_the_reference_is_in_the_map() -> None:
    """Signs and weights are those of the reference table (common practice and geometry)."""
    with REFERENCE.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    signs = {"+": 1, "-": -1, "0": 0}
    expected = {(r["variable"], r["defect"]): (signs[r["sign"]], r["weight"]) for r in rows}
    found = {key: (row.sign, row.weight) for key, row in OF_DEFECTS.items()}
    assert {key: found[key] for key in expected} == expected
    assert {variable for variable, _ in found.keys() - expected.keys()} == set(LATER)


LATER = {
    "lobed_mm": ("loose", "gap"),
    "curve_drop_mm": ("loose", "gap"),
    "girdle_uneven_mm": ("tilted",),
    "stone_table_off_mm": ("tilted",),
    "stone_girdle_min_mm": ("chipped",),
}
"""Variables whose rows are newer than the reference table, with what they go with."""
THIN = "stone_girdle_min_mm"


def test_what_is_newer_than_the_reference_goes_with_open_rims_and_leaning_tables() -> None:
    """Less wall to close and lobes: loose and gap; uneven: tilted (geometry); a thin one chips."""
    newer = {key: row.sign for key, row in OF_DEFECTS.items() if key[0] in LATER}
    expected = {(name, defect): 1 for name, defects in LATER.items() for defect in defects}
    assert newer == {**expected, (THIN, "chipped"): -1}


def test_the_map_speaks_of_defects_of_the_record() -> None:
    """A defect that nobody can log would never be found."""
    assert {defect for _, defect in OF_DEFECTS} - {*DEFECTS, "any"} == set()


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


def test_nothing_after_the_seat_is_asked_about() -> None:
    """Burnishing cannot have made a seat wide."""
    assert {name for name, _ in UPSTREAM} & AFTER_THE_SEAT == set()
    assert all(upstream_cell("overcut", _candidate(name)) is None for name in AFTER_THE_SEAT)


def test_every_row_names_a_known_variable_and_response_and_says_of_what_kind() -> None:
    """A typing error in the table would silently ask nothing."""
    assert {name for name, _ in UPSTREAM} <= set(known_variables())
    assert {response for _, response in UPSTREAM} == OF_SEATS
    kinds = Counter(row.kind for row in UPSTREAM.values())
    assert set(kinds) == {"geometry", "common practice", "judgement"}
    assert all(row.reason for row in UPSTREAM.values() if row.weight != "open")


@pytest.mark.parametrize(
    ("name", "response", "sign"),
    [("runout", "overcut", 1), ("speed_step", "depth error", 1), ("seat_bur_uses", "overcut", 0)],
)
def test_the_expected_sign(name: str, response: str, sign: int) -> None:
    """Run-out cuts wider than the bur (geometry); of wear the data must say (judgement)."""
    cell = upstream_cell(response, _candidate(name))
    assert cell is not None
    assert np.sign(cell.mean) == sign


def test_a_level_has_its_variable_s_weight_and_expects_nothing() -> None:
    """A choice without an order has no direction, and one rare level may be what matters."""
    of_all = upstream_cell("overcut", _candidate("support"))
    level = upstream_cell("overcut", _candidate("support", "level"))
    assert of_all is not None
    assert level is not None
    assert (level.weight, level.mean) == (of_all.weight, 0.0)


def test_the_form_that_the_map_does_not_name_weighs_less() -> None:
    """Run-out is expected to widen, not to matter both ways."""
    straight = upstream_cell("overcut", _candidate("runout"))
    bent = upstream_cell("overcut", _candidate("runout", form="distance"))
    assert straight is not None
    assert bent is not None
    assert bent.weight < straight.weight
    assert bent.mean == 0.0
