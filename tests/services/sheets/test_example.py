"""The sheet that is shown before one is named: understood as it stands, and that of the page."""

from pathlib import Path

from tests.documents.page import ROOT
from tests.services.bench import ada_at

from platebook.services.session import opened
from platebook.services.sheets.example import EXAMPLE, example_lines
from platebook.services.sheets.looking import look_at
from platebook.services.sheets.taking_in import preview_of

AS_CSV = "".join(f"{','.join(row)}\n" for row in EXAMPLE)
"""The sheet as a file separated by commas."""


def test_the_example_is_understood_without_a_question(tmp_path: Path) -> None:
    """Every row of it is new and is taken for what it says; no column is left out."""
    session = ada_at(tmp_path / "ada.sqlite")
    file = tmp_path / "sheet.csv"
    file.write_text(AS_CSV, "utf-8")
    with opened(session) as book:
        look = look_at(session, book, file)
    assert look.questions == ()
    preview = preview_of(session, look)
    assert (len(preview.rows.new), preview.problems) == (len(EXAMPLE) - 1, ())


def test_the_page_shows_the_same_sheet() -> None:
    """docs/csv.md has it as a file, and the screen as lines that fit 80 columns."""
    assert f"```csv\n{AS_CSV}```" in (ROOT / "docs" / "csv.md").read_text("utf-8")
    assert max(map(len, example_lines())) < 78
