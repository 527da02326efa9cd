"""Draws and sign-offs are records: they stay, travel, go with an erased person, come from kept."""

import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import AUTHOR, ME, NOW, a_book, a_book_with_setter, log

from platebook.logbook import Logbook, LogbookError, open_logbook
from platebook.logbook.migrations import shipped_steps
from platebook.practice.draw import Draw
from platebook.practice.sign_off import SignOff

TUTOR = "Runa Falk"


def with_both(book: Logbook) -> tuple[Draw, SignOff]:
    """A draw among three attempts and a grade signed off, by somebody the logbook knows."""
    ids = log(book, 3)
    tutor = book.add_setter(TUTOR, author=TUTOR, now=NOW)
    draw = Draw(setter_id=ME, attempt_id=ids[1], pool=ids, seed="s", drawn=NOW)
    sign_off = SignOff(
        setter_id=ME,
        course="small-to-large",
        grade="copper-1.5",
        signed_by=tutor.setter_id or "",
        attempt_id=ids[2],
        signed=NOW,
    )
    (kept,) = book.add_draws([draw], author="the draw", now=NOW)
    return kept, book.add_sign_off(sign_off, author=TUTOR, now=NOW)


def test_they_are_kept_as_they_were_given(tmp_path: Path) -> None:
    """With an id each; and the logbook is whole."""
    with a_book_with_setter(tmp_path) as book:
        draw, sign_off = with_both(book)
        assert (book.draws(ME), book.sign_offs(ME)) == ((draw,), (sign_off,))
        assert book.check() == ()


def test_a_draw_is_no_news_for_answers_and_a_sign_off_is(tmp_path: Path) -> None:
    """What is kept of findings stays when a position is drawn."""
    with a_book_with_setter(tmp_path) as book:
        draw, sign_off = with_both(book)
        before = book.digest(ME)
        book.add_draws([draw.model_copy(update={"draw_id": None})], author="the draw", now=NOW)
        assert book.digest(ME) == before
        again = sign_off.model_copy(update={"sign_off_id": None})
        book.add_sign_off(again, author=TUTOR, now=NOW)
        assert book.digest(ME) != before


def test_a_sign_off_is_taken_back_and_put_back(tmp_path: Path) -> None:
    """By whoever gave it; the draw in between stays out of it."""
    with a_book_with_setter(tmp_path) as book:
        _, sign_off = with_both(book)
        assert book.undo(author=TUTOR, now=NOW).words == "Taken back: add of 1 sign-off."
        assert book.sign_offs(ME) == ()
        book.redo(author=TUTOR, now=NOW)
        assert (book.sign_offs(ME), len(book.draws(ME))) == ((sign_off,), 1)


def test_they_travel_to_the_setter_with_whoever_signed(tmp_path: Path) -> None:
    """The setter's own logbook takes in what concerns them."""
    with a_book_with_setter(tmp_path, "a.sqlite") as one, a_book(tmp_path, "b.sqlite") as other:
        draw, sign_off = with_both(one)
        other.take_in(one.bundle(), now=NOW, only=ME)
        assert (other.draws(ME), other.sign_offs(ME)) == ((draw,), (sign_off,))
        assert {setter.name for setter in other.setters()} == {AUTHOR, TUTOR}
        assert other.check() == ()


def test_they_move_with_a_merge_and_go_with_an_erased_person(tmp_path: Path) -> None:
    """What is a setter's goes where they go."""
    with a_book_with_setter(tmp_path) as book:
        with_both(book)
        other = book.add_setter("Ottoline M.", author=AUTHOR, now=NOW).setter_id or ""
        book.merge_setters(other, ME, author=AUTHOR, now=NOW)
        assert (len(book.draws(other)), len(book.sign_offs(other))) == (1, 1)
        book.erase(other, now=NOW)
        assert not {r.kind for r in book.revisions()} & {"draw", "sign_off"}
        assert book.check() == ()


def test_nobody_unknown_is_signed_for(tmp_path: Path) -> None:
    """A sign-off is of a setter whom the logbook has."""
    nobody = SignOff(setter_id="x", course="c", grade="g", signed_by="t")
    with a_book(tmp_path) as book, pytest.raises(LogbookError, match="There is no setter"):
        book.add_sign_off(nobody, author=TUTOR, now=NOW)


def test_what_an_older_program_kept_for_later_stands_after_the_step(tmp_path: Path) -> None:
    """It took both in as kinds it did not know; a record that cannot be one stays a revision."""
    path = tmp_path / "older.sqlite"
    with a_book_with_setter(tmp_path, "newer.sqlite") as book:
        draw, sign_off = with_both(book)
        book.undo(author=TUTOR, now=NOW)
        book.redo(author=TUTOR, now=NOW)
        given = book.revisions()
    with open_logbook(tmp_path / "newer.sqlite") as book:
        older = open_logbook(path, steps=shipped_steps()[:3])
        kept = [r for r in given if r.kind not in {"draw", "sign_off"}]
        older.unite(kept, now=NOW)
        older.close()
        _put_in(path, tmp_path / "newer.sqlite")
    with open_logbook(path) as book:
        assert (book.draws(ME), book.sign_offs(ME)) == ((draw,), (sign_off,))
        assert book.check() == ("The draw bad is not what its revisions make it.",)


def _put_in(path: Path, source: Path) -> None:
    """Revisions of the later kinds as the older program stores what it does not know."""
    connection = sqlite3.connect(path)
    connection.execute("ATTACH ? AS source", [str(source)])
    connection.execute("INSERT OR IGNORE INTO change SELECT * FROM source.change")
    later = "SELECT * FROM source.revision WHERE kind IN ('draw', 'sign_off')"
    connection.execute(f"INSERT INTO revision {later}")
    connection.execute(
        "INSERT INTO revision SELECT 'bad', 'draw', 'bad', '[]', change_id, counter, 1, 0, '{}'"
        " FROM change LIMIT 1"
    )
    connection.commit()
    connection.close()
