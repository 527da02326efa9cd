"""What an attempt names of its setter's things: a position of a plate."""

from pathlib import Path

import pytest
from tests.services.bench import a_row, ada_at

from platebook.practice.plate import Plate
from platebook.services.desk import Desk
from platebook.services.importing import import_file
from platebook.services.naming import positions_told
from platebook.services.plate_making import new_plate
from platebook.services.recording import amend, record


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """Ada with a plate of twelve positions."""
    found = ada_at(tmp_path)
    new_plate(found, Plate(name="P1", positions=tuple(str(n) for n in range(1, 13))))
    return found


def test_a_position_that_the_plate_does_not_have_is_said(desk: Desk) -> None:
    """Once for each, with those that it has; the attempt is stored as typed."""
    rows = [a_row(plate="p1", position=p) for p in ("14", "1", "14", "A1")]
    done = record(desk, rows)
    assert done.stored
    assert [(p.row, p.field, p.read, p.level) for p in done.problems] == [
        (1, "position", "14", "notice"),
        (4, "position", "A1", "notice"),
    ]
    assert done.problems[0].expected == "a position of plate P1, which has 1 to 12"


def test_a_plate_nobody_laid_out_has_any_position(desk: Desk) -> None:
    """And so has an attempt without a plate."""
    assert record(desk, [a_row(plate="C7", position="14")]).problems == ()
    assert record(desk, [a_row(plate="P1"), a_row(position="99")]).problems == ()


def test_a_file_and_a_correction_are_told_as_well(desk: Desk, tmp_path: Path) -> None:
    """The three doors say the same."""
    file = tmp_path / "paper.csv"
    file.write_text("plate,position,result\nP1,14,good\n", encoding="utf-8")
    assert [p.field for p in import_file(desk, file).problems] == ["position"]
    (one,) = record(desk, [a_row(plate="P1", position="1")]).ids
    assert [p.field for p in amend(desk, one, {"position": "14"}).problems] == ["position"]
    assert amend(desk, one, {"note": "seen"}).problems == ()


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
    assert positions_told(Plate(name="P", positions=positions).positions) == told
