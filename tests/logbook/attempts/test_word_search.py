"""Words among everybody's attempts: the same whichever way they are looked for, in any letters."""

from datetime import timedelta
from pathlib import Path

import pytest
from tests.logbook.books import ME, NOW, a_book_with_setter, signed

from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Order, Wanted
from platebook.logbook.attempts.word_search import ids_with_words
from platebook.logbook.records import add_attempts
from platebook.practice.attempt import Attempt


def numbered(count: int) -> list[Attempt]:
    """Attempts of which every third is rare and every second common; sizes go round."""
    words = ("rare common", "", "common", "rare", "common", "")
    return [
        Attempt(
            setter_id=ME,
            began=NOW + timedelta(minutes=n),
            note=words[n % 6],
            stone_diameter_mm=(1.5, 2.0, None, 2.5)[n % 4],
        )
        for n in range(count)
    ]


@pytest.mark.parametrize("order", ["time", "stone"])
def test_a_page_is_the_same_however_far_is_looked_in_order(order: Order, tmp_path: Path) -> None:
    """Both ways round, words that are everywhere, somewhere and nowhere, and later pages too."""
    with a_book_with_setter(tmp_path) as book:
        book.tell(add_attempts, numbered(30), signed(book, "record"))
        middle = book.ask(select_attempts)[17]
        wanted = [Wanted(words=(w,), order=order) for w in ("common", "rare", "nowhere")]
        wanted += [Wanted(words=("rare",), order=order, before=middle)]
        for asked in wanted:
            for newest_first in (True, False):
                plain = book.ask(select_attempts, asked, newest_first=newest_first)
                expected = tuple(attempt.attempt_id for attempt in plain)
                for first, limit in ((1, 3), (7, 4), (7, 50), (100, 50)):
                    for a_part in (4, 1_000):
                        found = book.ask(
                            ids_with_words,
                            asked,
                            limit=limit,
                            newest_first=newest_first,
                            first=first,
                            a_part=a_part,
                        )
                        assert found == expected[:limit], (asked, newest_first, first, a_part)


def test_letters_of_any_alphabet_are_found_in_any_case(tmp_path: Path) -> None:
    """A word of other letters finds each way of writing it, one of plain letters itself."""
    notes = ("ganz groß", "GANZ GROSS", "Größe", "GRÖSSE", "plain")
    with a_book_with_setter(tmp_path) as book:
        rows = [Attempt(setter_id=ME, began=NOW, note=note) for note in notes]
        book.tell(add_attempts, rows, signed(book, "record"))

        def found(word: str) -> list[str | None]:
            page = book.ask(select_attempts, Wanted(words=(word,)), limit=9)
            return [attempt.note for attempt in page]

        assert found("groß") == ["ganz groß", "GANZ GROSS"]
        assert found("größe") == ["Größe", "GRÖSSE"]
        assert found("PLAIN") == ["plain"]
