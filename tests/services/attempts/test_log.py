"""The log: newest first, a page at a time, narrowed by words; one attempt and its past."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, a_row_a_minute, ada_at, logged, new_session

from platebook.services.attempts.log import (
    LogPage,
    attempt_history,
    attempt_values,
    attempt_with,
    attempts_of,
    log_page,
)
from platebook.services.attempts.recording import amend, hide
from platebook.services.session import Refused, Session


def _pages(session: Session, *, words: str = "", limit: int = 3) -> list[LogPage]:
    pages = [log_page(session, words=words, limit=limit)]
    while pages[-1].older is not None:
        pages.append(log_page(session, words=words, limit=limit, before=pages[-1].older))
    return pages


def _notes(*pages: LogPage) -> list[str]:
    return [row.note for page in pages for row in page.rows]


def test_without_a_logbook_the_log_is_empty(tmp_path: Path) -> None:
    """And no file is made by looking."""
    session = new_session(tmp_path)
    assert (log_page(session), attempts_of(session)) == (LogPage((), 0, None), ())
    assert not session.path.exists()


def test_pages_join_newest_first_without_gap_or_double(tmp_path: Path) -> None:
    """Eight attempts are three pages of three, each of which knows the total."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(8))
    pages = _pages(session)
    assert [len(page.rows) for page in pages] == [3, 3, 2]
    assert _notes(*pages) == [f"n{n}" for n in reversed(range(8))]
    assert [page.total for page in pages] == [8, 8, 8]


def test_a_last_page_that_is_full_has_no_older_one(tmp_path: Path) -> None:
    """Six attempts are two pages of three, not three."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(6))
    assert [len(page.rows) for page in _pages(session)] == [3, 3]


def test_an_older_page_does_not_move_when_attempts_are_added(tmp_path: Path) -> None:
    """A page is bound by an attempt."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(5))
    first = log_page(session, limit=2)
    logged(session, a_row(note="new", began="2026-02-04 18:00"))
    assert _notes(log_page(session, limit=2, before=first.older)) == ["n2", "n1"]


def test_all_words_have_to_stand_in_an_attempt(tmp_path: Path) -> None:
    """In any field, in any case and order; the total is known on the last page."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(4), *a_row_a_minute(5, result="loose", lubricant="wax"))
    pages = _pages(session, words="WAX loose", limit=2)
    assert _notes(*pages) == ["n4", "n3", "n2", "n1", "n0"]
    assert [page.total is None for page in pages] == [True, True, False]
    assert log_page(session, words="wax good").rows == ()
    assert log_page(session, words="wax good").total == 0


def test_an_attempt_is_found_by_what_its_grade_and_exercise_are_called(tmp_path: Path) -> None:
    """By the title as the row shows it, as by the id; alone or in the field that it is of."""
    session = ada_at(tmp_path)
    logged(
        session,
        a_row(stone_diameter_mm="2.5", grade="copper-2.5", note="a", lubricant="wax"),
        a_row(note="b"),
    )
    for words in ("2.5 mm in copper", "copper-2.5", "grade=2.5", "whole setting wax", "set a wax"):
        assert _notes(log_page(session, words=words)) == ["a"], words
        assert [a.note for a in attempts_of(session, words=words)] == ["a"], words
    assert _notes(log_page(session, words="grade=wax")) == []


def test_a_setter_sees_their_own_and_everyone_is_asked_for(tmp_path: Path) -> None:
    """The class log has all of them."""
    session = ada_at(tmp_path)
    logged(session, a_row(), a_row(setter=BRAM), a_row(setter=BRAM))
    assert (log_page(session).total, log_page(session, everyone=True).total) == (1, 3)
    assert [a.setter for a in attempts_of(session)] == [ADA]
    assert len(attempts_of(session, everyone=True)) == 3


def test_the_last_ones_come_newest_first_and_all_oldest_first(tmp_path: Path) -> None:
    """As asked by `last`."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(4))
    assert [a.note for a in attempts_of(session, last=2)] == ["n3", "n2"]
    assert [a.note for a in attempts_of(session)] == ["n0", "n1", "n2", "n3"]


def test_a_row_shows_what_came_of_it(tmp_path: Path) -> None:
    """Defects with their severities, and why an attempt has no result."""
    session = ada_at(tmp_path)
    logged(
        session,
        a_row(result="loose; high", severity="2 1", note="two\nlines"),
        a_row(result="", ended="tool broke"),
        a_row(result=""),
    )
    rows = log_page(session).rows[::-1]
    assert [(r.result, r.severity) for r in rows] == [
        (("loose", "high"), (2, 1)),
        (("tool broke",), ()),
        (("not judged",), ()),
    ]
    assert (rows[0].stone_text, rows[0].bur_text, rows[0].grade) == ("1.98", "1.9", "copper-2.0")
    assert (rows[0].note, rows[0].began_text) == ("two lines", "2026-02-03 19:30")


def test_a_row_calls_its_grade_as_the_course_does(tmp_path: Path) -> None:
    """By its short title, or its title without one; what the course does not have keeps its id."""
    session = ada_at(tmp_path)
    grades = ("copper-2.0", "mixed-row", "copper-2.5-doubled")
    logged(session, *(a_row(grade=grade) for grade in grades))
    titles = [row.grade_title for row in log_page(session).rows[::-1]]
    assert titles == ["2.0 mm in copper", "Mixed row", "copper-2.5-doubled"]


def test_an_attempt_is_named_by_its_id_or_the_end_of_it(tmp_path: Path) -> None:
    """An ending has four signs at least."""
    session = ada_at(tmp_path)
    one, _ = logged(session, a_row(note="one"), a_row(note="two"))
    assert attempt_with(session, one).note == "one"
    assert attempt_with(session, one[-6:]).note == "one"
    for unclear in (one[-3:], "zzzzzz"):
        with pytest.raises(Refused, match=f"id: read '{unclear}', expected the id"):
            attempt_with(session, unclear)


def test_an_ending_that_several_have_is_refused(tmp_path: Path) -> None:
    """With how many."""
    session = ada_at(tmp_path)
    ids = ["019c2000-0000-7000-8000-00000000aaaa", "019c2000-0000-7000-8001-00000000aaaa"]
    logged(session, *(a_row(attempt_id=i) for i in ids))
    with pytest.raises(Refused, match="read '0aaaa', which 2 attempts end with"):
        attempt_with(session, "0aaaa")


def test_an_attempt_has_one_time_in_the_log_and_where_it_is_corrected(tmp_path: Path) -> None:
    """As the clock showed it where it was logged, wherever it is read."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row(began="2026-02-03T12:00:00-05:00"))
    (row,) = log_page(session).rows
    assert row.began_text == "2026-02-03 12:00"
    assert attempt_values(session, one)["began"] == "2026-02-03T12:00:00-05:00"


def test_a_past_tells_who_changed_what(tmp_path: Path) -> None:
    """Oldest first, with the old and the new value."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    amend(session, one, {"result": "loose", "note": "ticks"})
    hide(session, one)
    when = "3 February 2026 at 19:30,"
    assert attempt_history(session, one) == (
        f"{when} {ADA}: logged",
        f"{when} {ADA}: corrected: result from good to loose; note from nothing to ticks",
        f"{when} {ADA}: hidden",
    )
