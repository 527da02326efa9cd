"""Sizes from typed values: the answer, or a sentence for each value that cannot be."""

import csv
import math
from pathlib import Path

import pytest

from platebook.practice.field_values import read_field
from platebook.services.sizes import sizes_for
from platebook.trade.setup_sheet import SetUpSheet

REFERENCE = Path(__file__).parents[1] / "reference"


def _sizes(**typed: str) -> SetUpSheet:
    answer = sizes_for(typed)
    assert {problem.level for problem in answer.problems} <= {"notice"}
    assert answer.sizes is not None
    return answer.sizes


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "diameter: read 'nothing', expected the stone's diameter, such as 1.98"),
        ({"diameter": "0"}, "diameter: read '0', expected a length above zero such as 1.98,"),
        ({"diameter": "-1.98"}, "; a length is never negative"),
        ({"diameter": "two"}, "diameter: read 'two', expected a length above zero"),
        ({"diameter": "40"}, "diameter: read '40 mm', expected a round stone of 0.7 to 10 mm"),
        ({"diameter": "19.8"}, "; did you mean 1.98 mm?"),
        (
            {"diameter": "0.078"},
            "0.7 to 10 mm; did you mean inches? 0.078 in is 1.981 mm",
        ),
        (
            {"diameter": "1.98", "depth": "2.5"},
            "depth: read '2.5 mm', expected a depth from table to culet of 0.69 to 1.98 mm",
        ),
        ({"diameter": "1.98", "depth": "12"}, "; did you mean 1.2 mm?"),
        ({"diameter": "1.98", "sheet": "47 ga"}, "sheet: read '47 ga', expected "),
        ({"diameter": "1.98", "sheet": "20"}, "; did you mean 20 ga (0.812 mm)?"),
        ({"diameter": "1.98", "sheet": "0.05"}, "sheet: read '0.05 mm', expected one layer of"),
        ({"diameter": "1.98", "layers": "some"}, "layers: read 'some', expected a whole number"),
        ({"diameter": "1.98", "layers": "0"}, "layers: read '0', expected a whole number"),
        (
            {"diameter": "1.98", "method": "glue"},
            "method: read 'glue', expected one of drop in, push in, snap in",
        ),
    ],
)
def test_a_value_that_cannot_be_is_a_sentence(typed: dict[str, str], sentence: str) -> None:
    """Field, what was read, what is possible and where it shows what was meant; no sizes."""
    answer = sizes_for(typed)
    assert answer.sizes is None
    (problem,) = answer.problems
    assert sentence in str(problem)
    assert problem.level == "problem"


def test_all_faults_are_told_at_once() -> None:
    """Nobody mends one to be told of the next."""
    typed = {"diameter": "x", "depth": "y", "sheet": "z", "layers": "q", "method": "glue"}
    assert [p.field for p in sizes_for(typed).problems] == list(typed)


def test_an_escape_sequence_is_not_repeated() -> None:
    """What is shown back is clean text."""
    (problem,) = sizes_for({"diameter": "\x1b[31m2\x07"}).problems
    assert problem.read.isprintable()


@pytest.mark.parametrize("typed", ["1.98", "1,98", "1.98 mm", " 1.980mm "])
def test_a_length_is_read_as_people_type_it(typed: str) -> None:
    """Point, comma, unit and blanks."""
    assert _sizes(diameter=typed).stone.diameter_mm == 1.98


@pytest.mark.parametrize("gauge", ["18", "20", "22", "24"])
def test_a_sheet_in_gauge_has_the_published_thickness(gauge: str) -> None:
    """Brown & Sharpe, ASTM B258, to the micrometre: gauge-brown-sharpe.csv."""
    with (REFERENCE / "gauge-brown-sharpe.csv").open(encoding="utf-8", newline="") as file:
        published = {row["gauge"]: float(row["mm"]) for row in csv.DictReader(file)}
    sizes = _sizes(diameter="1.98", sheet=f"{gauge} ga")
    assert sizes.sheet.thickness_mm == pytest.approx(published[gauge], abs=5e-4)


def test_without_a_sheet_the_customary_gauge_is_taken() -> None:
    """20 ga for a stone of 2 mm (common practice)."""
    assert _sizes(diameter="2.0").sheet.thickness_mm == 0.812
    assert _sizes(diameter="2.0").sheet.customary_gauge == 20


def test_a_sheet_that_was_not_given_is_said_to_be_custom() -> None:
    """So that nobody takes custom's gauge for their own sheet."""
    said = "No sheet was given: custom's 20 ga is taken."
    assert _sizes(diameter="2.0").cautions[-1] == said
    assert said not in _sizes(diameter="2.0", sheet="20ga").cautions


def test_layers_add_up() -> None:
    """Two of 20 ga are 1.624 mm thick (arithmetic)."""
    assert _sizes(diameter="2.0", sheet="20ga", layers="2").sheet.thickness_mm == 1.624


def test_a_material_is_known_by_its_other_names() -> None:
    """One that is not listed stays as typed."""
    assert _sizes(diameter="2", material="CZ").stone.material == "cubic zirconia"
    assert _sizes(diameter="2", material="Moon glass").stone.material == "Moon glass"


@pytest.mark.parametrize("typed", ["CZ", "Cubic  Zirconia", "Moon Glass", " Glas É ", "", "  "])
def test_a_material_is_read_as_the_record_reads_it(typed: str) -> None:
    """One reader for both, so that a log and its sizes name a stone alike."""
    read, _ = read_field("stone_material", typed) if typed.strip() else (None, "")
    assert _sizes(diameter="2", material=typed).stone.material == read


def test_a_stone_out_of_round_is_typed_by_its_ends() -> None:
    """The mean counts, and how far it is out of round is carried on."""
    for typed in ("1.95-2.01", "2,01 – 1,95 mm", "1.95 to 2.01"):
        stone = _sizes(diameter=typed).stone
        assert (stone.diameter_mm, stone.ovality_mm) == (1.98, 0.06)
    assert [p.field for p in sizes_for({"diameter": "1.95-wide"}).problems] == ["diameter"]


def test_a_rule_is_chosen_for_once() -> None:
    """The size says which rule it came from; unknown rules and two for one question are told."""
    custom, chosen = _sizes(diameter="2"), sizes_for({"diameter": "2"}, rules=["seat-95-percent"])
    assert custom.seat_bur.rule == "seat-0.10-under"
    assert chosen.sizes is not None
    assert (chosen.sizes.seat_bur.rule, chosen.sizes.seat_bur.choose_mm) == ("seat-95-percent", 1.9)
    faults = sizes_for({"diameter": "2"}, rules=["pilot-third", "pilot-two-fifths", "thumb"])
    assert [(p.field, p.read) for p in faults.problems] == [
        ("rule", "thumb"),
        ("rule", "pilot-two-fifths"),
    ]


def test_a_speed_is_a_limit_where_the_metal_is_known() -> None:
    """1000 v / (pi d) with 21 m/min for copper (handbook speeds, from data/speeds.csv)."""
    sizes = _sizes(diameter="2", metal="copper", sheet="20ga")
    assert sizes.seat_bur.not_above_rpm == round(1000 * 21 / (math.pi * 1.9))
    assert "a limit, not a target" in (sizes.seat_bur.speed or "")
    assert _sizes(diameter="2").seat_bur.not_above_rpm is None


@pytest.mark.parametrize("typed", ["snap-in", "Snap  In", "SNAP IN"])
def test_a_method_is_read_however_it_is_joined(typed: str) -> None:
    """Case, blanks and hyphens do not matter."""
    assert _sizes(diameter="2", method=typed).seat.method == "snap in"


def test_a_material_that_nobody_knows_is_said_and_kept() -> None:
    """Nothing is known of what it stands, which is worth a notice."""
    found = sizes_for({"diameter": "2", "material": "moon glass", "metal": "tin"})
    assert found.sizes is not None
    assert [(p.field, p.level) for p in found.problems] == [
        ("material", "notice"),
        ("metal", "notice"),
    ]
    assert found.problems[0].expected.startswith("one of: ")
