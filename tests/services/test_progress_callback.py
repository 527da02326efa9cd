"""Work that is watched: nobody looking, and whether anything changed before it was stopped."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged, new_session

from platebook.services.attempts.recording import undo
from platebook.services.attempts.spreadsheets import import_file
from platebook.services.findings import findings
from platebook.services.people.setters import add_setter, begin
from platebook.services.progress_callback import Stopped, inside, unwatched, whether_changed, within
from platebook.services.session import Refused


@pytest.mark.parametrize(("done", "of"), [(0, 0), (1, 3), (3, 3)])
def test_nobody_stops_work_that_nobody_watches(done: int, of: int) -> None:
    """Whatever is counted, it goes on."""
    unwatched(done, of)


def test_parts_of_work_are_told_as_one() -> None:
    """Half way through the second of two parts, three quarters of 100 rows are done."""
    told: list[tuple[float, int]] = []
    within(lambda done, of: told.append((done, of)), 1, 1, 2)(50, 100)
    assert told == [(75, 100)]


def test_what_is_done_of_one_step_counts_as_a_part_of_it() -> None:
    """A quarter of the third of ten bundles is two and a quarter; without parts it has begun."""
    told: list[tuple[float, int]] = []
    one = inside(lambda done, of: told.append((done, of)), 2, 10)
    one(50, 200)
    one(0, 0)
    assert told == [(2.25, 10), (2, 10)]


def test_being_stopped_is_no_refusal() -> None:
    """Whoever catches what cannot be done does not take a stop for it."""
    assert not issubclass(Stopped, Refused)
    with pytest.raises(Stopped):
        raise Stopped


def test_looking_changes_nothing(tmp_path: Path) -> None:
    """Answers read the records, however often they are asked."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    changed = whether_changed(session)
    findings(session)
    assert (changed(), changed()) == (False, False)


def test_what_is_recorded_is_a_change(tmp_path: Path) -> None:
    """From the moment it was taken down on; taken down anew, it stands as it is."""
    session = ada_at(tmp_path)
    changed = whether_changed(session)
    assert not changed()
    logged(session, a_row())
    assert changed()
    assert not whether_changed(session)()


def test_a_change_of_someone_else_counts_too(tmp_path: Path) -> None:
    """The records of everyone are looked at, not only of whoever is at the bench."""
    session = ada_at(tmp_path)
    add_setter(session, BRAM)
    changed = whether_changed(session)
    logged(session, a_row(setter=BRAM))
    assert changed()


def test_a_change_taken_back_is_a_change(tmp_path: Path) -> None:
    """The records keep both: one was added, and one was taken back."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    changed = whether_changed(session)
    undo(session)
    assert changed()


def test_a_logbook_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    """It stands as nothing; one that is begun is a change."""
    session = new_session(tmp_path)
    changed = whether_changed(session)
    assert (changed(), session.path.exists()) == (False, False)
    begin(session, name=ADA, course_id=None)
    assert changed()


def test_work_that_was_stopped_has_changed_nothing(tmp_path: Path) -> None:
    """A watch that stops an import leaves the records as they stood."""
    session = ada_at(tmp_path)
    changed = whether_changed(session)
    file = tmp_path / "evening.csv"
    file.write_text("result,seat_bur_mm\ngood,1.9\n", encoding="utf-8")

    def stop(done: float, of: int) -> None:
        raise Stopped(done, of)

    with pytest.raises(Stopped):
        import_file(session, file, watch=stop)
    assert not changed()
    assert import_file(session, file).stored
    assert changed()
