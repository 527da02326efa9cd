"""Where the logbook is: the name given, then the variable, then the usual place."""

from pathlib import Path

import platformdirs
import pytest

from platebook.logbook import logbook_path


@pytest.mark.parametrize(
    ("named", "variable", "expected"),
    [
        ("/plates/a.sqlite", "/plates/b.sqlite", "/plates/a.sqlite"),
        (None, "/plates/b.sqlite", "/plates/b.sqlite"),
        ("", "/plates/b.sqlite", "/plates/b.sqlite"),
        (Path("/plates/c.sqlite"), "", "/plates/c.sqlite"),
    ],
)
def test_a_name_wins_over_the_variable(
    named: str | Path | None, variable: str, expected: str
) -> None:
    """An explicit path first, then PLATEBOOK_LOGBOOK; what is empty does not count."""
    assert logbook_path(named, environ={"PLATEBOOK_LOGBOOK": variable}) == Path(expected)


def test_the_usual_place_is_the_users_data_folder() -> None:
    """Where the operating system wants a program's data."""
    folder = platformdirs.user_data_path("platebook", appauthor=False)
    assert logbook_path(environ={}) == folder / "logbook.sqlite"


def test_a_name_may_be_relative_or_start_at_home() -> None:
    """What comes back can be opened from any folder."""
    assert logbook_path("~/a.sqlite", environ={}) == Path.home() / "a.sqlite"
    assert logbook_path("a.sqlite", environ={}) == Path.cwd() / "a.sqlite"
