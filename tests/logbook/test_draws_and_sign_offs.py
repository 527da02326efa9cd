"""Draws and sign-offs are records: they stay, travel, go with an erased person, come from kept."""

import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import AUTHOR, ME, NOW, a_book, a_book_with_setter, log, receive, signed

from platebook.logbook import (
    Logbook,
    LogbookError,
    belongings,
    checking,
    erasing,
    keeping,
    open_logbook,
    undoing,
)
from platebook.logbook.adding import add_draws, add_setter, add_sign_off
from platebook.logbook.handing_on import bundle_of
from platebook.logbook.merging import merge_setters
from platebook.logbook.migrations import shipped_steps
from platebook.logbook.revisions import revisions_by
from platebook.logbook.uniting import unite
from platebook.practice.draw import Draw
from platebook.practice.sign_off import SignOff

TUTOR = "Runa Falk"


def with_both(book: Logbook) -> tuple[Draw, SignOff]:
    """A draw among three attempts and a grade signed off, by somebody the logbook knows."""
    ids = log(book, 3)
    tutor = book.tell(add_setter, TUTOR, book.stamp(TUTOR, NOW, "add"))
    draw = Draw(setter_id=ME, attempt_id=ids[1], pool=ids, seed="s", drawn=NOW)
    sign_off = SignOff(
        setter_id=ME,
        course="small-to-large",
        grade="copper-1.5",
        signed_by=tutor.setter_id or "",
        attempt_id=ids[2],
        signed=NOW,
    )
    (kept,) = book.tell(add_draws, [draw], book.stamp("the draw", NOW, "draw"))
    return kept, book.tell(add_sign_off, sign_off, book.stamp(TUTOR, NOW, "add"))


def test_they_are_kept_as_they_were_given(tmp_path: Path) -> None:
    """With an id each; and the logbook is whole."""
    with a_book_with_setter(tmp_path) as book:
        draw, sign_off = with_both(book)
        assert (book.ask(belongings.draws, ME), book.ask(belongings.sign_offs, ME)) == (
            (draw,),
            (sign_off,),
        )
        assert book.ask(checking.findings) == ()


def test_a_draw_is_no_news_for_answers_and_a_sign_off_is(tmp_path: Path) -> None:
    """What is kept of findings stays when a position is drawn."""
    with a_book_with_setter(tmp_path) as book:
        draw, sign_off = with_both(book)
        before = book.ask(keeping.digest, ME)
        book.tell(
            add_draws,
            [draw.model_copy(update={"draw_id": None})],
            book.stamp("the draw", NOW, "draw"),
        )
        assert book.ask(keeping.digest, ME) == before
        again = sign_off.model_copy(update={"sign_off_id": None})
        book.tell(add_sign_off, again, book.stamp(TUTOR, NOW, "add"))
        assert book.ask(keeping.digest, ME) != before


def test_a_sign_off_is_taken_back_and_put_back(tmp_path: Path) -> None:
    """By whoever gave it; the draw in between stays out of it."""
    with a_book_with_setter(tmp_path) as book:
        _, sign_off = with_both(book)
        assert (
            book.tell(undoing.undo, book.stamp(TUTOR, NOW, "undo")).words
            == "Taken back: add of 1 sign-off (grade copper-1.5)."
        )
        assert book.ask(belongings.sign_offs, ME) == ()
        book.tell(undoing.redo, book.stamp(TUTOR, NOW, "redo"))
        assert (book.ask(belongings.sign_offs, ME), len(book.ask(belongings.draws, ME))) == (
            (sign_off,),
            1,
        )


def test_they_travel_to_the_setter_with_whoever_signed(tmp_path: Path) -> None:
    """The setter's own logbook takes in what concerns them."""
    with a_book_with_setter(tmp_path, "a.sqlite") as one, a_book(tmp_path, "b.sqlite") as other:
        draw, sign_off = with_both(one)
        receive(other, one.ask(bundle_of), only=ME)
        assert (other.ask(belongings.draws, ME), other.ask(belongings.sign_offs, ME)) == (
            (draw,),
            (sign_off,),
        )
        assert {setter.name for setter in other.ask(belongings.setters)} == {AUTHOR, TUTOR}
        assert other.ask(checking.findings) == ()


def test_they_move_with_a_merge_and_go_with_an_erased_person(tmp_path: Path) -> None:
    """What is a setter's goes where they go."""
    with a_book_with_setter(tmp_path) as book:
        with_both(book)
        other = book.tell(add_setter, "Ottoline M.", signed(book, "add")).setter_id or ""
        book.tell(merge_setters, other, ME, signed(book, "merge"))
        assert (
            len(book.ask(belongings.draws, other)),
            len(book.ask(belongings.sign_offs, other)),
        ) == (1, 1)
        book.tell(erasing.erase, book.path, other, NOW)
        assert not {r.kind for r in book.ask(revisions_by)} & {"draw", "sign_off"}
        assert book.ask(checking.findings) == ()


def test_nobody_unknown_is_signed_for(tmp_path: Path) -> None:
    """A sign-off is of a setter whom the logbook has."""
    nobody = SignOff(setter_id="x", course="c", grade="g", signed_by="t")
    with a_book(tmp_path) as book, pytest.raises(LogbookError, match="There is no setter"):
        book.tell(add_sign_off, nobody, book.stamp(TUTOR, NOW, "add"))


def test_what_an_older_program_kept_for_later_stands_after_the_step(tmp_path: Path) -> None:
    """It took both in as kinds it did not know; a record that cannot be one stays a revision."""
    path = tmp_path / "older.sqlite"
    with a_book_with_setter(tmp_path, "newer.sqlite") as book:
        draw, sign_off = with_both(book)
        book.tell(undoing.undo, book.stamp(TUTOR, NOW, "undo"))
        book.tell(undoing.redo, book.stamp(TUTOR, NOW, "redo"))
        given = book.ask(revisions_by)
    with open_logbook(tmp_path / "newer.sqlite") as book:
        older = open_logbook(path, steps=shipped_steps()[:3])
        kept = [r for r in given if r.kind not in {"draw", "sign_off"}]
        older.tell(unite, kept, older.new_id(NOW))
        older.close()
        _put_in(path, tmp_path / "newer.sqlite")
    with open_logbook(path) as book:
        assert (book.ask(belongings.draws, ME), book.ask(belongings.sign_offs, ME)) == (
            (draw,),
            (sign_off,),
        )
        assert book.ask(checking.findings) == ("The draw bad is not what its revisions make it.",)


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
