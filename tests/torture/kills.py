"""Programs killed at random moments: what was acknowledged stands, nothing is half done.

Each cycle lets two writers and a reader work on one logbook, by the commands that people type, and
kills them with SIGKILL; or it types into the app in a terminal, and kills that. Then the logbook is
opened as the next start would, looked through, and compared with what was acknowledged. The
children are forked from a program that has everything imported, so that a cycle costs work and no
start.
"""

import contextlib
import fcntl
import json
import os
import pty
import random
import select
import signal
import struct
import termios
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner
from tests.torture.outcome import Outcome

from platebook.cli.main import main
from platebook.exchange.bundle_file import bundle_file, read_bundle
from platebook.logbook import Logbook, open_logbook
from platebook.logbook.file import integrity
from platebook.logbook.file.copying import prove

ADA = "Ada Quill"
ROWS = 20
CYCLES_A_FOLDER = 40
"""How many cycles work on one logbook before the next begins with a new one."""

GONE_WITHIN_S = 2.0
"""How long the app may take after its window was closed or it was asked to end."""


@dataclass
class Ledger:
    """What was acknowledged in one folder, and so has to stand."""

    folder: Path
    ids: set[str] = field(default_factory=set)
    notes: set[tuple[str, str]] = field(default_factory=set)
    imports: set[str] = field(default_factory=set)
    begun: set[str] = field(default_factory=set)
    copies: set[str] = field(default_factory=set)
    erased: set[str] = field(default_factory=set)

    @property
    def logbook(self) -> Path:
        """The logbook that everybody works on."""
        return self.folder / "book" / "logbook.sqlite"

    def take(self, line: str) -> None:
        """Believe one acknowledgement."""
        said = json.loads(line)
        match said["did"]:
            case "record":
                self.ids.update(said["ids"])
            case "amend":
                self.notes.add((said["id"], said["note"]))
            case "begun":
                self.begun.add(said["mark"])
            case "import":
                self.imports.add(said["mark"])
            case "backup":
                self.copies.add(said["file"])
            case "erase":
                self.erased.add(said["name"])


def new_ledger(folder: Path) -> Ledger:
    """A logbook in which Ada begins, a folder to share through, and nothing acknowledged yet."""
    ledger = Ledger(folder)
    for name in ("book", "shared", "files"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    done = CliRunner().invoke(
        main, ["--logbook", str(ledger.logbook), "setter", "add", ADA, "--course", "small-to-large"]
    )
    assert done.exit_code == 0, done.output
    return ledger


class Writer:
    """Somebody who types commands, and writes down what each acknowledged."""

    def __init__(self, ledger: Ledger, seed: int, say: int) -> None:
        self.ledger = ledger
        self.rng = random.Random(seed)  # noqa: S311 - no secret, a test's seed
        self.mark = f"m{seed}"
        self.say = say
        self.number = 0
        self.ids: list[str] = []

    def acknowledge(self, **said: object) -> None:
        """Tell the parent, in one write."""
        os.write(self.say, f"{json.dumps(said)}\n".encode())

    def types(self, *words: str, stdin: str | None = None) -> str | None:
        """What a command printed; None where it refused, as it may while another one writes."""
        command = ["--logbook", str(self.ledger.logbook), *words]
        done = CliRunner().invoke(main, command, input=stdin)
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            told = "".join(traceback.format_exception(done.exception))
            self.acknowledge(did="trace", words=words, trace=told[-2000:])
        return done.stdout if done.exit_code == 0 else None

    def record(self) -> None:
        """One attempt, or five."""
        count = self.rng.choice((1, 1, 1, 5))
        rows = [{"result": self.rng.choice(("good", "loose")), "note": self.mark}] * count
        out = self.types("record", "--from", "-", "--json", stdin=json.dumps(rows))
        if out is not None:
            self.ids = json.loads(out)["ids"]
            self.acknowledge(did="record", ids=self.ids)

    def amend(self) -> None:
        """Another note on the last attempt."""
        if self.ids:
            self.number += 1
            note = f"{self.mark} note {self.number}"
            if self.types("amend", self.ids[0], f"note={note}") is not None:
                self.acknowledge(did="amend", id=self.ids[0], note=note)

    def back(self) -> None:
        """Take the last change back, or put it there again."""
        self.types(self.rng.choice(("undo", "redo")))

    def bring_in(self) -> None:
        """A sheet of twenty rows, all of it or nothing."""
        self.number += 1
        mark = f"sheet {self.mark} {self.number}"
        sheet = self.ledger.folder / "files" / f"{self.mark}-{self.number}.csv"
        rows = "".join(f"good,2.0,{mark},2026-03-02T18:{n:02}+00:00\n" for n in range(ROWS))
        sheet.write_text(f"result,stone_diameter_mm,note,began\n{rows}", encoding="utf-8")
        self.acknowledge(did="begun", mark=mark)
        if self.types("import", str(sheet)) is not None:
            self.acknowledge(did="import", mark=mark)

    def share(self) -> None:
        """Write the bundle that others take in."""
        self.types("share", str(self.ledger.folder / "shared"))

    def backup(self) -> None:
        """A copy under a name of its own, or one of the program's."""
        self.number += 1
        file = self.ledger.folder / "files" / f"{self.mark}-{self.number}.sqlite"
        named = [str(file)] if self.rng.random() < 0.5 else []
        if self.types("backup", *named) is not None and named:
            self.acknowledge(did="backup", file=str(file))

    def erase(self) -> None:
        """Somebody comes, logs, and is erased."""
        self.number += 1
        name = f"Zephyrine {self.mark}-{self.number}"
        if self.types("setter", "add", name) is None:
            return
        self.types("record", "--setter", name, "--result", "good")
        if self.types("setter", "erase", name, "--yes") is not None:
            self.acknowledge(did="erase", name=name)

    def work(self) -> None:
        """Type until the end."""
        while True:
            self.rng.choice(CHORES)(self)


CHORES = (
    *(Writer.record,) * 6,
    *(Writer.amend,) * 3,
    *(Writer.back, Writer.bring_in) * 2,
    *(Writer.share, Writer.backup, Writer.erase),
)


LOOKS = (("log", "--all"), ("where",), ("next",))


def _read(ledger: Ledger) -> None:
    """Somebody who only looks."""
    while True:
        for words in LOOKS:
            CliRunner().invoke(main, ["--logbook", str(ledger.logbook), *words])


def import_all(folder: Path) -> None:
    """Run every command once, so that the children find all imported."""
    ledger = new_ledger(folder)
    with Path(os.devnull).open("wb") as nowhere:
        writer = Writer(ledger, 0, nowhere.fileno())
        for chore in CHORES:
            chore(writer)
    for words in LOOKS:
        CliRunner().invoke(main, ["--logbook", str(ledger.logbook), *words])


def _forked(work: Callable[[], None]) -> int:
    pid = os.fork()
    if pid == 0:
        with contextlib.suppress(BaseException):
            work()
        os._exit(0)
    return pid


def kill_commands(ledger: Ledger, seed: int) -> list[str]:
    """One cycle over the commands; gives what was wrong after it, a sentence each."""
    rng = random.Random(seed)  # noqa: S311 - no secret, a test's seed
    read_end, write_end = os.pipe()
    writers = [Writer(ledger, seed * 2 + n, write_end) for n in range(2)]
    pids = [_forked(writer.work) for writer in writers]
    pids.append(_forked(lambda: _read(ledger)))
    os.close(write_end)
    end, said = time.monotonic() + rng.uniform(0.05, 1.2), b""
    while (left := end - time.monotonic()) > 0:
        if select.select([read_end], [], [], left)[0]:
            said += os.read(read_end, 65536)
    for pid in pids:
        os.kill(pid, signal.SIGKILL)
    for pid in pids:
        os.waitpid(pid, 0)
    while more := os.read(read_end, 65536):
        said += more
    os.close(read_end)
    lines = said.decode("utf-8").splitlines()
    traces = [line for line in lines if json.loads(line)["did"] == "trace"]
    for line in lines:
        ledger.take(line)
    return [*traces, *wrong_after(ledger)]


def kill_app(ledger: Ledger, seed: int) -> list[str]:
    """One cycle over the app: keys typed into it, then killed, ended or its window closed."""
    rng = random.Random(seed)  # noqa: S311 - no secret, a test's seed
    pid, terminal = pty.fork()
    if pid == 0:
        with contextlib.suppress(BaseException):
            os.environ.update({"TERM": "xterm-256color", "PLATEBOOK_LOGBOOK": str(ledger.logbook)})
            main([], standalone_mode=False)
        os._exit(0)
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    end = time.monotonic() + rng.uniform(0.3, 4.0)
    while time.monotonic() < end:
        with contextlib.suppress(OSError):
            if select.select([terminal], [], [], 0.05)[0]:
                os.read(terminal, 65536)
            os.write(terminal, rng.choice(("\r", "3", "1", "g", "\r", "5", "w", "n", "l")).encode())
    how = rng.choice(("kill", "term", "close"))
    if how == "kill":
        os.kill(pid, signal.SIGKILL)
    elif how == "term":
        os.kill(pid, signal.SIGTERM)
    if how != "term":
        os.close(terminal)
    late = _still_there(pid, terminal if how == "term" else None)
    if how == "term":
        os.close(terminal)
    wrong = [f"the app was there {GONE_WITHIN_S:.0f} s after {how}"] if late else []
    return [*wrong, *wrong_after(ledger)]


def _still_there(pid: int, terminal: int | None) -> bool:
    """Whether the app outstays its end; it is killed then. What it draws is read meanwhile."""
    end = time.monotonic() + GONE_WITHIN_S * 3
    asked = time.monotonic()
    while time.monotonic() < end:
        if os.waitpid(pid, os.WNOHANG)[0]:
            return time.monotonic() - asked > GONE_WITHIN_S * 1.5
        with contextlib.suppress(OSError):
            if terminal is not None and select.select([terminal], [], [], 0.02)[0]:
                os.read(terminal, 65536)
        time.sleep(0.01)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return True


def wrong_after(ledger: Ledger) -> list[str]:
    """What the next start finds that should not be so."""
    wrong: list[str] = []
    with open_logbook(ledger.logbook) as book:
        wrong += book.ask(integrity.problems_in)
        wrong += _not_there(book, ledger)
    for file in (ledger.folder / "shared").glob("*.platebook"):
        with bundle_file(file) as stream:
            read_bundle(stream)
    for copy in map(Path, ledger.copies):
        prove(copy)
    hidden = [str(file) for file in ledger.folder.rglob(".*.new") if ".csv" not in file.name]
    wrong += [f"left behind: {file}" for file in hidden if "/shared/" not in file]
    for name in ledger.erased:
        wrong += [
            f"{name} still stands in {file}"
            for file in (ledger.folder / "book").rglob("*")
            if file.is_file() and name.encode() in file.read_bytes()
        ]
    return wrong


def _not_there(book: Logbook, ledger: Ledger) -> list[str]:
    def ask(query: str, *values: object) -> list[tuple[str, str]]:
        return book.ask(lambda db: db.execute(query, list(values)).fetchall())

    saved = ask(
        "SELECT record_id, coalesce(json_extract(record, '$.note'), '') FROM revision"
        " WHERE kind = 'attempt'"
    )
    ids, notes = {record_id for record_id, _ in saved}, set(saved)
    wrong = [f"acknowledged and lost: {one}" for one in ledger.ids - ids]
    wrong += [f"corrected and lost: {one}" for one in ledger.notes - notes]
    for mark in ledger.begun:
        rows = len({record_id for record_id, note in saved if note == mark})
        if rows not in ({ROWS} if mark in ledger.imports else {0, ROWS}):
            wrong.append(f"{mark}: {rows} of {ROWS} rows came in")
    return wrong


def torture(folder: Path, seconds: float, seed: int, *, app_each: int = 12) -> Outcome:
    """Cycles for so long, every so many of them over the app."""
    outcome = Outcome("kills")
    end, cycle = time.monotonic() + seconds, 0
    import_all(folder / "first")
    ledger = new_ledger(folder / "kills-0")
    acknowledged = 0
    while time.monotonic() < end:
        if cycle and cycle % CYCLES_A_FOLDER == 0:
            acknowledged += len(ledger.ids) + len(ledger.notes) + ROWS * len(ledger.imports)
            ledger = new_ledger(folder / f"kills-{cycle}")
        cycle += 1
        over_the_app = cycle % app_each == 0
        kill = kill_app if over_the_app else kill_commands
        outcome.count("of the app" if over_the_app else "of commands")
        outcome.found.extend(f"cycle {cycle}, seed {seed}: {w}" for w in kill(ledger, seed + cycle))
    acknowledged += len(ledger.ids) + len(ledger.notes) + ROWS * len(ledger.imports)
    outcome.counts["changes acknowledged and found again"] = acknowledged
    return outcome
