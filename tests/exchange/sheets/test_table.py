"""Headings of a table and the fields they mean."""

import pytest
from tests.builders import some_course

from platebook.exchange.csv_file import read_csv_sheets
from platebook.exchange.sheets.answers import read_map
from platebook.exchange.sheets.meaning import TableMeaning
from platebook.exchange.sheets.table import rows_of
from platebook.exchange.sheets.understanding import understand
from platebook.practice.courses.course import ExtraField
from platebook.practice.problem import Problem


def taken(*headings: str, **options: object) -> tuple[list[str | None], list[Problem]]:
    """The field of each heading over one row of numbers, and what is told."""
    text = ",".join(headings) + "\n" + ",".join("4" for _ in headings) + "\n"
    reading = TableMeaning(**options)  # type: ignore[arg-type]
    understood = understand(read_csv_sheets(text.encode(), reading)[0], reading)
    return [column.field for column in understood.columns], [*rows_of(understood).problems]


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("stone_diameter_mm", "stone_diameter_mm"),
        ("Stone diameter mm", "stone_diameter_mm"),
        (" STONE  DIAMETER (mm) ", "stone_diameter_mm"),
        ("Stone-diameter-mm", "stone_diameter_mm"),
        ("Severity?", "severity"),
        ("\ufeffnote", "note"),
    ],
)
def test_case_blanks_and_signs_are_forgiven(heading: str, field: str) -> None:
    """A field's own name is known however it is written."""
    assert taken(heading) == ([field], [])


def test_cells_say_what_a_heading_does_not() -> None:
    """Days in any writing are days; sizes are offered as what sizes are, none of them likelier."""
    text = "when done,hole\n3.2.26,1.98\n2026-02-04,2.03\n5 Feb 2026,1.90\n"
    reading = TableMeaning()
    table = text.replace("hole", "what it was").encode()
    questions = understand(read_csv_sheets(table, reading)[0], reading).questions
    days, sizes = ([option.answer for option in asked.options] for asked in questions)
    assert (days[0], questions[0].suggested) == ("began", True)
    assert (sizes[0], questions[1].suggested) == ("stone_diameter_mm", False)


def test_an_unknown_heading_is_told_with_the_nearest_field() -> None:
    """It is not read, and the rest is."""
    fields, problems = taken("stone diametrisch", "note", "Zzz")
    assert fields == [None, "note", None]
    assert problems == [
        Problem(
            0,
            "stone diametrisch",
            "stone diametrisch",
            "a field of the record; the nearest is stone_diameter_mm; "
            'have it read with --map "stone diametrisch=FIELD"',
            "notice",
            1,
        ),
        Problem(
            0,
            "Zzz",
            "Zzz",
            'a field of the record; have it read with --map "Zzz=FIELD"',
            "notice",
            1,
        ),
    ]


def test_an_empty_heading_is_a_column_of_nothing() -> None:
    """Spreadsheets leave them at the edge; what stands under them is told."""
    fields, told = taken("note", "", "")
    assert fields == ["note", None, None]
    assert [(p.field, p.level, p.expected) for p in told] == [
        (f"column {number}", "notice", "a heading over it; its 1 cell is left out")
        for number in (2, 3)
    ]


def test_a_map_gives_a_heading_its_meaning() -> None:
    """The map wins over the heading's own name, and both sides are forgiven their spelling."""
    column_map = {"how it went": "Result", "Note": "seat_bur"}
    assert taken("How it went", "note", column_map=column_map)[0] == ["result", "seat_bur"]


def test_both_sides_of_a_map_must_exist() -> None:
    """A mistyped heading or field stops the import and lists what there is."""
    column_map = {"Remarks": "notes", "Bur": "seat_bur_mm"}
    problems = taken("Remark", "Bur", column_map=column_map)[1]
    assert [(p.field, p.read, p.expected) for p in problems if p.level == "problem"] == [
        ("Remarks", "Remarks", "a heading of this file: Remark, Bur"),
        ("Remarks", "notes", "a field of the record; the nearest is note"),
    ]


@pytest.mark.parametrize("column_map", [{}, {"Remarks": "note"}])
def test_a_field_may_have_one_column(column_map: dict[str, str]) -> None:
    """Two columns of one field, by name or by map, are a problem."""
    headings = ["Note", "Remarks" if column_map else "note"]
    problems = taken(*headings, column_map=column_map)[1]
    assert [(p.field, p.expected) for p in problems] == [
        (headings[1], "each field once; Note is note too")
    ]


def test_fields_of_a_course_are_known() -> None:
    """They stand beside the record's own."""
    lamp = ExtraField(name="lamp_side", type="text", meaning="side")
    assert taken("Lamp side", course=some_course(extra=(lamp,))) == (["lamp_side"], [])


def test_pairs_of_a_map() -> None:
    """The last equals sign parts heading and field."""
    found, problems = read_map(["Bur I used=seat_bur_mm", "a = b = note"])
    assert problems == ()
    assert found == {"Bur I used": "seat_bur_mm", "a = b": "note"}


@pytest.mark.parametrize("pair", ["note", "=note", "Remarks=", ""])
def test_a_pair_without_two_sides_is_a_problem(pair: str) -> None:
    """The expected form is shown."""
    found, problems = read_map([pair])
    assert found == {}
    assert [p.expected for p in problems] == ['"Their heading=our_field"']


def test_a_heading_is_mapped_once() -> None:
    """A second meaning for the same heading is a problem."""
    found, problems = read_map(["Bur=seat_bur", "Bur=seat_bur_mm"])
    assert found == {"Bur": "seat_bur"}
    assert [p.read for p in problems] == ["Bur=seat_bur_mm"]
