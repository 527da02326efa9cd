"""Erasings brought to copies: people, records and names go, the rest stays and is whole."""

from pathlib import Path

from tests.logbook.books import AUTHOR, GONE, NOTE, NOW, a_book_with_setter, with_a_second_person

from platebook.logbook import Logbook, open_logbook
from platebook.logbook.attempts.attempt_queries import count_attempts
from platebook.logbook.erasures import erasing
from platebook.logbook.erasures.erased_in_copies import Reached, clear_copies
from platebook.logbook.file import integrity
from platebook.logbook.file.copying import copy_into


def _copied(book: Logbook, folder: Path) -> Path:
    copy = folder / "copy.sqlite"
    book.ask(copy_into, copy)
    return copy


def test_a_person_goes_from_a_copy_and_the_rest_is_whole(tmp_path: Path) -> None:
    """No byte of theirs is left; a second time there is nothing to do."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        copy = _copied(book, tmp_path)
        book.tell(erasing.erase, book.path, other, NOW)
        assert book.ask(clear_copies, [copy]) == Reached(cleared=(copy,))
        assert book.ask(clear_copies, [copy]) == Reached()
    data = copy.read_bytes()
    assert [word.encode() in data for word in (GONE, NOTE, AUTHOR)] == [False, False, True]
    with open_logbook(copy) as cleared:
        assert cleared.ask(integrity.problems_in) == ()
        assert cleared.ask(count_attempts) == 0


def test_what_is_no_logbook_any_more_is_told(tmp_path: Path) -> None:
    """It is left as it is, for whoever asked to decide."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        copy = _copied(book, tmp_path)
        copy.write_bytes(copy.read_bytes()[:9000])
        book.tell(erasing.erase, book.path, other, NOW)
        assert book.ask(clear_copies, [copy]) == Reached(unreached=(copy,))
