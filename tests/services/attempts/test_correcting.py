"""Correcting, hiding, taking back and putting back an attempt."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged

from platebook.services.attempts.log import attempt_with, attempts_of
from platebook.services.attempts.recording import amend, hide, redo, undo
from platebook.services.session import Refused


def test_a_correction_keeps_everything_else(tmp_path: Path) -> None:
    """Id, setter and all other fields stay; an empty value empties its field."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row(note="typed in haste"))
    before = attempt_with(session, one)
    done = amend(session, one, {"result": "loose", "severity": "3", "note": ""})
    assert (done.stored, done.ids) == (True, (one,))
    assert attempt_with(session, one) == before.with_values(
        result=("loose",), severity=(3,), note=None
    )


def test_a_wrong_correction_changes_nothing(tmp_path: Path) -> None:
    """The value is told as on any other way in."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    before = attempt_with(session, one)
    done = amend(session, one, {"seat_bur_mm": "-2"})
    assert (done.stored, [p.field for p in done.problems]) == (False, ["seat_bur_mm"])
    assert attempt_with(session, one) == before


@pytest.mark.parametrize(
    ("field", "value", "expected"),
    [
        ("setter", BRAM, "not for correcting"),
        ("attempt_id", "another", "not for correcting"),
        ("colour", "red", "a field of the record"),
    ],
)
def test_whose_it_is_and_unknown_fields_are_not_corrected(
    field: str, value: str, expected: str, tmp_path: Path
) -> None:
    """Each is a problem of its own."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    done = amend(session, one, {field: value})
    assert not done.stored
    assert expected in done.problems[0].expected
    assert [a.setter for a in attempts_of(session)] == [ADA]


def test_a_hidden_attempt_counts_nowhere_until_taken_back(tmp_path: Path) -> None:
    """Hiding is a change like any other."""
    session = ada_at(tmp_path)
    one, two = logged(session, a_row(), a_row())
    assert hide(session, one) == "The attempt is hidden and counts nowhere; undo brings it back."
    assert [a.attempt_id for a in attempts_of(session)] == [two]
    assert undo(session) == "Taken back: hide of 1 attempt (2026-02-03 19:30)."
    assert [a.attempt_id for a in attempts_of(session)] == [one, two]
    with pytest.raises(Refused, match="id: read 'nothing'"):
        hide(session, "nothing")


def test_taking_back_and_putting_back_say_what_they_did(tmp_path: Path) -> None:
    """Down the line of changes and up again."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    logged(session, a_row(), a_row())
    amend(session, one, {"result": "loose"})
    assert undo(session) == "Taken back: amend of 1 attempt (2026-02-03 19:30)."
    assert attempt_with(session, one).result == ("good",)
    assert undo(session) == "Taken back: record of 2 attempts."
    assert len(attempts_of(session)) == 1
    assert redo(session) == "Put back: record of 2 attempts."
    assert redo(session) == "Put back: amend of 1 attempt (2026-02-03 19:30)."
    assert (len(attempts_of(session)), attempt_with(session, one).result) == (3, ("loose",))


def test_with_nothing_left_the_refusal_is_a_sentence(tmp_path: Path) -> None:
    """Putting back needs something that was taken back."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused, match=r"There is nothing to put back\."):
        redo(session)


def test_another_persons_change_is_not_taken_back(tmp_path: Path) -> None:
    """Each author has a line of their own; a record that moved on is refused with who did it."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    bram = session.for_setter(session.setter_id or "", BRAM)
    with pytest.raises(Refused, match="nothing to take back"):
        undo(bram)
    amend(bram, one, {"note": "seen by Bram"})
    with pytest.raises(Refused, match=f"changed since, by {BRAM}"):
        undo(session)
    assert attempt_with(session, one).note == "seen by Bram"
