"""Signing a grade off: what is refused, what is seen, and how it travels."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged, minutes_on
from tests.services.school import a_school, all_share, desk_of

from platebook.logbook import belongings
from platebook.logbook.revisions import replica_of, revisions_by
from platebook.practice.shipped import shipped_courses
from platebook.services.answers import progress
from platebook.services.class_answers import class_so_far
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.inspecting import inspect, queue
from platebook.services.now import now
from platebook.services.recording import redo, undo
from platebook.services.roster import add_setter, follow_course, use_setter
from platebook.services.signing import sign_off

GRADE = "copper-1.5"
SIGNED = "signed"


def strict() -> str:
    """The first shipped course under another name, with sign-off."""
    text = shipped_courses()[0].replace('id = "small-to-large"', f'id = "{SIGNED}"', 1)
    return f"sign_off = true\n{text}"


def enough(desk: Desk, count: int = 11, **values: object) -> tuple[str, ...]:
    """So many good settings at the grade, in a course that asks for a sign-off."""
    follow_course(desk, SIGNED, strict())
    rows = (a_row(grade=GRADE, began=minutes_on(n), plate="1", **values) for n in range(count))
    return logged(desk, *rows)


def state(desk: Desk) -> str:
    """Of the grade, as the setter in use sees it."""
    found = progress(desk).grade(GRADE)
    assert found is not None
    return found.state


def test_a_grade_waits_and_is_signed_off(tmp_path: Path) -> None:
    """Seen in progress, in Now, in the class's line, in the queue and in the next exercise."""
    desk = ada_at(tmp_path)
    enough(desk)
    assert (state(desk), now(desk).waits) == ("waiting", True)
    (line,), _ = class_so_far(desk)
    assert (line.sign_off, line.sign_off_title) == (GRADE, "1.5 mm in copper")
    (row,) = (r for r in queue(desk) if r.sign_off)
    assert (row.why, row.sign_off) == ("ready to move up", GRADE)
    assert (
        row.sentence
        == "ready to move up: 11 of 11 points at 1.5 mm in copper; waits for a sign-off"
    )
    done = sign_off(desk, ADA, "1.5 MM in copper", by="Tutor", comment="Even rims.")
    assert done.sentence == f"1.5 mm in copper is signed off for {ADA}; undo takes it back."
    found = progress(desk).grade(GRADE)
    assert found is not None
    assert (found.state, found.signed_by, now(desk).waits) == ("passed", "Tutor", False)
    assert [r for r in queue(desk) if r.sign_off] == []


def test_it_waits_though_all_of_it_was_looked_at(tmp_path: Path) -> None:
    """The queue keeps it until it is signed, at the last attempt there."""
    desk = ada_at(tmp_path)
    ids = enough(desk)
    for one in ids:
        inspect(desk, one, "good", by="Tutor")
    (row,) = queue(desk)
    assert (row.attempt_id, row.sign_off, row.drawn) == (ids[-1], GRADE, False)


def test_a_sign_off_is_taken_back_and_put_back(tmp_path: Path) -> None:
    """By undo and redo, as everything."""
    desk = ada_at(tmp_path)
    enough(desk)
    sign_off(desk, ADA, GRADE, by="Tutor")
    assert undo(desk) == "Taken back: add of 1 sign-off (grade copper-1.5)."
    assert state(desk) == "waiting"
    redo(desk)
    assert state(desk) == "passed"


@pytest.mark.parametrize(
    ("count", "grade", "by", "says"),
    [
        (11, "copper-9", "Tutor", "grade: read 'copper-9', expected one of: "),
        (10, GRADE, "Tutor", "has 10 of 11 points, one good one to go"),
        (11, GRADE, ADA, "nobody signs a grade off for themselves"),
        (11, GRADE, "", "nobody signs a grade off for themselves"),
    ],
)
def test_what_cannot_be_signed_off_is_refused(
    tmp_path: Path, count: int, grade: str, by: str, says: str
) -> None:
    """With what is missing; nothing is recorded."""
    desk = ada_at(tmp_path)
    enough(desk, count)
    with pytest.raises(Refused) as caught:
        sign_off(desk, ADA, grade, by=by)
    assert says in caught.value.sentence
    with opened(desk) as book:
        assert book.ask(belongings.sign_offs, desk.setter_id or "") == ()


def test_what_is_signed_or_asks_for_nothing_is_refused(tmp_path: Path) -> None:
    """A second signature, and a course that passes by its points."""
    desk = ada_at(tmp_path)
    logged(desk, *(a_row(grade=GRADE, began=minutes_on(n)) for n in range(11)))
    with pytest.raises(Refused, match="asks for no sign-off"):
        sign_off(desk, ADA, GRADE, by="Tutor")
    follow_course(desk, SIGNED, strict())
    sign_off(desk, ADA, GRADE, by="Tutor")
    with pytest.raises(Refused, match="signed off already"):
        sign_off(desk, ADA, GRADE, by="Tutor")


def test_it_travels_to_the_setter_and_back_again(tmp_path: Path) -> None:
    """Share, sign off, share back: the setter goes on; taken back and shared, they wait again."""
    school = a_school(tmp_path)
    enough(school.ada)
    all_share(school, school.ada, school.tutor)
    tutor = add_setter(school.tutor, "Runa Falk")
    desk = school.tutor.for_setter(tutor.setter_id or "", tutor.name)
    use_setter(desk, tutor.name)
    sign_off(desk, ADA, GRADE)
    all_share(school, desk, school.ada, school.bram)
    found = progress(school.ada).grade(GRADE)
    assert found is not None
    assert (found.state, found.signed_by) == ("passed", "Runa Falk")
    with opened(school.bram) as book:
        assert "sign_off" not in {r.kind for r in book.ask(revisions_by)}
    undo(desk)
    all_share(school, desk, school.ada)
    assert state(school.ada) == "waiting"


def test_two_instructors_sign_at_once(tmp_path: Path) -> None:
    """Both stand; it is passed all the same, and taking one back leaves the other."""
    school = a_school(tmp_path)
    other = desk_of(tmp_path, "other")
    enough(school.ada)
    all_share(school, school.ada, school.tutor, other)
    for desk, name in ((school.tutor, "Tutor"), (other, "Another")):
        sign_off(desk, ADA, GRADE, by=name)
    all_share(school, school.tutor, other, school.ada)
    undo(other)
    all_share(school, other, school.ada)
    found = progress(school.ada).grade(GRADE)
    assert found is not None
    assert (found.state, found.signed_by) == ("passed", "Tutor")


def test_a_bundle_without_sign_offs_still_comes_in(tmp_path: Path) -> None:
    """An older program's has none of the later kinds: it comes in as ever, and nothing is lost."""
    school = a_school(tmp_path)
    enough(school.ada)
    all_share(school, school.ada, school.tutor)
    queue(school.tutor)
    sign_off(school.tutor, ADA, GRADE, by="Tutor")
    logged(school.ada, a_row(grade=GRADE, began=minutes_on(60)))
    with opened(school.ada) as book:
        assert {r.kind for r in book.ask(revisions_by, book.ask(replica_of))} == {
            "setter",
            "attempt",
        }
    all_share(school, school.ada, school.tutor)
    (line,), _ = class_so_far(school.tutor)
    assert (line.attempts, line.sign_off, line.state) == (12, "", "passed")


def test_nobody_else_is_signed_for(tmp_path: Path) -> None:
    """The name says who is meant; one whom nobody knows is refused."""
    desk = ada_at(tmp_path)
    enough(desk)
    with pytest.raises(Refused, match="setter: read 'Bram Osk'"):
        sign_off(desk, BRAM, GRADE, by="Tutor")
