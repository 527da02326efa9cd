"""Files half written by programs that were killed, and those that somebody still writes."""

import os
import time
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from platebook.exchange.half_written import STALE_S, half_written, is_left_over, name_beside, sweep


def _left(file: Path, age_s: float = 0.0) -> Path:
    """What a killed program left of this file so long ago."""
    draft = file.with_name(name_beside(file.name))
    draft.write_bytes(b"half")
    then = time.time() - age_s
    os.utime(draft, (then, then))
    return draft


def _names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_a_file_has_its_name_when_it_is_whole(tmp_path: Path) -> None:
    """Until then it lies beside it, and afterwards nothing else does."""
    file = tmp_path / "log.csv"
    with half_written(file, [b"wh", b"ole"]) as draft:
        assert (draft.read_bytes(), file.exists()) == (b"whole", False)
        draft.replace(file)
    assert (file.read_bytes(), _names(tmp_path)) == (b"whole", {"log.csv"})


def test_nothing_is_left_where_it_fails(tmp_path: Path) -> None:
    """The next one begins with a clean folder."""
    with pytest.raises(KeyError), half_written(tmp_path / "log.csv", [b"whole"]):
        raise KeyError
    assert _names(tmp_path) == set()


def test_what_was_begun_for_the_same_file_goes_at_once_and_the_rest_by_age(tmp_path: Path) -> None:
    """Another file's is left for as long as somebody may be writing it; other names for good."""
    file = tmp_path / "log.csv"
    young, old = _left(tmp_path / "other.csv"), _left(tmp_path / "other.csv", STALE_S + 60)
    mine = tmp_path / ".mine.new"
    mine.write_bytes(b"")
    for left in (_left(file), _left(file, STALE_S + 60), old):
        assert left.exists()
    with half_written(file, [b"wh", b"ole"]) as draft:
        draft.replace(file)
    assert _names(tmp_path) == {"log.csv", young.name, mine.name}


def _write(file: Path, line: Connection) -> None:
    with half_written(file, [b"slow"]) as draft:
        line.send(draft.name)
        line.recv()
        draft.replace(file)


@pytest.mark.skipif(os.name != "posix", reason="the lock is the system's, which has none")
def test_what_somebody_still_writes_is_left(tmp_path: Path) -> None:
    """It gets its name, though the same file was written meanwhile."""
    file = tmp_path / "log.csv"
    here, there = get_context("fork").Pipe()
    writer = get_context("fork").Process(target=_write, args=(file, there))
    writer.start()
    there.close()  # so that a writer that fails ends the waiting too
    name = here.recv()
    sweep(file)
    assert name in _names(tmp_path)
    here.send("go on")
    writer.join()
    assert (file.read_bytes(), _names(tmp_path)) == (b"slow", {"log.csv"})


def test_only_its_own_names_are_taken_for_left_over() -> None:
    """A hidden file of somebody else's is none."""
    assert is_left_over(name_beside("log.csv"), "log.csv")
    assert not is_left_over(name_beside("log.csv"), "other.csv")
    assert not any(map(is_left_over, ("log.csv", ".log.csv.new", ".log.csv.0123abcd.new", ".new")))
