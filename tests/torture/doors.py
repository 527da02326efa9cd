"""Every door through which something comes in, given what nobody would type.

A file that is right is bent at random: bits, pieces, numbers of a thousand digits, nests a hundred
deep, control characters. Whatever it is, a command answers: no traceback, no five seconds, no 300
MB. What is found is written to `found/`, a file by door, and stays there as a test.
"""

import dataclasses
import json
import random
import resource
import shutil
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from click.testing import CliRunner
from tests.torture.kills import ADA
from tests.torture.outcome import Outcome

from platebook.cli.main import main

FOUND = Path(__file__).with_name("found")
DATA = Path(__file__).parents[1] / "data"
CURRICULA = Path(__file__).parents[2] / "curricula"
HANG_S = 5.0
NAMES = (
    *("sheet", "workbook", "bundle", "course", "course-in-use", "record", "start", "answers"),
    *("names", "backup", "logbook", "checked", "option", "zone", "name", "filter"),
)
GROWTH_MB = 300

_ODD = (
    b"9" * 5000,
    b"[" * 900,
    b'{"a":' * 500,
    b"(" * 900,
    b"\x00",
    b"\x1b]0;x\x07",
    b"\xff\xfe",
    b"\xed\xa0\x80",
    b"1e999",
    b"-0",
    b"NaN",
    b"../../../x",
    b'"""',
    b"=1+1",
    b"\xe2\x80\xae",
    b"\r",
    b",,,,,,,,",
    b"2026-13-45T99:99",
)


def bent(data: bytes, rng: random.Random) -> bytes:
    """The bytes with a few things done to them that were not meant."""
    out = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 4, 16))):
        at = rng.randrange(len(out) + 1)
        end = min(len(out), at + rng.choice((1, 2, 8, 64, 1024)))
        match rng.randrange(7):
            case 0:
                if at < len(out):
                    out[at] ^= 1 << rng.randrange(8)
            case 1:
                del out[at:end]
            case 2:
                out[at:at] = out[at:end] * rng.choice((1, 2, 50))
            case 3:
                out[at:end] = rng.choice(_ODD)
            case 4:
                out[at:at] = rng.choice(_ODD)
            case 5:
                out[at:end] = rng.randbytes(end - at)
            case 6:
                del out[at:]
    return bytes(out)


@dataclasses.dataclass(frozen=True)
class Door:
    """One way in: what is handed over when all is well, and the command that takes it."""

    name: str
    suffix: str
    right: tuple[bytes, ...]
    command: tuple[str, ...]
    after: str = ""
    """Whether the file takes the logbook's place ("logbook") or stands in the command's words."""


def doors(folder: Path) -> Mapping[str, Door]:
    """All doors, with files that are right, made in a logbook of their own."""
    first = _Bench(folder / "first")
    first.types("record", "--from", "-", stdin=json.dumps([{"result": "good"}] * 3))
    first.types("export", str(folder / "a.platebook"))
    first.types("export", str(folder / "a.csv"))
    first.types("export", str(folder / "a.xlsx"))
    first.types("class", "new", "Thursday")
    first.types("class", "add", "Thursday", ADA)
    first.types("class", "start", str(folder / "starts"), "--group", "Thursday")
    sheets = tuple(file.read_bytes() for file in (*DATA.glob("*.csv"), folder / "a.csv"))
    books = tuple(file.read_bytes() for file in (*DATA.glob("*.xlsx"), folder / "a.xlsx"))
    courses = tuple(file.read_bytes() for file in sorted(CURRICULA.glob("*.toml")))
    starts = tuple(file.read_bytes() for file in (folder / "starts").glob("*.start.json"))
    record = json.dumps([{"result": "good", "note": "n", "stone_diameter_mm": 2.0}]).encode()
    answers = b'[columns]\nNotiz = "note"\n[values]\n"zu locker" = "loose"\n'
    words = (b"fit=3", b"note=a", b"began=2026-03-02T18:00", b"stone_diameter_mm=1,98", b"result=x")
    made = (
        Door("sheet", ".csv", sheets, ("import", "{file}", "--dry-run")),
        Door("workbook", ".xlsx", books, ("import", "{file}", "--dry-run")),
        Door(
            "bundle", ".platebook", ((folder / "a.platebook").read_bytes(),), ("import", "{file}")
        ),
        Door("course", ".toml", courses, ("course", "check", "{file}")),
        Door("course-in-use", ".toml", courses, ("course", "use", "{file}")),
        Door("record", ".json", (record,), ("record", "--from", "{file}", "--dry-run")),
        Door("start", ".start.json", starts, ("begin", "{file}")),
        Door(
            "answers",
            ".toml",
            (answers,),
            ("import", str(DATA / "bench-book.csv"), "--answers", "{file}", "--dry-run"),
        ),
        Door(
            "names",
            ".txt",
            (b"Ada Quill\nBram Osk\n",),
            ("class", "new", "Thursday", "--from", "{file}"),
        ),
        Door("backup", ".sqlite", (first.logbook.read_bytes(),), ("restore", "{file}")),
        Door("logbook", ".sqlite", (first.logbook.read_bytes(),), ("log",), after="logbook"),
        Door("checked", ".sqlite", (first.logbook.read_bytes(),), ("check",), after="logbook"),
        Door("option", ".txt", words, ("record", "--set", "{words}", "--dry-run"), after="words"),
        Door(
            "zone",
            ".txt",
            (b"Europe/Lisbon",),
            ("import", str(DATA / "bench-book.csv"), "--dry-run", "--zone", "{words}"),
            after="words",
        ),
        Door("name", ".txt", (b"Ada Quill",), ("setter", "add", "{words}"), after="words"),
        Door(
            "filter",
            ".txt",
            (b"loose 1.98", b"fit=3"),
            ("log", "--words", "{words}"),
            after="words",
        ),
    )
    return {door.name: door for door in made}


class _Bench:
    """A logbook in a folder, and a shell that types into it."""

    def __init__(self, folder: Path, like: Path | None = None) -> None:
        folder.mkdir(parents=True)
        self.logbook = folder / "logbook.sqlite"
        if like is not None:
            shutil.copyfile(like, self.logbook)
            return
        self.types("setter", "add", ADA, "--course", "small-to-large")

    def types(self, *words: str, stdin: str | None = None) -> object:
        """The command's result; whatever it raised besides ending stands in it."""
        command = ["--logbook", str(self.logbook), *words]
        return CliRunner().invoke(main, command, input=stdin)


def wrong_with(door: Door, data: bytes, folder: Path, like: Path | None = None) -> str:
    """What is wrong with how a door takes this in a fresh logbook; empty where it answers.

    The logbook is a copy of the file `like`, which saves making one.
    """
    if folder.exists():
        shutil.rmtree(folder)
    bench = _Bench(folder, like)
    file = folder / f"given{door.suffix}"
    words = data.decode("utf-8", errors="surrogateescape").replace("\0", "?")[:100_000]
    if door.after == "logbook":
        bench.logbook.write_bytes(data)
    elif door.after != "words":
        file.write_bytes(data)
    command = [
        word.format(file=file, words=words) if "{" in word else word for word in door.command
    ]
    before, began = _megabytes(), time.process_time()
    done = CliRunner().invoke(main, ["--logbook", str(bench.logbook), *command])
    took, grown = time.process_time() - began, _megabytes() - before
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        return f"a traceback: {type(done.exception).__name__}: {str(done.exception)[:200]}"
    if "Traceback" in done.output or any(
        mark in done.output for mark in ("\x1b", "\x07", "\u202e")
    ):
        return "something in the answer that a terminal obeys, or a traceback"
    if took > HANG_S:
        return f"{took:.1f} s of work"
    return f"{grown} MB more" if grown > GROWTH_MB else ""


def _megabytes() -> int:
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used // 1024 if sys.platform != "darwin" else used // 2**20


def keep(door: Door, data: bytes) -> Path:
    """Write what was found where the suite takes it up."""
    FOUND.mkdir(exist_ok=True)
    number = 1
    while (file := FOUND / f"{door.name}-{number}{door.suffix}").exists():
        number += 1
    file.write_bytes(data)
    return file


def shorter(data: bytes, still: Callable[[bytes], bool]) -> bytes:
    """A short piece of the data with which it is still so, by leaving out ever smaller pieces."""
    size = len(data) // 2
    while size:
        at = 0
        while at < len(data):
            piece = data[:at] + data[at + size :]
            if piece and still(piece):
                data = piece
            else:
                at += size
        size //= 2 if len(data) < 4096 else 4
    return data


def torture(folder: Path, seconds: float, seed: int, *, keeping: bool = True) -> Outcome:
    """All doors in turn for so long."""
    outcome = Outcome("doors")
    rng = random.Random(seed)  # noqa: S311 - no secret, a test's seed
    ways = doors(folder / "right")
    _Bench(folder / "empty")
    like = folder / "empty" / "logbook.sqlite"
    end = time.monotonic() + seconds
    told: set[str] = set()
    while time.monotonic() < end:
        for door in ways.values():
            data = bent(rng.choice(door.right), rng)
            wrong = wrong_with(door, data, folder / "tried", like)
            outcome.count(door.name)
            if wrong and (mark := f"{door.name}: {wrong[:60]}") not in told:
                told.add(mark)
                kept = f", kept as {keep(door, data).name}" if keeping else ""
                outcome.found.append(f"{door.name}: {wrong}{kept}")
    return outcome
