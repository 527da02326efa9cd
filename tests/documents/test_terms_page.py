"""docs/terms.md is the glossary of the program, with the drawings on paper beside it.

Write page and drawings anew with PLATEBOOK_PICTURES=write when the glossary changes.
"""

import os

from tests.documents.page import ROOT

from platebook.reports.drawings.terms import DRAWN, term_svg
from platebook.reports.text.glossary_text import PICTURES, glossary_page, picture_name

DOCS = ROOT / "docs"
PAGE = DOCS / "terms.md"


def drawings() -> dict[str, str]:
    """Every drawing by the name of its file."""
    return {picture_name(field, value): term_svg(field, value) or "" for field, value in DRAWN}


def test_the_page_is_the_glossary() -> None:
    """No word more or less, none explained otherwise."""
    if os.environ.get("PLATEBOOK_PICTURES") == "write":
        PAGE.write_text(glossary_page(), encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == glossary_page()


def test_the_drawings_beside_it_are_those_of_the_program() -> None:
    """Each in a file of its own, and no file left over."""
    folder = DOCS / PICTURES
    if os.environ.get("PLATEBOOK_PICTURES") == "write":
        folder.mkdir(exist_ok=True)
        for name, svg in drawings().items():
            (folder / name).write_text(svg, encoding="utf-8")
    kept = {file.name: file.read_text(encoding="utf-8") for file in folder.iterdir()}
    assert kept == drawings()


def test_each_drawing_is_shown_at_its_word() -> None:
    """Once."""
    page = glossary_page()
    assert [name for name in drawings() if page.count(f"({PICTURES}/{name})") != 1] == []
