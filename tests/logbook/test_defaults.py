"""Defaults that outlive the program, and course texts."""

from pathlib import Path

from tests.logbook.books import ME, a_book, a_book_with_setter
from tests.logbook.handed_on import revisions_by

from platebook.logbook import defaults


def test_a_default_is_kept_changed_and_forgotten(tmp_path: Path) -> None:
    """It outlives the program, and is not a change of the record."""
    with a_book_with_setter(tmp_path) as book:
        assert book.ask(defaults.default, "setter") is None
        book.tell(defaults.set_default, "setter", "someone")
        book.tell(defaults.set_default, "setter", ME)
        assert len(book.ask(revisions_by)) == 1
    with a_book(tmp_path) as book:
        assert book.ask(defaults.default, "setter") == ME
        book.tell(defaults.set_default, "setter", None)
        assert book.ask(defaults.default, "setter") is None


def test_a_course_text_is_kept_under_its_digest(tmp_path: Path) -> None:
    """Each text once, every version of it, byte for byte.

    The digest of "abc" is the example of FIPS 180-4 (SHA-256, one block message).
    """
    known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    with a_book(tmp_path) as book:
        assert book.tell(defaults.keep_course, "small to large", 1, "abc") == known
        assert book.tell(defaults.keep_course, "small to large", 1, "abc") == known
        later = book.tell(defaults.keep_course, "small to large", 2, "abc\r\nü")
        first, second = book.ask(defaults.course_texts, "small to large")
        assert (first.digest, second.digest) == (known, later)
        assert (second.course, second.version, second.text) == ("small to large", 2, "abc\r\nü")
        assert book.ask(defaults.course_texts, "unknown") == ()
