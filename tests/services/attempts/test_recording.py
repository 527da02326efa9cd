"""Adding attempts: all or nothing, with a setter and a bur."""

import dataclasses
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, SEAT_BUR, ZONE, a_row, ada_at, logged, new_desk

from platebook.services.attempts.log import attempts_of
from platebook.services.attempts.recording import record, redo, remedy_for, undo
from platebook.services.setters import add_setter, list_setters, tools


def test_an_attempt_without_a_time_began_now(tmp_path: Path) -> None:
    """By the desk's clock, in the bench's own zone."""
    session = dataclasses.replace(ada_at(tmp_path), clock=lambda: NOW)
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
    session = new_desk(tmp_path)
    done = record(session, [a_row()])
    assert (done.stored, [p.field for p in done.problems]) == (False, ["setter"])
    assert "no setter is in use" in done.problems[0].expected


def test_a_new_name_is_added_and_sits_down_where_nobody_is(tmp_path: Path) -> None:
    """The first person of a logbook is the one in use from then on, and it is said once."""
    session = new_desk(tmp_path)
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
