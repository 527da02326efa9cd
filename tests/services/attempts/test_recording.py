"""Adding and correcting attempts: all or nothing, with a setter and a bur; taking back."""

from itertools import count
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, SEAT_BUR, ZONE, a_row, ada_at, logged, new_session

from platebook.practice.attempt import Attempt
from platebook.practice.records import Setter
from platebook.services.attempts.log import attempt_with, attempts_of
from platebook.services.attempts.recording import amend, hide, record, redo, remedy_for, undo
from platebook.services.attempts.whose_attempts import Assigned, assign_setters
from platebook.services.people.setters import add_setter, list_setters, tools
from platebook.services.session import Refused
from platebook.values import replace


def test_an_attempt_without_a_time_began_now(tmp_path: Path) -> None:
    """By the session's clock, in its own zone."""
    session = replace(ada_at(tmp_path), clock=lambda: NOW)
    logged(session, a_row())
    (attempt,) = attempts_of(session)
    assert attempt.began == NOW
    assert attempt.began is not None
    assert attempt.began.utcoffset() == ZONE.utcoffset(None)


def test_a_time_that_was_given_stands(tmp_path: Path) -> None:
    """A local time is the bench's."""
    session = ada_at(tmp_path)
    logged(session, a_row(began="2026-01-08 19:40"))
    (attempt,) = attempts_of(session)
    assert attempt.began is not None
    assert attempt.began.isoformat() == "2026-01-08T19:40:00+01:00"


def test_the_course_places_the_stone(tmp_path: Path) -> None:
    """Grade, course and kind follow from stone and metal."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    (attempt,) = attempts_of(session)
    assert (attempt.grade, attempt.course, attempt.kind, attempt.setter) == (
        "copper-2.0",
        "small-to-large",
        "whole",
        ADA,
    )


def test_one_bad_row_keeps_all_out(tmp_path: Path) -> None:
    """Row, field, what was read and what was expected are told, and nothing is stored."""
    session = ada_at(tmp_path)
    done = record(session, [a_row(), a_row(result="good; loose"), a_row(seat_bur_mm="large")])
    assert (done.stored, done.ids) == (False, ())
    assert [(p.row, p.field) for p in done.problems] == [(2, "result"), (3, "seat_bur_mm")]
    assert all(p.read and p.expected for p in done.problems)
    assert attempts_of(session) == ()


def test_a_word_outside_the_list_is_kept_and_told(tmp_path: Path) -> None:
    """A notice does not stop anything."""
    session = ada_at(tmp_path)
    done = record(session, [a_row(lubricant="candle stub")])
    assert (done.stored, [p.level for p in done.problems]) == (True, ["notice"])
    assert [a.lubricant for a in attempts_of(session)] == ["candle stub"]


def test_with_nobody_in_use_the_row_says_what_is_missing(tmp_path: Path) -> None:
    """Nothing is guessed and nothing is stored."""
    session = new_session(tmp_path)
    done = record(session, [a_row()])
    assert (done.stored, [p.field for p in done.problems]) == (False, ["setter"])
    assert "no setter is in use" in done.problems[0].expected


def test_a_new_name_is_added_and_sits_down_where_nobody_is(tmp_path: Path) -> None:
    """The first person of a logbook is the one in use from then on, and it is said once."""
    session = new_session(tmp_path)
    done = record(session, [a_row(setter=BRAM), a_row(setter="bram osk")])
    assert [p.level for p in done.problems] == ["notice"]
    assert [(x.setter.name, x.attempts, x.in_use) for x in list_setters(session)] == [
        (BRAM, 2, True)
    ]


def test_a_new_name_beside_someone_in_use_does_not_take_the_bench(tmp_path: Path) -> None:
    """Logging for another person changes nobody's default."""
    session = ada_at(tmp_path)
    logged(session, a_row(setter=BRAM))
    assert [(x.setter.name, x.in_use) for x in list_setters(session)] == [
        (ADA, True),
        (BRAM, False),
    ]


def test_a_shared_name_is_a_problem_that_lists_them(tmp_path: Path) -> None:
    """Neither is chosen, and nothing is stored."""
    session = ada_at(tmp_path)
    add_setter(session, ADA, group="Tuesdays")
    done = record(session, [a_row(setter=ADA)])
    assert not done.stored
    assert "of Tuesdays" in done.problems[0].expected


def test_an_id_is_used_once(tmp_path: Path) -> None:
    """The same attempt a second time is a problem, alone or in one go."""
    session = ada_at(tmp_path)
    (first,) = logged(session, a_row())
    again = record(session, [a_row(), a_row(attempt_id=first)])
    assert (again.stored, [(p.row, p.field) for p in again.problems]) == (
        False,
        [(2, "attempt_id")],
    )
    other = first[:-1] + ("0" if first[-1] != "0" else "1")
    twice = record(session, [a_row(attempt_id=other), a_row(attempt_id=other)])
    assert (twice.stored, twice.problems[0].expected) == (False, "an id of its own; row 1 has it")
    assert len(attempts_of(session)) == 1


@pytest.mark.parametrize("by", ["name", "id"])
def test_the_drawer_counts_the_seats_a_bur_has_cut(by: str, tmp_path: Path) -> None:
    """Each attempt has the seats cut before it, within one change as well."""
    session = ada_at(tmp_path, SEAT_BUR)
    bur = SEAT_BUR.name if by == "name" else tools(session)[0].tool_id
    logged(session, a_row(seat_bur=bur), a_row(seat_bur=bur), a_row(seat_bur="a borrowed one"))
    logged(session, a_row(seat_bur=bur))
    assert [a.seat_bur_uses for a in attempts_of(session)] == [7, 8, None, 9]
    assert [t.seats_cut for t in tools(session)] == [10]


def test_a_prepared_seat_costs_no_bur_a_seat(tmp_path: Path) -> None:
    """Burnishing in it leaves the count; cutting one for its width does not."""
    session = ada_at(tmp_path, SEAT_BUR)
    logged(session, a_row(seat_bur=SEAT_BUR.name, kind="part", part="burnishing"))
    assert [t.seats_cut for t in tools(session)] == [7]
    logged(session, a_row(seat_bur=SEAT_BUR.name, kind="part", part="width"))
    assert [a.seat_bur_uses for a in attempts_of(session)] == [None, 7]
    assert [t.seats_cut for t in tools(session)] == [8]


def test_undo_gives_the_bur_its_seats_back(tmp_path: Path) -> None:
    """Attempts and count go and come together."""
    session = ada_at(tmp_path, SEAT_BUR)
    logged(session, a_row(seat_bur=SEAT_BUR.name), a_row(seat_bur=SEAT_BUR.name))
    undo(session)
    assert (len(attempts_of(session)), tools(session)[0].seats_cut) == (0, 7)
    redo(session)
    assert (len(attempts_of(session)), tools(session)[0].seats_cut) == (2, 9)


def test_a_count_that_was_given_moves_no_counter(tmp_path: Path) -> None:
    """An imported attempt knows its bur better than the drawer."""
    session = ada_at(tmp_path, SEAT_BUR)
    logged(session, a_row(seat_bur=SEAT_BUR.name, seat_bur_uses=3))
    assert [a.seat_bur_uses for a in attempts_of(session)] == [3]
    assert tools(session)[0].seats_cut == 7


def test_a_result_says_what_now() -> None:
    """Each defect has its sentence and whether it can be saved; good has none (common practice)."""
    loose, low = remedy_for("loose; low")
    assert loose.startswith("Loose (can sometimes be saved): ")
    assert low.startswith("Low (cannot be saved): ")
    assert remedy_for("good") == ()


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
    assert undo(session) == "Taken back: hiding 1.98 mm, good, at 19:30."
    assert [a.attempt_id for a in attempts_of(session)] == [one, two]
    with pytest.raises(Refused, match="id: read 'nothing'"):
        hide(session, "nothing")


def test_taking_back_and_putting_back_say_what_they_did(tmp_path: Path) -> None:
    """Down the line of changes and up again."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    logged(session, a_row(), a_row())
    amend(session, one, {"result": "loose"})
    assert undo(session) == "Taken back: the correction of 1.98 mm, loose, at 19:30."
    assert attempt_with(session, one).result == ("good",)
    assert undo(session) == "Taken back: 2 attempts."
    assert len(attempts_of(session)) == 1
    assert redo(session) == "Put back: 2 attempts."
    assert redo(session) == "Put back: the correction of 1.98 mm, loose, at 19:30."
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


ADA_KNOWN = Setter(setter_id="a", name="Ada Quill")
BRAM_KNOWN = Setter(setter_id="b", name="Bram Osk")
OTHER_BRAM = Setter(setter_id="c", name="bram  osk", group="Tuesday")


def _placed(*attempts: Attempt, in_use: str | None = None) -> Assigned:
    ids = (f"new-{n}" for n in count(1))
    return assign_setters(attempts, (ADA_KNOWN, BRAM_KNOWN), in_use=in_use, new_id=ids)


def test_a_name_in_other_spelling_is_the_same_setter() -> None:
    """Case and blanks do not make a new person."""
    found = _placed(Attempt(setter="  ada QUILL "))
    assert [(a.setter_id, a.setter) for a in found.attempts] == [("a", "Ada Quill")]


def test_a_row_without_a_name_is_the_setters_in_use() -> None:
    """Nobody writes their own name on every line."""
    found = _placed(Attempt(), in_use="b")
    assert found.attempts[0].setter_id == "b"


def test_without_anyone_in_use_the_row_is_a_problem_that_names_the_way_out() -> None:
    """Nothing is guessed."""
    found = _placed(Attempt())
    assert (found.attempts, found.problems[0].level) == ((), "problem")


def test_a_new_name_is_added_once_and_said() -> None:
    """Two rows of one new person make one setter and one notice."""
    found = _placed(Attempt(setter="Cleo Vanter"), Attempt(setter="cleo vanter"))
    assert [s.name for s in found.new_setters] == ["Cleo Vanter"]
    assert [p.level for p in found.problems] == ["notice"]
    assert {a.setter_id for a in found.attempts} == {"new-1"}


def test_a_shared_name_lists_the_people() -> None:
    """Several of one name: told apart by group and id, none chosen."""
    found = assign_setters(
        (Attempt(setter="Bram Osk"),), (BRAM_KNOWN, OTHER_BRAM), in_use=None, new_id=iter(())
    )
    assert found.attempts == ()
    assert "of Tuesday (c)" in found.problems[0].expected


def test_an_unknown_id_keeps_its_id_and_name() -> None:
    """An exported file brings the same people back into an empty logbook."""
    found = assign_setters(
        (Attempt(setter_id="z", setter="Dov Ferrin"),), (), in_use=None, new_id=iter(())
    )
    assert [(s.setter_id, s.name) for s in found.new_setters] == [("z", "Dov Ferrin")]
