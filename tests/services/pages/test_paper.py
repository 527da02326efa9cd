"""A sheet for the bench: in the order of the form, with targets, for a plate or an evening."""

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from tests.services.bench import ada_at

from platebook.services.now.now_view import now
from platebook.services.pages.paper import paper_sheet, write_paper
from platebook.services.plates import new_plate, plate_from
from platebook.services.session import Refused


def test_the_columns_stand_in_the_order_of_the_form(tmp_path: Path) -> None:
    """Readings with what is wanted, then the look; eight places for an evening."""
    session = ada_at(tmp_path)
    sheet = paper_sheet(session, rows=8)
    labels = [column.label for column in sheet.columns]
    asked = [reading.label for reading in now(session).readings]
    assert labels[: len(asked)] == asked
    assert labels[len(asked)] == "result"
    assert labels[-2:] == ["min", "note"]
    assert sheet.positions == tuple(map(str, range(1, 9)))
    assert sheet.title.startswith("Ada Quill: ")
    assert any("wide" in words for words in sheet.details) or now(session).sizes is None


def test_a_plate_has_its_free_positions(tmp_path: Path) -> None:
    """By name; one nobody knows is refused."""
    session = ada_at(tmp_path)
    plate, _ = plate_from({"name": "P1", "width": "50", "height": "30", "stones": "2.0"})
    assert plate is not None
    made = new_plate(session, plate)
    assert paper_sheet(session, plate="P1").positions == made.positions
    with pytest.raises(Refused, match="P9"):
        paper_sheet(session, plate="P9")


@pytest.mark.parametrize("name", ["sheet.svg", "sheet.html"])
def test_it_is_written_to_a_new_file(name: str, tmp_path: Path) -> None:
    """Every place and column is on it, and a file that is there stays."""
    session = ada_at(tmp_path)
    assert write_paper(session, tmp_path / name, rows=30) == 30
    text = (tmp_path / name).read_text(encoding="utf-8")
    assert all(f">{place}<" in text for place in range(1, 31))
    assert all(column.label in text for column in paper_sheet(session).columns)
    if name.endswith("svg"):
        assert ET.fromstring(text).get("width") == "297mm"  # noqa: S314 - our own drawing
    with pytest.raises(Refused, match="is there already"):
        write_paper(session, tmp_path / name)
    with pytest.raises(Refused, match="expected"):
        write_paper(session, tmp_path / "sheet.pdf")
