"""CSV files as people and spreadsheets write them, and as we do."""

import csv
import io
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.builders import an_attempt, some_course
from tests.practice.attempts import attempts

from platebook.exchange import import_csv, write_csv
from platebook.exchange.csv_file import read_csv_sheets
from platebook.exchange.encodings import likely_encodings
from platebook.exchange.sheets.answers import Answers
from platebook.exchange.sheets.meaning import TableMeaning
from platebook.exchange.sheets.table import attempts_in, table_of
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import ExtraField
from platebook.practice.fields import choices, fields
from platebook.practice.reading.attempt_rows import read_attempts

RESULTS = f"one of: {', '.join(choice.value for choice in choices()['result'])}"


def problems_of(text: str | bytes, **options: object) -> list[tuple[int | None, str, str]]:
    """Line, heading and expectation of each problem of a file."""
    data = text.encode() if isinstance(text, str) else text
    found = import_csv(data, **options)[1]  # type: ignore[arg-type]
    return [(p.line, p.field, p.expected) for p in found if p.level == "problem"]


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_separators_and_marks(mark: bytes, separator: str, end: str) -> None:
    """UTF-8 with or without its mark, three separators, both line ends."""
    lines = [
        ["Stone diameter mm", "Result", "Note"],
        ['"1,98"', "loose + tilted", "2\u00b0"],
        ["2.0 mm", "good", '"two\nlines"'],
    ]
    text = end.join(separator.join(line) for line in lines) + end
    found, problems = import_csv(mark + text.encode())
    assert problems == ()
    assert [(a.stone_diameter_mm, a.result, a.note) for a in found] == [
        (1.98, ("loose", "tilted"), "2\u00b0"),
        (2.0, ("good",), "two\nlines"),
    ]


@pytest.mark.parametrize("first", ["sep=;", "SEP=;"])
def test_a_line_that_names_the_separator_is_understood(first: str) -> None:
    """Some spreadsheets put it above the headings."""
    found, problems = import_csv(f"{first}\nnote;pilot_mm\na,b;0,66\n".encode())
    assert problems == ()
    assert [(a.note, a.pilot_mm) for a in found] == [("a,b", 0.66)]


def test_decimal_commas_do_not_hide_a_semicolon() -> None:
    """More commas than semicolons in the rows, yet the headings decide."""
    text = "note;pilot_mm;sheet_mm\na,b,c,d;0,66;0,8\ne,f,g;0,7;1,0\n"
    found, problems = import_csv(text.encode())
    assert problems == ()
    assert [a.pilot_mm for a in found] == [0.66, 0.7]


def test_problems_carry_row_line_heading_value_and_expectation() -> None:
    """The heading as typed, the row of the data and the line of the file."""
    text = 'Remarks,Stone diameter (mm),Result\n"two\nlines",2.0,good\n\n,40,wobbly\n'
    found, problems = import_csv(text.encode(), column_map={"Remarks": "note"})
    assert len(found) == 1
    assert [str(p) for p in problems] == [
        "row 3 (line 5), Stone diameter (mm): read '40', expected 0.5 to 12 mm",
        "row 3 (line 5), Result: read 'wobbly', expected " + RESULTS,
    ]


@pytest.mark.parametrize(
    ("data", "line", "says"),
    [
        (b"", None, "a line of headings"),
        (b"\xef\xbb\xbf\n \n", None, "a line of headings"),
        (b"note\ncaf\xe9\n", 2, "UTF-8; in a spreadsheet, save as CSV UTF-8"),
        (b"\xe9", 1, "UTF-8"),
        (b"note\na\0b\n", 2, "text only"),
        ("note\na\n".encode("utf-16"), 1, "UTF-8"),
        (b"colour,taste\nred,sour\n", 1, "at least one heading"),
        (b'note,clock\n"a,4\nb,5\n', 2, "a quote that is not closed"),
        (b'note,clock\n"a\nb",4\n"c"d,5\n', 4, "cells that can be told apart"),
    ],
)
def test_what_is_no_table_says_so_at_its_line(data: bytes, line: int | None, says: str) -> None:
    """One problem about the file; no encoding is guessed."""
    found, problems = import_csv(data)
    assert len(found) <= 1
    faults = [p for p in problems if p.level == "problem"]
    assert [p.line for p in faults] == [line]
    assert says in faults[0].expected


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("0,66,good", "2 cells, as many as headings; here are 3 (a comma inside a cell needs"),
        ("0.66", "2 cells, as many as headings; here are 1"),
    ],
)
def test_a_row_of_another_length_is_a_problem(row: str, says: str) -> None:
    """Its cells could be anyone's."""
    ((line, field, expected),) = problems_of(f"pilot_mm,result\n0.7,good\n{row}\n")
    assert (line, field) == (3, "file")
    assert expected.startswith(says)


def test_empty_cells_beyond_the_headings_are_nothing() -> None:
    """Spreadsheets leave separators behind; rows of nothing are no attempts but are counted."""
    text = "note,clock\na,4,,\n,,\n\nb,13\n"
    found, problems = import_csv(text.encode())
    assert [a.note for a in found] == ["a"]
    assert [(p.row, p.line) for p in problems] == [(4, 5)]


def test_two_columns_of_one_field_are_a_problem() -> None:
    """By name or by map."""
    assert problems_of("Note,note\na,b\n") == [(1, "note", "each field once; Note is note too")]


def test_a_map_must_fit_the_file() -> None:
    """A heading that is not there is named with those that are."""
    faults = problems_of("Bur,note\n1.9,a\n", column_map={"Burr": "seat_bur_mm"})
    assert faults == [(1, "Burr", "a heading of this file: Bur, note")]


def test_zone_order_of_slashes_and_course_are_handed_on() -> None:
    """The import reads as the record does."""
    extra = (ExtraField(name="lamp", type="text", meaning="side"),)
    found, problems = import_csv(
        b"began;stone_diameter_mm;metal;Lamp\n3/2/2026 18:30;2,0;cu;left\n",
        course=some_course(extra=extra),
        zone=UTC,
        dates="dmy",
    )
    assert problems == ()
    assert found[0].began is not None
    assert (found[0].began.month, found[0].grade) == (2, "copper-2.0")
    assert found[0].extra == (("lamp", "left"),)


def test_what_is_written_has_every_column_and_crlf() -> None:
    """RFC 4180: a heading line, CRLF, quotes doubled."""
    text = write_csv([an_attempt(note='say "ah"')])
    head, row, rest = text.split("\r\n")
    assert head.split(",") == [*fields(), "began_offset"]
    assert '"say ""ah"""' in row
    assert rest == ""


@pytest.mark.parametrize(
    "note",
    ["=1+1", "+1+1", "-1-1", "@sum", "'=1", "''x", "'", "'tis", "-", "\uff1d1", "'-1", "''=1"],
)
def test_no_cell_is_a_formula_and_each_reads_back(note: str) -> None:
    """No cell begins with a sign that spreadsheets calculate (OWASP, CSV injection)."""
    attempt = an_attempt(note=note)
    text = write_csv([attempt])
    cells = next(csv.DictReader(io.StringIO(text)))
    assert cells["note"][0] not in "=+-@\uff1d"
    assert import_csv(text.encode()) == ((attempt,), ())


def test_a_number_below_zero_stays_a_number() -> None:
    """A height of -0.03 is not made a text."""
    cells = next(csv.DictReader(io.StringIO(write_csv([an_attempt(table_height_mm=-0.03)]))))
    assert cells["table_height_mm"] == "-0.03"


@given(st.lists(attempts(), max_size=3))
def test_any_attempts_read_back(some: list[Attempt]) -> None:
    """What is written is read as the same attempts, with nothing to say about them."""
    some = [a.with_values(attempt_id=None) if n else a for n, a in enumerate(some)]
    assert import_csv(write_csv(some).encode()) == (tuple(some), ())


def test_fields_of_courses_have_columns_of_their_own() -> None:
    """They follow the record's, and read back with the course."""
    extra = (ExtraField(name="lamp", type="text", meaning="side"),)
    some = (an_attempt(extra=(("lamp", "=left"),)), an_attempt())
    text = write_csv(some)
    assert text.split("\r\n")[0].split(",") == [*fields(), "lamp", "began_offset"]
    found, problems = import_csv(text.encode(), course=some_course(extra=extra))
    assert problems == ()
    assert [a.extra for a in found] == [a.extra for a in some]


@given(st.binary(max_size=200))
def test_no_file_raises(data: bytes) -> None:
    """Whatever the bytes are, there are rows or problems."""
    table = table_of(read_csv_sheets(data), TableMeaning())
    assert table.rows or table.problems or not data.strip()


@given(st.lists(st.lists(st.text('a1,;"\n\t .=', max_size=5), min_size=1, max_size=4), max_size=5))
def test_no_table_raises(cells: list[list[str]]) -> None:
    """Whatever the cells hold, the import answers."""
    text = "note,clock,result\n" + "\n".join(",".join(row) for row in cells)
    attempts_read, problems = import_csv(text.encode())
    assert len(attempts_read) <= text.count("\n")
    assert all(p.expected for p in problems)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (
            b"note,clock\n" + b"x" * 140_000 + b",4\n",
            "131,072 characters; look for a quote",
        ),
        (b'note,clock\ra,4\r"b,5\r', "a quote that is not closed"),
    ],
    ids=["a cell without end", "old line ends and an open quote"],
)
def test_what_the_reader_stumbles_over_is_a_problem(data: bytes, says: str) -> None:
    """Told at its line, never raised."""
    (expected,) = (e for _, field, e in problems_of(data) if field == "file" and "quote" in e)
    assert says in expected


def test_an_encoding_is_suggested_and_never_taken_by_itself() -> None:
    """The likely one is told; named, it is read."""
    data = "Datum;Stein Ø;Ergebnis;Bemerkung\n3.2.26;2,0;gut;müde\n".encode("cp1252")
    ((_, _, expected),) = problems_of(data)
    assert "--encoding cp1252" in expected
    named = TableMeaning(answers=Answers(encoding="cp1252"))
    (found,), problems = attempts_in(table_of(read_csv_sheets(data, named), named), named)
    assert (found.note, found.stone_diameter_mm, problems) == ("müde", 2.0, ())
    assert likely_encodings("Größe;café".encode("mac_roman"))[0] == "mac_roman"


@pytest.mark.parametrize(
    ("day", "clock", "began"),
    [
        ("03 May 2024", "18:30", "2024-05-03 18:30"),
        ("Fr 3. Mai 2024", "18.30 Uhr", "2024-05-03 18:30"),
        ("3 mai 2024", "18h30", "2024-05-03 18:30"),
        ("3 de mayo de 2024", "6:30 pm", "2024-05-03 18:30"),
        ("May 3, 2024", "18 Uhr", "2024-05-03 18:00"),
        ("3.5.24", "", "2024-05-03 00:00"),
        ("31/05/2024", "9:05", "2024-05-31 09:05"),
    ],
)
def test_days_as_people_write_them(day: str, clock: str, began: str) -> None:
    """With the time in a column of its own."""
    (found,), problems = import_csv(f'Date,Time,Note\n"{day}",{clock},a\n'.encode())
    assert problems == ()
    assert f"{found.began:%Y-%m-%d %H:%M}" == began


def test_a_column_tells_which_number_is_the_day() -> None:
    """One cell that can only be read one way speaks for all; two that differ for none."""
    text = "Date,Note\n3/2/2026,a\n13/2/2026,b\n"
    found, problems = import_csv(text.encode())
    assert ([a.began.month for a in found if a.began], problems) == ([2, 2], ())
    assert len(problems_of("Date,Note\n3/2/2026,a\n")) == 1


@pytest.mark.parametrize(
    ("heading", "cell"),
    [("Stone (in)", ".078"), ("Stein Ø [µm]", "1981"), ("Stone, thou", "78"), ("Ø (mm)", "1,981")],
)
def test_units_stand_in_the_heading(heading: str, cell: str) -> None:
    """They hold for cells without a unit of their own."""
    (found,), problems = import_csv(f'"{heading}";Note\n{cell};a\n'.encode())
    assert problems == ()
    assert found.stone_diameter_mm == pytest.approx(1.981, abs=0.0005)


def test_decimal_commas_go_out_and_come_back() -> None:
    """With semicolons between the cells."""
    some = (an_attempt(stone_diameter_mm=1.98, note="1.5, really"),)
    text = write_csv(some, separator=";", decimal_comma=True)
    assert ";1,98;" in text
    assert import_csv(text.encode()) == (some, ())


def test_times_are_one_way_in_summer_and_winter() -> None:
    """As the clock on the wall showed them, the offset beside them; read back they are the same."""
    zone = ZoneInfo("Europe/Berlin")
    days = (datetime(2026, month, 3, 18, 30, tzinfo=zone) for month in (1, 7))
    some = tuple(an_attempt(began=began) for began in days)
    rows = list(csv.DictReader(io.StringIO(write_csv(some))))
    assert [(row["began"], row["began_offset"]) for row in rows] == [
        ("2026-01-03 18:30:00", "UTC+01:00"),
        ("2026-07-03 18:30:00", "UTC+02:00"),
    ]
    for found, problems in (import_csv(write_csv(some).encode()), read_attempts(rows)):
        assert problems == ()
        assert [a.began for a in found] == [a.began for a in some]


def test_an_empty_file_says_what_it_lacks() -> None:
    """Nothing was read, and that is no success."""
    ((_, _, expected),) = problems_of(b"")
    assert expected == "a line of headings, then the attempts"
