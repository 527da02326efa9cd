"""The class on a wall: whom it names, what it leaves unsaid, and that it only reads."""

import random
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged, minutes_on, new_session

from platebook.logbook import setter_records
from platebook.services.pages.projector import ClassOnWall
from platebook.services.people.setters import add_setter, change_setter
from platebook.services.session import Refused, Session, opened


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada and Bram of one evening, both with plates of their name; all of Bram's came out high."""
    begun = ada_at(tmp_path)
    change_setter(begun, ADA, group="Thursday")
    add_setter(begun, BRAM, group="Thursday")
    rows = [
        a_row(setter=name, result=result, began=minutes_on(n), plate=f"{name} 1", position=str(n))
        for n in range(1, 10)
        for name, result in ((ADA, "good"), (BRAM, "high"))
    ]
    logged(begun, *rows)
    return begun


def drawn(seed: int) -> random.Random:
    """A draw that is the same each time."""
    return random.Random(seed)  # noqa: S311 - nothing secret in a test


def test_a_line_each_the_register_and_who_is_looked_at(session: Session) -> None:
    """With names, each plate is told where its setter is looked at next, and never why."""
    page = ClassOnWall(session, "thursday").page()
    for told in ("<h1>Thursday</h1>", ADA, BRAM, "++++++++", "xxxxxxxx", "Who came", "1 of 1"):
        assert told in page
    assert f"<li>{BRAM}: plate {BRAM} 1, position " in page
    assert "stuck" not in page
    assert "few good" not in page
    assert "eye" not in page.partition("<footer>")[0]


def test_without_names_nobody_is_named(session: Session) -> None:
    """Each has a number, in whose order they stand, and keeps it; who comes later has the next."""
    wall = ClassOnWall(session, "Thursday", rng=drawn(4))
    first = wall.page()
    numbers = [f'<th scope="row">{number}</th>' for number in (1, 2)]
    assert all(number in first for number in numbers)
    assert first.index(numbers[0]) < first.index(numbers[1])
    for name in (ADA, BRAM):
        assert name not in first
        assert name.split()[0] not in first
    add_setter(session, "Cleo Vane", group="Thursday")
    later = wall.page()
    of_two = first.partition(numbers[0])[2].partition("</tbody>")[0]
    assert of_two.strip() in later
    assert '<th scope="row">3</th>' in later
    assert "Cleo" not in later


def test_numbers_do_not_follow_the_roster(session: Session) -> None:
    """Of several draws some put Bram before Ada: the order is no way to work out who it is."""
    walls = [ClassOnWall(session, "Thursday", rng=drawn(seed)) for seed in range(8)]
    of_one = {wall.page().partition('<th scope="row">1</th>')[2][:200] for wall in walls}
    assert len(of_one) == 2


def test_its_stamp_is_other_after_a_change_alone(session: Session) -> None:
    """Making the page keeps nothing in the logbook, no draw either."""
    wall = ClassOnWall(session, "Thursday")
    wall.page()
    before = wall.stamp()
    wall.page()
    assert wall.stamp() == before
    with opened(session) as book:
        assert book.ask(setter_records.draw_counts) == {}
    logged(session, a_row(setter=ADA, result="good", began=minutes_on(12)))
    assert wall.stamp() != before


def test_nobody_yet_is_a_sentence(tmp_path: Path) -> None:
    """A projector may be on before the first one is added."""
    assert "Nobody is in this class yet." in ClassOnWall(ada_less(tmp_path)).page()


def ada_less(folder: Path) -> Session:
    """A logbook whose only setter is put aside."""
    session = ada_at(folder)
    change_setter(session, ADA, active=False)
    return session


def test_no_logbook_and_no_such_class_are_refused(session: Session, tmp_path: Path) -> None:
    """And no logbook is made."""
    missing = new_session(tmp_path / "elsewhere")
    with pytest.raises(Refused, match="no logbook yet"):
        ClassOnWall(missing)
    assert not missing.path.exists()
    with pytest.raises(Refused, match="Friday"):
        ClassOnWall(session, "Friday").page()
