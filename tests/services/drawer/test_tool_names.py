"""What an attempt names of its setter's things: a position of a plate."""

from pathlib import Path

import pytest
from tests.services.bench import a_row, ada_at

from platebook.practice.records import Plate
from platebook.services.attempts.recording import amend, record
from platebook.services.attempts.spreadsheets import import_file
from platebook.services.drawer.tool_names import positions_text
from platebook.services.plates import new_plate
from platebook.services.session import Session


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada with a plate of twelve positions."""
    found = ada_at(tmp_path)
    new_plate(found, Plate(name="P1", positions=tuple(str(n) for n in range(1, 13))))
    return found


def test_a_position_that_the_plate_does_not_have_is_said(session: Session) -> None:
    """Once for each, with those that it has; the attempt is stored as typed."""
    rows = [a_row(plate="p1", position=p) for p in ("14", "1", "14", "A1")]
    done = record(session, rows)
    assert done.stored
    assert [(p.row, p.field, p.read, p.level) for p in done.problems] == [
        (1, "position", "14", "notice"),
        (4, "position", "A1", "notice"),
    ]
    assert done.problems[0].expected == "a position of plate P1, which has 1 to 12"


def test_a_plate_nobody_laid_out_has_any_position(session: Session) -> None:
    """And so has an attempt without a plate."""
    assert record(session, [a_row(plate="C7", position="14")]).problems == ()
    assert record(session, [a_row(plate="P1"), a_row(position="99")]).problems == ()


def test_a_file_and_a_correction_are_told_as_well(session: Session, tmp_path: Path) -> None:
    """The three doors say the same."""
    file = tmp_path / "paper.csv"
    file.write_text("plate,position,result\nP1,14,good\n", encoding="utf-8")
    assert [p.field for p in import_file(session, file).problems] == ["position"]
    (one,) = record(session, [a_row(plate="P1", position="1")]).ids
    assert [p.field for p in amend(session, one, {"position": "14"}).problems] == ["position"]
    assert amend(session, one, {"note": "seen"}).problems == ()


@pytest.mark.parametrize(
    ("positions", "told"),
    [
        (("1", "2", "3"), "1 to 3"),
        (("A1", "A2", "B1"), "A1, A2, B1"),
        (tuple(f"{row}{n}" for row in "ABC" for n in range(1, 5)), "A1 to C4 (12 of them)"),
    ],
)
def test_positions_are_told_in_few_words(positions: tuple[str, ...], told: str) -> None:
    """Whole numbers from one by their last."""
    assert positions_text(Plate(name="P", positions=positions).positions) == told
