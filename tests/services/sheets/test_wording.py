"""A sheet in lines for a person: its first rows as they are, and as the log will have them."""

from pathlib import Path

from tests.services.bench import ada_at

from platebook.services.sheets.known_rows import Alike
from platebook.services.sheets.looking import look_at_typed
from platebook.services.sheets.taking_in import preview_of, take_in_seen
from platebook.services.sheets.wording import alike_words, raw_lines, row_lines

SHEET = """date,stone,metal,sheet,bur,result
2026-01-03,2.0,copper,0.8,1.9,good
2026-01-03,2.0,copper,0.8,1.9,tilted
"""


def test_the_first_rows_stand_as_they_are_and_as_they_will_be(tmp_path: Path) -> None:
    """The columns that have no room are counted; the grade is called as the course calls it."""
    session = ada_at(tmp_path)
    file = tmp_path / "sheet.csv"
    file.write_text(SHEET, encoding="utf-8")
    look = look_at_typed(session, str(file))
    assert [*raw_lines(look, 80)] == [
        "The first rows as they stand in the spreadsheet:",
        "  date        stone  metal   sheet  bur  result",
        "  2026-01-03  2.0    copper  0.8    1.9  good",
        "  2026-01-03  2.0    copper  0.8    1.9  tilted",
    ]
    assert [*raw_lines(look, 22)][:2] == [
        "The first rows as they stand in the spreadsheet, and 4 columns more:",
        "  date        stone",
    ]
    assert [*raw_lines(look, 5)] == []
    assert [*row_lines(look, preview_of(session, look))] == [
        "As they will stand in the log:",
        "  began       grade             stone  bur  result",
        "  2026-01-03  2.0 mm in copper  2      1.9  good",
        "  2026-01-03  2.0 mm in copper  2      1.9  tilted",
    ]


def test_lines_that_are_alike_are_told_and_come_in(tmp_path: Path) -> None:
    """Word for word the same, one of them new: they may be real, or typed twice."""
    session = ada_at(tmp_path)
    file = tmp_path / "sheet.csv"
    good, tilted = SHEET.splitlines()[1:]
    file.write_text("\n".join((SHEET.splitlines()[0], good, tilted, good, good)), encoding="utf-8")
    look = look_at_typed(session, str(file))
    seen = preview_of(session, look)
    assert (seen.alike, len(seen.rows.new)) == ((Alike("", (2, 4, 5)),), 4)
    assert alike_words(seen.alike).startswith("Lines 2, 4 and 5 are alike. All come in, as each")
    take_in_seen(session, look, seen)
    assert preview_of(session, look).alike == ()


def test_many_lines_that_are_alike_are_counted() -> None:
    """The first are named, with the sheet where the file has several."""
    assert alike_words(()) == ""
    groups = (
        Alike("Thursday", tuple(range(2, 12))),
        *[Alike("", (n, n + 1)) for n in (20, 30, 40)],
    )
    said = alike_words(groups).partition(".")[0]
    assert said == (
        "Lines 2, 3, 4, 5, 6, 7 and 4 more of Thursday are alike; so are lines 20 and 21; so are "
        "lines 30 and 31; so are those of 1 more such group"
    )
