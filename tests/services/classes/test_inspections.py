"""Signing a grade off: what is refused, what is seen, and how it travels."""

from pathlib import Path

import pytest
from tests.logbook.handed_on import revisions_by
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged, minutes_on
from tests.services.school import a_school, all_share, desk_of

from platebook.analysis.success.share_good import share_words
from platebook.logbook import setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.history.revisions import replica_of
from platebook.practice.courses.course_file import shipped_courses
from platebook.practice.defects import comments_on
from platebook.reports.text.log_text import inspection_lines
from platebook.services.answers import progress
from platebook.services.attempts.log import attempt_with, inspections_of
from platebook.services.attempts.recording import amend, hide, redo, undo
from platebook.services.classes.class_answers import class_so_far, eyes
from platebook.services.classes.enrolment import Details, join_class, leave_class, new_class
from platebook.services.classes.inspections import (
    can_take_back,
    class_now,
    inspect,
    queue,
    sign_off,
)
from platebook.services.classes.listed_names import read_names
from platebook.services.courses.in_force import use_course
from platebook.services.now.now_view import now
from platebook.services.people.setters import add_setter, erase_setter, use_setter
from platebook.services.people.teachers import add_teacher, list_teachers
from platebook.services.session import NOBODYS, Refused, Session, opened


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada in her own session, and Bram with six settings of one evening."""
    found = ada_at(tmp_path)
    add_setter(found, BRAM)
    for n, result in enumerate(("good", "high", "good", "good", "high", "good")):
        logged(found, a_row(setter=BRAM, result=result, began=minutes_on(n), plate="1"))
    return found


def drawn(session: Session) -> list[str]:
    """Ids of the positions drawn, as the queue has them."""
    return [row.attempt_id for row in queue(session) if row.drawn]


def brams(session: Session) -> list[str]:
    """Ids of Bram's attempts, in order."""
    with opened(session) as book:
        return [a.attempt_id or "" for a in book.ask(select_attempts) if a.setter == BRAM]


def test_what_was_drawn_stays_drawn_whatever_is_logged_or_looked_at(session: Session) -> None:
    """Asked again, after more attempts, after looks at all others."""
    (one,) = drawn(session)
    for n in range(6, 30):
        logged(session, a_row(setter=BRAM, began=minutes_on(n), result="loose"))
    assert drawn(session) == [one]
    for row in queue(session):
        if not row.drawn:
            inspect(session, row.attempt_id, "good", by="Tutor")
    assert drawn(session) == [one]
    assert inspect(session, one, "good", by="Tutor").inspection.drawn_at_random
    (following,) = drawn(session)
    assert following != one


def test_a_look_before_the_queue_was_asked_for_does_not_choose_the_sample(session: Session) -> None:
    """The draw is made before the look, out of all that waited."""
    with opened(session) as book:
        bram = next(s.setter_id or "" for s in book.ask(setter_records.setters) if s.name == BRAM)
        ids = {a.attempt_id for a in book.ask(select_attempts, Wanted(setter_id=bram))}
    inspect(session, min(map(str, ids)), "good", by="Tutor")
    with opened(session) as book:
        (kept,) = book.ask(setter_records.draws, bram)
    assert set(kept.pool) == ids


def test_nothing_waits_among_everyone_of_who_left_their_class(session: Session) -> None:
    """Their line says so, and stands last; what was drawn waits again when they come back."""
    new_class(session, "Thursday", read_names(session, [ADA, BRAM], {}), Details())
    (one,) = drawn(session)
    leave_class(session, "Thursday", [BRAM])
    assert queue(session) == ()
    assert [(line.name, line.left) for line in class_now(session)[0]] == [
        (ADA, False),
        (BRAM, True),
    ]
    join_class(session, "Thursday", read_names(session, [BRAM], {}))
    assert drawn(session) == [one]


def test_only_what_was_done_about_a_class_is_taken_back_there(session: Session) -> None:
    """A teacher's own entry is in their name as well, and a setter's attempts: neither is."""
    add_teacher(session, "Ida")
    teacher = session.for_teacher(list_teachers(session)[0].teacher.teacher_id or "", "Ida")
    assert not can_take_back(teacher)
    (one,) = drawn(teacher)
    assert not can_take_back(teacher)
    inspect(teacher, one, "good")
    assert can_take_back(teacher)
    assert undo(teacher).startswith("Taken back: the look at one of ")
    assert not can_take_back(teacher)
    new_class(teacher, "Friday", read_names(teacher, ["Cleo Ashdown"], {}), Details())
    assert can_take_back(teacher)
    with opened(session) as book:
        hidden = book.ask(select_attempts)[-1].attempt_id or ""
    hide(session, hidden)
    assert not can_take_back(session)


def test_undo_does_not_draw_again(session: Session) -> None:
    """A draw is nobody's change: undo takes back what the author did before it."""
    with opened(session) as book:
        last = book.ask(select_attempts)[-1].attempt_id or ""
    hide(session, last)
    (one,) = drawn(session)
    assert undo(session).startswith("Taken back: hiding ")
    assert drawn(session) == [one]
    with opened(session) as book:
        assert [c.change.author for c in book.ask(revisions_by) if c.kind == "draw"] == [NOBODYS]


def test_a_look_after_the_verdict_was_told_is_no_sample(session: Session) -> None:
    """Taken back and given again: the second one has seen the setter's own."""
    (one,) = drawn(session)
    assert inspect(session, one, "loose", by="Tutor").inspection.drawn_at_random
    undo(session)
    assert drawn(session) == [one]
    assert not inspect(session, one, "good", by="Tutor").inspection.drawn_at_random
    assert eyes(session)[BRAM].looks == 0


def test_a_verdict_corrected_after_the_look_counts_as_it_was(session: Session) -> None:
    """Else everybody's eye would become the instructor's."""
    (one,) = drawn(session)
    done = inspect(session, one, "loose", by="Tutor")
    assert done.own_result != ("loose",)
    assert amend(session, one, {"result": "loose"}).stored
    found = eyes(session)[BRAM]
    assert found.verdict is not None
    assert [d.defect for d in found.defects if d.inspector_only] == ["loose"]
    undo(session)
    assert eyes(session)[BRAM] == found


def test_a_second_instructor_does_not_count_twice(session: Session) -> None:
    """Both looks stand; of one position the first counts."""
    (one,) = drawn(session)
    inspect(session, one, "loose", by="Tutor")
    inspect(session, one, "good", by="Another")
    found = eyes(session)[BRAM]
    assert (found.looks, found.left_out) == (1, 1)


def test_a_draw_travels_and_is_the_same_for_everyone(tmp_path: Path) -> None:
    """The setter's own logbook knows it, and a second instructor looks at no other one."""
    school = a_school(tmp_path)
    logged(school.ada, *(a_row(began=minutes_on(n), plate="1") for n in range(5)))
    all_share(school, school.ada, school.tutor)
    (one,) = drawn(school.tutor)
    logged(school.ada, *(a_row(began=minutes_on(n), plate="2") for n in range(20, 25)))
    all_share(school, school.tutor, school.ada, school.tutor)
    assert drawn(school.tutor) == [one]
    with opened(school.ada) as book:
        (kept,) = book.ask(setter_records.draws, school.ada.setter_id or "")
    assert kept.attempt_id == one
    inspect(school.tutor, one, "good", by="Tutor")
    all_share(school, school.tutor, school.ada)
    with opened(school.ada) as book:
        (look,) = book.ask(setter_records.inspections, school.ada.setter_id)
    assert (look.attempt_id, look.drawn_at_random) == (one, True)


def test_a_stock_comment_is_kept_in_its_words(session: Session) -> None:
    """A digit picks it; what is typed is kept as it is."""
    first, second = brams(session)[:2]
    picked = inspect(session, first, "tilted", severity="2", comment="1", by="Tutor")
    typed = inspect(session, second, "good", comment="2 of 3 level", by="Tutor")
    assert picked.inspection.comment == comments_on(("tilted",))[0]
    assert typed.inspection.comment == "2 of 3 level"


def test_an_erased_instructor_is_an_instructor(session: Session) -> None:
    """The look stays beside the attempt, and nobody's name with it."""
    tutor = add_setter(session, "Runa Falk").setter_id or ""
    attempts = brams(session)[:2]
    for one, by in zip(attempts, (tutor, "Runa Falk"), strict=True):
        inspect(session, one, "gap", by=by)
    shown = [
        look for one in attempts for look in inspections_of(session, attempt_with(session, one))
    ]
    assert [look.inspector for look in shown] == ["Runa Falk", "Runa Falk"]
    erase_setter(session, "Runa Falk")
    after = [
        look for one in attempts for look in inspections_of(session, attempt_with(session, one))
    ]
    assert [look.inspector for look in after] == ["an instructor", "an instructor"]
    assert [look.result for look in after] == [("gap",), ("gap",)]
    assert "an instructor: gap" in inspection_lines(after)[0]


def test_ones_own_second_look_neither_uses_up_nor_spoils_a_draw(session: Session) -> None:
    """It is no look by others, and it is refused as one."""
    (one,) = drawn(session)
    with pytest.raises(Refused, match="someone else's look"):
        inspect(session, one, "good", by=BRAM)
    assert drawn(session) == [one]
    assert ADA not in {row.setter for row in queue(session)}


GRADE = "copper-1.5"
SIGNED = "signed"


def strict() -> str:
    """The first shipped course under another name, with sign-off."""
    text = shipped_courses()[0].replace('id = "small-to-large"', f'id = "{SIGNED}"', 1)
    return f"sign_off = true\n{text}"


def enough(session: Session, count: int = 11, **values: object) -> tuple[str, ...]:
    """So many good settings at the grade, in a course that asks for a sign-off."""
    use_course(session, SIGNED, strict())
    values = {"grade": GRADE, "stone_diameter_mm": "1.48", "plate": "1", **values}
    rows = (a_row(began=minutes_on(n), **values) for n in range(count))
    return logged(session, *rows)


def state(session: Session) -> str:
    """Of the grade, as the setter in use sees it."""
    found = progress(session).grade(GRADE)
    assert found is not None
    return found.state


def test_a_grade_waits_and_is_signed_off(tmp_path: Path) -> None:
    """Seen in progress, in Now, in the class's line, in the queue and in the next exercise."""
    session = ada_at(tmp_path)
    enough(session)
    assert (state(session), now(session).waits) == ("to be signed off", True)
    (line,), _ = class_so_far(session)
    assert (line.sign_off, line.sign_off_title) == (GRADE, "1.5 mm in copper")
    (row,) = (r for r in queue(session) if r.sign_off)
    assert (row.why, row.sign_off) == ("ready to move up", GRADE)
    assert [reason.sentence for reason in row.reasons] == [
        (
            "ready to move up: 11 of 11 points at 1.5 mm in copper, waits for a sign-off, "
            f"{share_words(line.lately, line.lately_low, line.lately_high)}"
        ),
        "never looked at",
    ]
    done = sign_off(session, ADA, "1.5 MM in copper", by="Tutor", comment="Even rims.")
    assert done.sentence == f"1.5 mm in copper is signed off for {ADA}; undo takes it back."
    found = progress(session).grade(GRADE)
    assert found is not None
    assert (found.state, found.signed_by, now(session).waits) == ("passed", "Tutor", False)
    assert [r for r in queue(session) if r.sign_off] == []


def test_it_waits_though_all_of_it_was_looked_at(tmp_path: Path) -> None:
    """The queue keeps it until it is signed, at the last attempt there."""
    session = ada_at(tmp_path)
    ids = enough(session)
    for one in ids:
        inspect(session, one, "good", by="Tutor")
    (row,) = queue(session)
    assert (row.attempt_id, row.sign_off, row.drawn) == (ids[-1], GRADE, False)


def test_a_sign_off_is_taken_back_and_put_back(tmp_path: Path) -> None:
    """By undo and redo, as everything."""
    session = ada_at(tmp_path)
    enough(session)
    sign_off(session, ADA, GRADE, by="Tutor")
    assert undo(session) == "Taken back: adding the sign-off of 1.5 mm in copper for Ada Quill."
    assert state(session) == "to be signed off"
    redo(session)
    assert state(session) == "passed"


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
    session = ada_at(tmp_path)
    enough(session, count)
    with pytest.raises(Refused) as caught:
        sign_off(session, ADA, grade, by=by)
    assert says in caught.value.sentence
    with opened(session) as book:
        assert book.ask(setter_records.sign_offs, session.setter_id or "") == ()


def test_what_is_signed_or_asks_for_nothing_is_refused(tmp_path: Path) -> None:
    """A second signature, and a course that passes by its points."""
    session = ada_at(tmp_path)
    logged(
        session,
        *(a_row(grade=GRADE, stone_diameter_mm="1.48", began=minutes_on(n)) for n in range(11)),
    )
    with pytest.raises(Refused, match="asks for no sign-off"):
        sign_off(session, ADA, GRADE, by="Tutor")
    use_course(session, SIGNED, strict())
    sign_off(session, ADA, GRADE, by="Tutor")
    with pytest.raises(Refused, match="signed off already"):
        sign_off(session, ADA, GRADE, by="Tutor")


def test_it_travels_to_the_setter_and_back_again(tmp_path: Path) -> None:
    """Share, sign off, share back: the setter goes on; taken back and shared, they wait again."""
    school = a_school(tmp_path)
    enough(school.ada)
    all_share(school, school.ada, school.tutor)
    tutor = add_setter(school.tutor, "Runa Falk")
    session = school.tutor.for_setter(tutor.setter_id or "", tutor.name)
    use_setter(session, tutor.name)
    sign_off(session, ADA, GRADE)
    all_share(school, session, school.ada, school.bram)
    found = progress(school.ada).grade(GRADE)
    assert found is not None
    assert (found.state, found.signed_by) == ("passed", "Runa Falk")
    with opened(school.bram) as book:
        assert "sign_off" not in {r.kind for r in book.ask(revisions_by)}
    undo(session)
    all_share(school, session, school.ada)
    assert state(school.ada) == "to be signed off"


def test_two_instructors_sign_at_once(tmp_path: Path) -> None:
    """Both stand; it is passed all the same, and taking one back leaves the other."""
    school = a_school(tmp_path)
    other = desk_of(tmp_path, "other")
    enough(school.ada)
    all_share(school, school.ada, school.tutor, other)
    for session, name in ((school.tutor, "Tutor"), (other, "Another")):
        sign_off(session, ADA, GRADE, by=name)
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
    logged(school.ada, a_row(grade=GRADE, stone_diameter_mm="1.48", began=minutes_on(60)))
    with opened(school.ada) as book:
        assert {r.kind for r in book.ask(revisions_by, book.ask(replica_of))} == {
            "setter",
            "attempt",
            "course_in_force",
        }
    all_share(school, school.ada, school.tutor)
    (line,), _ = class_so_far(school.tutor)
    assert (line.attempts, line.sign_off, line.grades[0].state) == (12, "", "passed")


def test_nobody_else_is_signed_for(tmp_path: Path) -> None:
    """The name says who is meant; one whom nobody knows is refused."""
    session = ada_at(tmp_path)
    enough(session)
    with pytest.raises(Refused, match="setter: read 'Bram Osk'"):
        sign_off(session, BRAM, GRADE, by="Tutor")
