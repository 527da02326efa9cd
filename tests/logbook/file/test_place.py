"""Where the logbook is, and new files that are whole or not there."""

import os
from pathlib import Path

import platformdirs
import pytest

from platebook.logbook import logbook_path
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.opening import open_logbook
from platebook.logbook.file.place import (
    announced,
    free_name,
    keys_folder,
    new_file,
    refuse_odd_place,
    sweep,
)
from platebook.logbook.signing.private_keys import drop_key


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


def test_a_new_file_is_whole_or_not_there(tmp_path: Path) -> None:
    """When making it fails, neither the file nor its draft is left."""
    target = tmp_path / "new.sqlite"

    def fail() -> None:
        with new_file(target) as draft:
            draft.write_bytes(b"half")
            raise RuntimeError("torn")

    with pytest.raises(RuntimeError, match="torn"):
        fail()
    assert list(tmp_path.iterdir()) == []
    with new_file(target) as draft:
        draft.write_bytes(b"whole")
    assert target.read_bytes() == b"whole"
    with pytest.raises(FileExistsError), new_file(target) as draft:
        draft.write_bytes(b"other")
    assert target.read_bytes() == b"whole"
    assert list(tmp_path.iterdir()) == [target]


def test_a_free_name_counts_up(tmp_path: Path) -> None:
    """The first number that is not taken."""
    path = tmp_path / "book.sqlite"
    assert free_name(path, "replaced").name == "book.replaced-1.sqlite"
    free_name(path, "replaced").touch()
    assert free_name(path, "replaced").name == "book.replaced-2.sqlite"


def test_the_home_of_a_stranger_is_refused_by_name() -> None:
    """A person whom this machine does not know has no home folder on it."""
    with pytest.raises(LogbookError, match=r"~nobody_such/a\.sqlite: there is no such home"):
        logbook_path("~nobody_such/a.sqlite", environ={})


def test_no_logbook_lies_in_a_circle_of_links_in_a_pipe_or_under_an_impossible_name(
    tmp_path: Path,
) -> None:
    """Each is refused in a sentence, and none is waited for or traced."""
    circle = tmp_path / "circle"
    circle.symlink_to(circle)
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for place, words in (
        (circle, "a link that leads back to itself"),
        (pipe, "a pipe or a device"),
        (tmp_path / ("x" * 300), "a longer name"),
        (tmp_path / "a\0b", "null"),
    ):
        with pytest.raises(LogbookError, match=words) as refusal:
            refuse_odd_place(place)
        assert refusal.value.cause == "place"


def test_a_place_where_a_logbook_may_come_to_lie_passes(tmp_path: Path) -> None:
    """A file that is there, one that is not there yet, and a folder, which is refused elsewhere."""
    there = tmp_path / "a.sqlite"
    there.touch()
    for place in (there, tmp_path / "none" / "b.sqlite", tmp_path):
        refuse_odd_place(place)


def test_what_a_killed_program_had_begun_is_swept_and_what_lives_is_left(tmp_path: Path) -> None:
    """Whoever writes holds a lock that the system drops with the program."""
    target = tmp_path / "book.sqlite"
    dead = tmp_path / ".book.sqlite.0a1b.new"
    dead.write_bytes(b"half")
    (tmp_path / ".book.sqlite.0a1b.new-wal").write_bytes(b"of it")
    with new_file(target) as alive:
        assert not dead.exists()
        assert sweep(target) == ()
        assert alive.exists()
        alive.write_bytes(b"whole")
    assert [file.name for file in tmp_path.iterdir()] == ["book.sqlite"]


def test_a_private_key_half_written_goes_at_the_next_opening_and_with_its_person(
    tmp_path: Path,
) -> None:
    """A program that was killed over it left it in the folder of keys."""
    logbook = tmp_path / "book.sqlite"
    open_logbook(logbook).close()
    keys_folder(logbook).mkdir()
    half = keys_folder(logbook) / ".ada.key.0a1b.new"
    half.write_bytes(b"half a secret")
    open_logbook(logbook).close()
    assert not half.exists()
    half.write_bytes(b"half a secret")
    drop_key(logbook, "ada")
    assert not half.exists()


def test_what_was_begun_under_another_name_is_found_by_its_note(tmp_path: Path) -> None:
    """A killed backup to a stick leaves a note beside the logbook, which the next start follows."""
    logbook, stick = tmp_path / "book.sqlite", tmp_path / "stick"
    stick.mkdir()
    target = stick / "copy.sqlite"
    half = stick / ".copy.sqlite.0a1b.new"
    with announced(logbook, target):
        half.write_bytes(b"half")
        (note,) = tmp_path.glob(".book.sqlite.*.target")
        left = note.read_bytes()
    assert not note.exists()
    note.write_bytes(left)
    assert sweep(logbook) == (half,)
    assert (half.exists(), note.exists()) == (False, False)


def test_a_note_about_a_stick_that_is_not_there_stays(tmp_path: Path) -> None:
    """What was begun on it is found when it is back."""
    logbook = tmp_path / "book.sqlite"
    note = tmp_path / ".book.sqlite.0a1b.target"
    note.write_text(str(tmp_path / "stick" / "copy.sqlite"), encoding="utf-8")
    os.utime(note, (0, 0))
    assert sweep(logbook) == ()
    assert note.exists()
    (tmp_path / "stick").mkdir()
    sweep(logbook)
    assert not note.exists()
