"""A sheet named as a person types or pastes it."""

from pathlib import Path

import pytest

from platebook.services.session import Refused
from platebook.services.sheets.looking import typed_path


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("/notes/book.csv\n", "/notes/book.csv"),
        ("'/notes/my book.csv'", "/notes/my book.csv"),
        ("/notes/my\\ book.csv", "/notes/my book.csv"),
        ("file:///notes/book.csv", "/notes/book.csv"),
    ],
)
def test_quotes_and_the_marks_of_a_dropped_file_are_understood(typed: str, meant: str) -> None:
    """As terminals paste what is dropped on them."""
    assert typed_path(typed) == Path(meant)


def test_a_home_folder_that_is_nobodys_is_refused_in_words() -> None:
    """As it is for a logbook."""
    with pytest.raises(Refused, match=r"~nobody_such/book\.csv: there is no such home folder"):
        typed_path("~nobody_such/book.csv")
