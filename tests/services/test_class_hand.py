"""A setter's sizes with a class in the logbook: theirs speaks until one's own hand does."""

from pathlib import Path

from tests.services.bench import ADA, a_row, ada_at, logged

from platebook.logbook import open_logbook
from platebook.logbook.records import add_setter
from platebook.practice.records import Setter
from platebook.services.answers import basis_of, hand_of
from platebook.services.session import Session


def _classmates_log(session: Session, seat_mm: float, setters: int) -> None:
    with open_logbook(session.path) as book:
        for number in range(setters):
            book.tell(
                add_setter, Setter(name=f"Mate {number}"), book.stamp(ADA, session.clock(), "add")
            )
    for number in range(setters):
        rows = [a_row(setter=f"Mate {number}", seat_diameter_mm=f"{seat_mm}")] * 6
        logged(session, *rows)


def test_five_classmates_tell_of_a_hand_that_has_cut_nothing(tmp_path: Path) -> None:
    """Their overcut is taken, with whose seats it rests on; four are no class."""
    session = ada_at(tmp_path)
    _classmates_log(session, 2.0, 4)
    assert hand_of(session, basis_of(session)).for_shape("hart") is None
    with open_logbook(session.path) as book:
        book.tell(add_setter, Setter(name="Mate 4"), book.stamp(ADA, session.clock(), "add"))
    logged(session, *[a_row(setter="Mate 4", seat_diameter_mm="2.0")] * 6)
    known = hand_of(session, basis_of(session)).for_shape("hart")
    assert known is not None
    assert (known.from_attempts, known.from_class) == (0, 30)
    assert known.overcut_mm > 0.06


def test_what_a_classmate_logs_later_is_taken_in(tmp_path: Path) -> None:
    """Nothing kept from before is given as if it still stood."""
    session = ada_at(tmp_path)
    _classmates_log(session, 2.0, 5)
    before = hand_of(session, basis_of(session)).for_shape("hart")
    logged(session, *[a_row(setter="Mate 0", seat_diameter_mm="1.94")] * 6)
    after = hand_of(session, basis_of(session)).for_shape("hart")
    assert before is not None
    assert after is not None
    assert (before.from_class, after.from_class) == (30, 36)
    assert after.overcut_mm < before.overcut_mm
