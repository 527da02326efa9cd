"""XLSX files as spreadsheets write them, and as we do."""

import io
import re
import tracemalloc
import zipfile
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from functools import partial
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.utils import get_column_letter
from tests.builders import an_attempt, some_course
from tests.practice.attempts import attempts

from platebook.exchange import import_xlsx, write_xlsx
from platebook.exchange.sheets.answers import Answers
from platebook.exchange.sheets.meaning import TableMeaning
from platebook.exchange.xlsx_container import CountedParts, TooMuchInIt
from platebook.exchange.xlsx_writer import Beside
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import ExtraField
from platebook.practice.records import Inspection, SignOff

AN_ID = "0197a3c0-0000-7000-8000-000000000001"
SHEET_XML, BOOK_XML = "xl/worksheets/sheet1.xml", "xl/workbook.xml"

WHOLE = write_xlsx([an_attempt(), an_attempt(clock=4)])


def a_file(
    rows: Sequence[Sequence[object]], *, change: Callable[[Workbook], None] | None = None
) -> bytes:
    """An XLSX file with these rows, as the library saves it."""
    book = Workbook()
    page = book.active
    assert page is not None
    for row in rows:
        page.append(list(row))
    if change is not None:
        change(book)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def with_part(data: bytes, name: str, change: Callable[[bytes], bytes]) -> bytes:
    """The same container with one part changed."""
    out = io.BytesIO()
    packed = zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED)
    with zipfile.ZipFile(io.BytesIO(data)) as old, packed as new:
        for part in old.namelist():
            content = old.read(part)
            new.writestr(part, change(content) if part == name else content)
    return out.getvalue()


def sheet_of(data: bytes) -> str:
    """The XML of the first sheet."""
    with zipfile.ZipFile(io.BytesIO(data)) as container:
        return container.read(SHEET_XML).decode()


@settings(max_examples=40)
@given(st.lists(attempts(), max_size=3))
def test_any_attempts_read_back(some: list[Attempt]) -> None:
    """What is written is read as the same attempts, with nothing to say about them."""
    some = [a.with_values(attempt_id=None) if n else a for n, a in enumerate(some)]
    assert import_xlsx(write_xlsx(some)) == (tuple(some), ())


def test_fields_of_courses_have_columns_of_their_own() -> None:
    """They follow the record's, and read back with the course."""
    extra = (ExtraField(name="lamp", type="text", meaning="side"),)
    some = (an_attempt(extra=(("lamp", "=left"),)), an_attempt())
    found, problems = import_xlsx(write_xlsx(some), TableMeaning(course=some_course(extra=extra)))
    assert problems == ()
    assert [a.extra for a in found] == [a.extra for a in some]


@pytest.mark.parametrize("note", ["=1+1", "+1", "-1", "@sum", "'=1", "'", "_x000D_", "a  b", "1"])
def test_no_cell_is_a_formula_and_each_reads_back(note: str) -> None:
    """A text stays a text: the sheet has no formula element (ECMA-376 part 1, 18.3.1.40)."""
    data = write_xlsx([an_attempt(note=note)])
    assert re.findall(r"<f[\s>/]", sheet_of(data)) == []
    found, problems = import_xlsx(data)
    assert ([a.note for a in found], problems) == ([note], ())


def test_cells_are_typed_and_the_headings_stay_in_sight() -> None:
    """Numbers are numbers, yes/no is a truth value, and the first line is frozen."""
    began = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)
    some = an_attempt(
        attempt_id=AN_ID,
        setter_id=AN_ID,
        setter="Ada",
        began=began,
        stone_diameter_mm=1.98,
        clock=4,
        hand_cut=True,
        result=("loose",),
    )
    page = load_workbook(io.BytesIO(write_xlsx([some]))).worksheets[0]
    head, row = list(page.iter_rows(values_only=True))
    cells = dict(zip(head, row, strict=True))
    assert list(head[:2]) == ["setter", "began"]
    assert list(head[-3:]) == ["attempt_id", "setter_id", "began_offset"]
    assert all(value is not None for value in cells.values())
    assert (cells["began"], page["B2"].is_date) == (began.replace(tzinfo=None), True)
    assert (cells["stone_diameter_mm"], cells["clock"], cells["hand_cut"]) == (1.98, 4, True)
    assert cells["result"] == "loose"
    assert page.freeze_panes == "A2"
    assert page.auto_filter.ref == page.dimensions
    widths = {
        name: page.column_dimensions[get_column_letter(n)].width for n, name in enumerate(head, 1)
    }
    assert widths["clock"] < widths["began"] < widths["attempt_id"] <= 40


@pytest.mark.parametrize("month", [1, 7])
def test_a_time_is_what_the_clock_showed_in_summer_and_winter(month: int) -> None:
    """The offset stands beside it, so that it reads back as the same moment."""
    began = datetime(2026, month, 3, 18, 30, tzinfo=ZoneInfo("Europe/Berlin"))
    data = write_xlsx([an_attempt(began=began)])
    page = load_workbook(io.BytesIO(data)).worksheets[0]
    assert page["B2"].value == datetime(2026, month, 3, 18, 30)  # noqa: DTZ001 - as a sheet has it
    (found,), problems = import_xlsx(data)
    assert (found.began, problems) == (began, ())


def test_others_looks_and_sign_offs_have_sheets_of_their_own() -> None:
    """With names first; they are no attempts when the file comes back."""
    one = an_attempt(attempt_id=AN_ID, setter_id=AN_ID)
    look = Inspection(attempt_id=AN_ID, inspector="Tutor Vale", result=("gap",))
    signed = SignOff(setter_id=AN_ID, course="c", grade="g", signed_by="Tutor Vale")
    data = write_xlsx([one], Beside(looks=(look,), sign_offs=(("Ada", signed),)))
    book = load_workbook(io.BytesIO(data))
    assert book.sheetnames == ["attempts", "looks", "sign-offs"]
    head, row = book["looks"].iter_rows(values_only=True)
    assert dict(zip(head, row, strict=True))["looked by"] == "Tutor Vale"
    assert import_xlsx(data) == ((one,), ())


def test_a_stray_cell_at_the_last_row_costs_nothing() -> None:
    """A sheet is as large as the cells that are there."""

    def stray(book: Workbook) -> None:
        book.worksheets[0].cell(1_048_576, 1, value=5)

    data = a_file([["Clock", "Note"], [4, "a"]], change=stray)
    tracemalloc.start()
    found, problems = import_xlsx(data)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert (len(found) + len(problems), peak < 20_000_000) == (2, True)


def test_formulas_in_columns_that_are_not_read_do_not_matter() -> None:
    """One without a saved result is a problem only where its column means something."""
    data = a_file([["Clock", "Blurb"], [3, "=A2*2"], [4, "=A3*2"]])
    found, problems = import_xlsx(data)
    assert ([a.clock for a in found], [p.level for p in problems]) == ([3, 4], [])


def test_totals_notes_and_hidden_rows_are_told() -> None:
    """A line that sums up, one word of totals, a note below; hidden rows are read."""
    data = a_file(
        [
            ["Began", "Clock", "Result"],
            *([date(2026, 2, n), n, "good"] for n in range(1, 7)),
            [None, None, '=COUNTIF(C2:C7,"good")'],
            ["Total", 21],
            [],
            ["ask for a new bur"],
        ],
        change=lambda book: setattr(book.worksheets[0].row_dimensions[3], "hidden", True),
    )
    found, problems = import_xlsx(data)
    assert [a.clock for a in found] == [1, 2, 3, 4, 5, 6]
    assert [(p.level, p.expected) for p in problems] == [
        ("notice", "attempts; lines 9, 11 left alone as totals or notes"),
        ("notice", "rows in sight; hidden rows are read too"),
    ]


def test_sheets_that_agree_are_one_table_and_one_may_be_chosen() -> None:
    """In whatever order their columns are; another kind of sheet is left alone."""

    def more(book: Workbook) -> None:
        for title, rows in (
            ("2025", [["Note", "Clock"], ["b", 5]]),
            ("bread", [["Flour", "Date"], [1, 2]]),
        ):
            page = book.create_sheet(title)
            for row in rows:
                page.append(row)

    data = a_file([["Clock", "Note"], [4, "a"]], change=more)
    found, problems = import_xlsx(data)
    assert [(a.clock, a.note) for a in found] == [(4, "a"), (5, "b")]
    assert [p.read for p in problems] == ["bread", "Sheet, 2025"]
    chosen = TableMeaning(answers=Answers(sheets=("2025",)))
    assert [a.note for a in import_xlsx(data, chosen)[0]] == ["b"]
    nowhere = TableMeaning(answers=Answers(sheets=("2026",)))
    assert [p.expected for p in import_xlsx(data, nowhere)[1]][:1] == [
        "a sheet of this file: Sheet, 2025, bread"
    ]


def test_a_number_that_needs_seventeen_digits_is_kept() -> None:
    """A typed cell has sixteen."""
    some = (an_attempt(table_tilt_deg=0.1 + 0.2),)
    assert import_xlsx(write_xlsx(some)) == (some, ())


def test_a_spreadsheet_as_people_keep_it() -> None:
    """A title above, sums beside, dates as dates, their own heading, a sheet of something else."""

    def other_sheet(book: Workbook) -> None:
        book.create_sheet("Shopping", 0).append(["pitch", 2])

    data = a_file(
        [
            ["Winter term"],
            [],
            ["Began", "Stone diameter (mm)", "How it went", "Hand cut", None, "good ones"],
            [datetime(2026, 2, 3, 18, 30), 2.0, "good", True, None, 1],  # noqa: DTZ001 - as a sheet has it
            [],
            [date(2026, 2, 4), "1,98", "loose", "no"],
        ],
        change=other_sheet,
    )
    found, problems = import_xlsx(
        data, TableMeaning(column_map={"How it went": "result"}, zone=UTC)
    )
    assert [p for p in problems if p.level == "problem"] == []
    assert [(a.began, a.day_only, a.stone_diameter_mm, a.result, a.hand_cut) for a in found] == [
        (datetime(2026, 2, 3, 18, 30, tzinfo=UTC), False, 2.0, ("good",), True),
        (datetime(2026, 2, 4, tzinfo=UTC), True, 1.98, ("loose",), False),
    ]


def test_a_problem_names_the_row_of_the_sheet() -> None:
    """The number that the spreadsheet shows at the left."""
    data = a_file([["title"], ["Stone diameter mm", "Result"], [2.0, "good"], [40, "wobbly"]])
    problems = import_xlsx(data)[1]
    assert [(p.line, p.field, p.read) for p in problems] == [
        (4, "Stone diameter mm", "40"),
        (4, "Result", "wobbly"),
    ]


def test_a_wrong_dimension_tag_hides_no_rows() -> None:
    """Some programs write a size that is too small."""
    data = a_file([["clock"], *([n % 12 + 1] for n in range(50))])
    small = with_part(
        data, SHEET_XML, lambda xml: re.sub(rb'<dimension ref="[^"]*"', b'<dimension ref="A1"', xml)
    )
    assert b'ref="A1"' in small or '<dimension ref="A1"' in sheet_of(small)
    assert len(import_xlsx(small)[0]) == 50


def test_merged_cells_count_for_each_of_their_rows() -> None:
    """A metal written once beside three stones is the metal of all three, and is told."""
    data = a_file(
        [["Metal", "Clock"], ["copper", 1], [None, 2], [None, 3], ["brass", 4]],
        change=lambda book: book.worksheets[0].merge_cells("A2:A4"),
    )
    found, problems = import_xlsx(data)
    assert [a.metal for a in found] == ["copper", "copper", "copper", "brass"]
    assert [str(p) for p in problems] == [
        "line 2, A2: read 'copper', expected one cell a row; taken for rows 2 to 4"
    ]


def test_of_formulas_the_saved_results_are_read() -> None:
    """With a result it is a value; one that was never worked out is named with its cell."""
    data = a_file([["Stone diameter mm", "Clock"], [2.0, 3], ["=A2*0.9", 4]])
    saved = with_part(
        data, SHEET_XML, lambda xml: re.sub(rb"(<f>[^<]*</f>)<v\s*/>", rb"\1<v>1.8</v>", xml)
    )
    assert [a.stone_diameter_mm for a in import_xlsx(saved)[0]] == [2.0, 1.8]
    problems = import_xlsx(data)[1]
    assert [(p.line, p.field, p.read) for p in problems] == [(3, "A3", "=A2*0.9")]


def test_sheets_of_one_name_are_each_read() -> None:
    """By the part that each is; a spreadsheet gives no name twice, other programs do."""
    data = a_file([["Clock"], [4]], change=lambda book: book.create_sheet("b").append(["Clock"]))
    with_rows = with_part(
        data,
        "xl/worksheets/sheet2.xml",
        lambda xml: xml.replace(
            b"</sheetData>", b'<row r="2"><c r="A2"><v>5</v></c></row></sheetData>'
        ),
    )
    same = with_part(with_rows, BOOK_XML, lambda xml: xml.replace(b'name="b"', b'name="Sheet"'))
    assert [a.clock for a in import_xlsx(same)[0]] == [4, 5]


def test_a_formula_that_cells_share_is_read_once_and_not_worked_out() -> None:
    """Ten thousand cells that share one of ten thousand terms are a file of little work."""
    terms = "+".join(["A1"] * 10_000)
    first = (
        f'<row r="2"><c r="A2"><f t="shared" ref="A2:A9999" si="0">{terms}</f><v>4</v></c></row>'
    )
    others = "".join(
        f'<row r="{n}"><c r="A{n}"><f t="shared" si="0"/>{"<v>4</v>" if n < 9999 else ""}</c>'
        f'<c r="B{n}"><v>1</v></c></row>'
        for n in range(3, 10_000)
    )
    data = with_part(
        a_file([["Clock", "Note"]]),
        SHEET_XML,
        lambda xml: xml.replace(b"</sheetData>", f"{first}{others}</sheetData>".encode()),
    )
    found, problems = import_xlsx(data)
    told = [(p.line, p.field, p.read[:4]) for p in problems if p.level == "problem"]
    assert (len(found), told) == (9998, [(9999, "A9999", "=A1+")])


def test_a_block_that_lies_over_another_is_none() -> None:
    """A sheet has no such, and a thousand of them would fill every row a thousand times."""
    data = a_file(
        [["Metal", "Clock"], ["copper", 1], [None, 2], ["brass", 3]],
        change=lambda book: book.worksheets[0].merge_cells("A2:A3"),
    )
    over = rb'<mergeCell ref="A2:A3" />\1'
    more = with_part(
        data, SHEET_XML, lambda xml: re.sub(rb"(<mergeCell ref=.A2:A3. ?/>)", over * 2, xml)
    )
    assert sheet_of(more).count("A2:A3") > 2
    found, problems = import_xlsx(more)
    assert ([a.metal for a in found], len(problems)) == (["copper", "copper", "brass"], 1)


def _sheets_of_one_part() -> bytes:
    """Sixty rows that are named as a sheet two hundred times, as was found by trying."""
    rows: list[list[object]] = [["Clock", "Note"], *([n % 12 + 1, "a"] for n in range(60))]
    return with_part(
        a_file(rows),
        BOOK_XML,
        lambda xml: re.sub(rb"<sheet [^>]*/>", lambda one: one[0] * 200, xml),
    )


def _empty_cells() -> bytes:
    return _with_rows(b'<row r="9">' + b"<c/>" * 150_000 + b"</row>")


def _deep() -> bytes:
    return _with_rows(b"<a>" * 60 + b"</a>" * 60)


def _declared() -> bytes:
    """Few bytes that stand for many rows; half of the word comes with the next piece."""
    head = b"<!DOCTYPE worksheet [<!ENTITY a '<row/>'>]>"
    return with_part(a_file([["Clock"], [4]]), SHEET_XML, lambda xml: head + xml)


def _with_rows(rows: bytes) -> bytes:
    return with_part(
        a_file([["Clock"], [4]]),
        SHEET_XML,
        lambda xml: xml.replace(b"</sheetData>", rows + b"</sheetData>"),
    )


@pytest.mark.parametrize("made", [_sheets_of_one_part, _empty_cells, _deep, _declared])
def test_more_than_its_size_has_room_for_is_not_read(made: Callable[[], bytes]) -> None:
    """Told in a sentence, and not gone through to its end."""
    found, problems = import_xlsx(made())
    assert found == ()
    assert [p.read.partition(" than ")[0] for p in problems] == ["far more in it"]


@pytest.mark.parametrize("size", [1, 5, 9, 10_000])
@pytest.mark.parametrize("letters", ["ascii", "utf-16-le"])
def test_what_declares_itself_is_found_wherever_a_piece_ends(size: int, letters: str) -> None:
    """In letters of one byte and of two (ECMA-376 part 2 allows both)."""
    part = f"{'x' * 50}<!DOCTYPE a>".encode(letters)
    data = with_part(WHOLE, SHEET_XML, lambda _: part)
    source = CountedParts(data).open(SHEET_XML)
    with pytest.raises(TooMuchInIt):
        list(iter(partial(source.read, size), b""))


def _bomb() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as container:
        container.writestr("[Content_Types].xml", "<Types/>")
        container.writestr(SHEET_XML, b"0" * 30_000_000)
    return out.getvalue()


def _foreign() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as container:
        container.writestr("notes.txt", "hello")
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "an XLSX file"),
        (b"began,result\n", "an XLSX file; an older spreadsheet has to be saved"),
        (b"\xd0\xcf\x11\xe0 older spreadsheet", "an XLSX file; an older spreadsheet"),
        (b"PK\x03\x04 and then nothing", "an XLSX file as a spreadsheet saves it"),
        (_foreign(), "an XLSX file"),
        (_bomb(), "at most 300 MB"),
        (a_file([]), "a line of headings"),
        (a_file([["colour"], ["red"]]), "at least one heading"),
    ],
    ids=["nothing", "csv", "old", "cut", "zip", "bomb", "empty", "other"],
)
def test_what_is_no_table_says_so(data: bytes, says: str) -> None:
    """One problem about the file, and no attempts."""
    found, problems = import_xlsx(data)
    faults = [p for p in problems if p.level == "problem"]
    assert (found, len(faults)) == ((), 1)
    assert faults[0].expected.startswith(says)


@given(st.integers(0, len(WHOLE) - 1))
def test_a_file_that_is_cut_off_never_gives_half(length: int) -> None:
    """Wherever it ends, there are problems and no attempts."""
    found, problems = import_xlsx(WHOLE[:length])
    assert found == ()
    assert [p.level for p in problems] == ["problem"]


@given(st.sampled_from([SHEET_XML, "xl/workbook.xml", "[Content_Types].xml"]), st.binary())
def test_a_part_of_rubbish_never_raises(part: str, rubbish: bytes) -> None:
    """There is a problem, or a file that has nothing in it."""
    found, problems = import_xlsx(with_part(WHOLE, part, lambda _: rubbish))
    assert found == ()
    assert problems != ()
