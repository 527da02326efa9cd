"""A whole plate judged: blind, written at once, the sample fair, the agreement as ever."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged, minutes_on

from platebook.services.attempts.recording import undo
from platebook.services.classes.class_answers import eyes
from platebook.services.classes.inspections import inspect
from platebook.services.classes.last_looks import at_their_grade
from platebook.services.classes.plate_looks import PlateToJudge, comment_on, plate_to_judge
from platebook.services.people.setters import add_setter, list_setters, switch_setter
from platebook.services.people.teachers import add_teacher
from platebook.services.session import Refused, Session


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """A teacher's session, and Bram with a plate of ten, two of them high, and an older one."""
    found = ada_at(tmp_path)
    add_setter(found, BRAM)
    logged(found, *(_row("A", n, "good", -600) for n in range(1, 4)))
    results = ["good", "high", *["good"] * 6, "high", "good"]
    logged(found, *(_row("B", n, result, 0) for n, result in enumerate(results, 1)))
    teacher = add_teacher(found, "Edda Vale")
    return found.for_teacher(teacher.teacher_id or "", teacher.name)


def _row(plate: str, position: int, result: str, minutes: int) -> dict[str, object]:
    return a_row(
        setter=BRAM,
        plate=plate,
        position=str(position),
        result=result,
        began=minutes_on(minutes + position),
        severity="" if result == "good" else "2",
    )


def brams(session: Session, plate: str = "") -> PlateToJudge:
    """Bram's newest plate, or the one named."""
    setter_id = next(
        p.setter.setter_id or "" for p in list_setters(session) if p.setter.name == BRAM
    )
    return plate_to_judge(session, setter_id, plate)


def test_the_newest_plate_is_blind_until_each_position_is_judged(session: Session) -> None:
    """The setter's verdict stands beside one's own, and nowhere before."""
    plate = brams(session)
    assert (plate.setter, plate.plate, plate.plates) == (BRAM, "B", ("B", "A"))
    assert [cell.given for cell in plate.positions] == [None] * 10
    inspect(session, plate.positions[1].attempt_id, "good")
    given = brams(session).positions[1].given
    assert given is not None
    assert (given.result, given.own_result, given.own_severity) == (("good",), ("high",), (2,))
    assert sum(cell.given is not None for cell in brams(session).positions) == 1


def test_judging_all_of_it_counts_the_drawn_one_alone(session: Session) -> None:
    """One of the positions is drawn, by lot before the plate was shown; agreement rests on it."""
    plate = brams(session)
    drawn = [cell for cell in (*plate.positions, *brams(session, "A").positions) if cell.drawn]
    assert len(drawn) == 1
    for cell in plate.positions:
        inspect(session, cell.attempt_id, "good")
    assert eyes(session)[BRAM].looks == sum(cell.drawn for cell in plate.positions)
    for cell in brams(session, "A").positions:
        if cell.attempt_id:
            inspect(session, cell.attempt_id, "good")
    assert eyes(session)[BRAM].looks == 1


def test_undo_takes_the_last_verdict_back(session: Session) -> None:
    """One by one, in the order given."""
    plate = brams(session)
    for cell in plate.positions[:3]:
        inspect(session, cell.attempt_id, "good")
    undo(session)
    assert [cell.given is not None for cell in brams(session).positions[:4]] == [
        True,
        True,
        False,
        False,
    ]


def test_a_comment_is_put_to_a_look_of_ones_own(session: Session) -> None:
    """In words or by the digit of a stock comment; undo takes it back, the verdict stands."""
    cell = brams(session).positions[0]
    made = inspect(session, cell.attempt_id, "tilted", severity="2").inspection.inspection_id or ""
    assert comment_on(session, made, "Slow down.") == "Slow down."
    stock = comment_on(session, made, "1")
    given = brams(session).positions[0].given
    assert given is not None
    assert given.comment == stock
    undo(session)
    undo(session)
    given = brams(session).positions[0].given
    assert given is not None
    assert given.comment == ""
    with pytest.raises(Refused, match="a look of your own"):
        comment_on(switch_setter(session, ADA), made, "mine")


def test_who_named_no_plate_has_none_to_judge(tmp_path: Path) -> None:
    """It says so, and where to look instead."""
    session = ada_at(tmp_path)
    logged(session, a_row(plate=None, position=None))
    with pytest.raises(Refused, match="has named none"):
        plate_to_judge(session, session.setter_id or "")


def test_a_part_exercise_is_named_beside_its_position(session: Session) -> None:
    """In the course's words; a whole setting names none."""
    part = {"kind": "part", "part": "burnishing", "exercise": "burnishing", "grade": "copper-1.5"}
    logged(session, _row("C", 1, "good", 60) | part, _row("C", 2, "good", 60))
    positions = brams(session).positions[:2]
    assert [(p.exercise, p.part) for p in positions] == [("Burnishing", True), ("", False)]


def test_beside_a_look_stand_ones_own_last_ones_and_the_seat_that_is_wanted(
    session: Session,
) -> None:
    """The newest first; what somebody else saw is not told, nor anything before the first look."""
    plate = brams(session)
    grade = "copper-2.0"
    assert at_their_grade(session, plate.setter_id, grade).looks == ()
    for position, result in (("1", "good"), ("2", "loose")):
        attempt_id = next(c.attempt_id for c in plate.positions if c.position == position)
        inspect(session, attempt_id, result, severity="2" if result == "loose" else "")
    seen = at_their_grade(session, plate.setter_id, grade)
    assert [(look.position, look.result) for look in seen.looks] == [
        ("2", ("loose",)),
        ("1", ("good",)),
    ]
    assert seen.sizes is not None
    other = add_teacher(session, "Oda Finch")
    theirs = session.for_teacher(other.teacher_id or "", other.name)
    assert at_their_grade(theirs, plate.setter_id, grade).looks == ()
