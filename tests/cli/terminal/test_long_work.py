"""Long work on a terminal: how far it is, and Ctrl-C, which leaves nothing half done."""

import os
import shutil
import signal
import sqlite3
import time
from pathlib import Path

import pytest
from tests.cli.shell import Shell
from tests.patience import PATIENCE
from tests.services.class_of_six import class_of
from tests.tui.terminal import Terminal

from platebook.cli.share import taken_so_far
from platebook.cli.terminal.progress_bar import Work
from platebook.services.sharing.share_progress import OTHERS, OWN, SUMS

CTRL_C = "\x03"
ROWS = 20_000


def running(folder: Path, *words: str) -> Terminal:
    """A command of the program in a pseudo-terminal."""
    return Terminal(
        "-m", "platebook", *words, PLATEBOOK_LOGBOOK=str(folder / "logbook.sqlite"), TERM="xterm"
    )


@pytest.fixture(scope="module")
def class_of_sixty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The logbook of a class that takes a pool some time; only to be copied."""
    return class_of(60, tmp_path_factory.mktemp("sixty")).path


def test_a_bar_says_how_much_is_done_or_how_long_it_takes() -> None:
    """Of a number of steps where that is known."""
    work = Work("Reading the class")
    assert work.line() == "Reading the class, 0 s (Ctrl-C stops it)"
    work(15, 30)
    assert work.line() == f"Reading the class [{'#' * 12}{'.' * 12}] 15 of 30 (Ctrl-C stops it)"


def test_where_nobody_looks_there_is_no_bar(tmp_path: Path) -> None:
    """Stderr that goes to a file holds words only."""
    shell = Shell(tmp_path)
    class_of(6, tmp_path)
    assert shell.runs("class", "findings").stderr == ""


@pytest.mark.pty
@pytest.mark.slow
def test_an_import_that_is_stopped_stores_nothing(tmp_path: Path) -> None:
    """One sentence, exit code 130, and the logbook as it was."""
    shell = Shell(tmp_path)
    shell.runs("setter", "add", "Ada Quill")
    table = tmp_path / "long.csv"
    row = "1.98,cubic zirconia,copper,20 ga,hart,1.9,snap in,3,good\n"
    head = "stone_diameter_mm,stone_material,metal,sheet_mm,seat_bur_shape,seat_bur_mm"
    table.write_text(f"{head},seat_method,fit,result\n{row * ROWS}")
    terminal = running(tmp_path, "import", str(table))
    terminal.wait_for(lambda text: "Enter takes it in" in text)
    terminal.type("\r")
    terminal.wait_for(lambda text: "Taking in long.csv" in text)
    terminal.type(CTRL_C)
    assert terminal.ended() == 130
    said = " ".join(terminal.text().split())
    assert "Stopped: nothing of long.csv was stored, and the logbook is as it was." in said
    assert "Traceback" not in said
    assert "#" not in said
    assert shell.attempts() == []
    assert sqlite3.connect(shell.logbook).execute("PRAGMA integrity_check").fetchone() == ("ok",)


@pytest.mark.pty
@pytest.mark.slow
def test_an_analysis_that_is_stopped_goes_on_from_there(
    class_of_sixty: Path, tmp_path: Path
) -> None:
    """With a pool at work: one sentence, exit code 130, no process left, and the same answer."""
    shutil.copy(class_of_sixty, tmp_path)
    terminal = running(tmp_path, "class", "findings")
    answers = tmp_path / "logbook.sqlite-answers"
    terminal.wait_for(
        lambda text: "Reading the class [#" in text and any(answers.glob("*-share0-*.npz"))
    )
    terminal.type(CTRL_C)
    assert terminal.ended() == 130
    said = " ".join(terminal.text().split())
    assert "Stopped: no answer was given, and the logbook is as it was." in said
    assert "Traceback" not in said
    kept = list(answers.glob("*-share0-*.npz"))
    assert kept
    assert not list(answers.glob("*.part"))


@pytest.mark.pty
@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="asks /proc who is whose child")
def test_a_pool_ends_with_a_program_that_is_killed(class_of_sixty: Path, tmp_path: Path) -> None:
    """However the program ends, no process of it goes on."""
    shutil.copy(class_of_sixty, tmp_path)
    terminal = running(tmp_path, "class", "findings")
    terminal.wait_for(lambda text: "Reading the class [#" in text)
    pool = children(terminal.pid)
    assert pool
    assert terminal.kill(signal.SIGKILL) == 128 + signal.SIGKILL
    end = time.monotonic() + PATIENCE
    while any(alive(one) for one in pool):
        assert time.monotonic() < end, "a process of the pool outlived the program"
        os.sched_yield()


def children(parent: int) -> list[int]:
    """The processes that this one started."""
    return [
        int(file.parent.name)
        for file in Path("/proc").glob("[0-9]*/stat")
        if (told := status(file)) and int(told[1]) == parent
    ]


def alive(process: int) -> bool:
    """Whether it runs; one that only waits to be buried does not."""
    told = status(Path(f"/proc/{process}/stat"))
    return bool(told) and told[0] != "Z"


def status(file: Path) -> list[str]:
    """State, parent and so on, of a process; nothing where it is gone."""
    try:
        return file.read_text().rpartition(")")[2].split()
    except OSError:
        return []


@pytest.mark.parametrize(
    ("label", "done", "of", "says"),
    [
        ("Sharing", 0, 0, "nothing of others came in"),
        (OWN, 900, 1000, "nothing of others came in"),
        (OTHERS, 3, 12, "of 12 bundles of others 3 were gone through"),
        (OTHERS, 12, 12, "everything of others came in, and your own file is there"),
        (SUMS, 3, 12, "everything of others came in, and your own file is there"),
    ],
)
def test_a_stopped_share_says_what_came_in_by_what_was_being_done(
    label: str, done: int, of: int, says: str
) -> None:
    """Numbers are of revisions while the own file is written, and of setters at the end."""
    work = Work("Sharing")
    work(7, 9)
    work.begins(label)
    assert work.line().startswith(f"{label}, 0 s")
    if of:
        work(done, of)
    assert says in taken_so_far(work)
