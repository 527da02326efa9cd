"""Defaults, course texts, ids, and what opening a logbook loads."""

import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from uuid import UUID

from tests.logbook.books import ME, NOW, a_book, a_book_with_setter

from platebook.logbook import defaults
from platebook.logbook.revisions import Ids, revisions_by


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


def test_a_course_text_is_found_by_its_digest(tmp_path: Path) -> None:
    """Each text once, every version of it, byte for byte.

    The digest of "abc" is the example of FIPS 180-4 (SHA-256, one block message).
    """
    known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    with a_book(tmp_path) as book:
        assert book.tell(defaults.keep_course, "small to large", 1, "abc") == known
        assert book.tell(defaults.keep_course, "small to large", 1, "abc") == known
        later = book.tell(defaults.keep_course, "small to large", 2, "abc\r\nü")
        found = book.ask(defaults.course_text, later)
        assert found is not None
        assert (found.course, found.version, found.text) == ("small to large", 2, "abc\r\nü")
        assert [text.digest for text in book.ask(defaults.course_texts, "small to large")] == [
            known,
            later,
        ]
        assert (
            book.ask(defaults.course_text, "unknown"),
            book.ask(defaults.course_texts, "unknown"),
        ) == (None, ())


def test_ids_are_uuids_of_version_7_with_the_time_in_front() -> None:
    """RFC 9562, 5.7: 48 bits of milliseconds since 1970, version 7, variant 0b10.

    The time is that of its test vector, appendix A.6: 2022-02-22 14:22:22 -05:00.
    """
    moment = NOW.replace(year=2022, month=2, day=22, hour=19, minute=22, second=22)
    made = UUID(Ids().one(moment))
    assert (made.version, made.variant) == (7, "specified in RFC 4122")
    assert made.int >> 80 == 0x017F22E279B0


def test_ids_rise_though_the_clock_stands_or_is_set_back() -> None:
    """The order given out is the order sorted, and none comes twice."""
    ids = Ids()
    given: list[str] = []
    for hours in (0, 0, -1, 0, 1, -2):
        given += ids.take(200, NOW + timedelta(hours=hours))
    assert given == sorted(set(given))


def test_opening_a_logbook_loads_no_numpy_and_no_pandas(tmp_path: Path) -> None:
    """sqlite-utils loads both where they are installed; a logbook needs neither."""
    program = (
        "import sys\n"
        "from platebook.logbook import open_logbook\n"
        "open_logbook(sys.argv[1]).close()\n"
        "print(sorted({'numpy', 'pandas', 'scipy', 'textual'} & set(sys.modules)))\n"
        "import numpy, pandas\n"
        "print(numpy.arange(3).sum(), pandas.Series([1, 2]).sum())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path / "book.sqlite")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.stdout, done.stderr) == ("[]\n3 3\n", "")


def test_naming_the_package_loads_no_database() -> None:
    """The public names come from their rooms when they are first asked for."""
    program = (
        "import sys, platebook.logbook as logbook\n"
        "print('sqlite_utils' in sys.modules, hasattr(logbook, 'nothing'))\n"
        "logbook.LogbookError, logbook.logbook_path\n"
        "print('sqlite_utils' in sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False
    )
    assert (done.stdout, done.stderr) == ("False False\nFalse\n", "")
