"""A sheet in lines for a person: its first rows as they are, and as the log will have them."""

from pathlib import Path

from tests.services.bench import ada_at

from platebook.services.sheets.looking import look_at_typed
from platebook.services.sheets.taking_in import preview_of
from platebook.services.sheets.wording import raw_lines, row_lines

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
        "The first rows as they stand in the sheet:",
        "  date        stone  metal   sheet  bur  result",
        "  2026-01-03  2.0    copper  0.8    1.9  good",
        "  2026-01-03  2.0    copper  0.8    1.9  tilted",
    ]
    assert [*raw_lines(look, 22)][:2] == [
        "The first rows as they stand in the sheet, and 4 columns more:",
        "  date        stone",
    ]
    assert [*raw_lines(look, 5)] == []
    assert [*row_lines(look, preview_of(session, look))] == [
        "As they will stand in the log:",
        "  began       grade             stone  bur  result",
        "  2026-01-03  2.0 mm in copper  2      1.9  good",
        "  2026-01-03  2.0 mm in copper  2      1.9  tilted",
    ]
