"""Every door through which something comes in, given what nobody would type.

What is right is bent at random (`bending`). Whatever it is, a command answers: no traceback, no
five seconds of work, no 300 MB. What is found is written to `found/`, a file by door, and stays
there as a test.
"""

import contextlib
import functools
import gzip
import json
import random
import resource
import shutil
import sys
import time
import traceback
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.torture.bending import Bender, bent, bent_json, bent_words
from tests.torture.bending_inside import (
    bent_bundle,
    bent_course,
    bent_logbook,
    bent_sheet,
    bent_start,
    bent_workbook,
)
from tests.torture.outcome import Outcome, what_of
from tests.torture.typing_in import (
    BRAM,
    DATA,
    TYPED,
    Bench,
    WrongAnswerError,
    beside,
    new_bench,
    opens,
    shares,
    takes_in,
    types_by_name,
    types_file,
    types_line,
    types_words,
)

from platebook.logbook.file.place import answers_folder, keys_folder

FOUND = Path(__file__).with_name("found")
NOT_AGAIN = Path(__file__).with_name("not-again")
"""What was wrong once and not when it was tried alone: to be looked at, no test."""

CURRICULA = Path(__file__).parents[2] / "curricula"
HANG_S = 5.0
GROWTH_MB = 300
LARGEST_UNPACKED = 20_000
ROWS = 60
"""How many rows of a sheet a try begins with: what comes of a row comes of few, and quickly."""

NAMES = (
    *("sheet", "tabs", "workbook", "bundle", "school", "folder", "course", "course-in-use"),
    "record",
    *("start", "answers", "names", "names-book", "study", "backup", "logbook", "checked", "asked"),
    *("shared", "option", "zone", "name", "filter", "typed", "paper-code", "kept", "private-key"),
)


@dataclass(frozen=True)
class Door:
    """One way in: what is handed over when all is well, and what is done with it at a bench.

    `tries` raises for what is wrong with the answer; `bend` makes of what is right what is not.
    """

    name: str
    suffix: str
    right: tuple[bytes, ...]
    tries: Callable[[Bench, bytes], None]
    bend: Bender = bent


def doors(folder: Path) -> Mapping[str, Door]:
    """All doors of commands, with what is right for each, made at the bench in `folder`/like."""
    first = new_bench(folder / "like")
    for name in ("a.csv", "a.xlsx"):
        first.types("export", str(folder / name))
    other = new_bench(folder / "other", name=BRAM)
    other.types("export", str(folder / "a.platebook"))
    first.types("class", "start", str(folder / "starts"), "--group", "Thursday")
    starts = tuple(file.read_bytes() for file in (folder / "starts").glob("*.start.json"))
    kept = tuple(file.read_bytes() for file in answers_folder(first.logbook).glob("*.json"))
    keys = tuple(file.read_bytes() for file in keys_folder(first.logbook).glob("*"))
    sheets = tuple(map(_first_rows, (folder / "a.csv", *sorted(DATA.glob("*.csv")))))
    books = tuple(file.read_bytes() for file in (folder / "a.xlsx", *sorted(DATA.glob("*.xlsx"))))
    courses = tuple(map(_of_ones_own, sorted(CURRICULA.glob("*.toml"))))
    bundle, logbook = ((folder / "a.platebook").read_bytes(),), (first.logbook.read_bytes(),)
    paper = json.loads(first.types("key", "paper", "--json"))["code"].encode()
    tabs = tuple(sheet.replace(b";", b"\t").replace(b",", b"\t") for sheet in sheets)
    record = json.dumps([{"result": "good", "note": "n", "stone_diameter_mm": 2.0}] * 2).encode()
    answers = b'dates = "dmy"\n[columns]\nNotes = "note"\n[values."Fit"]\n"4" = "keep"\n'
    study = "part,person,reading\n" + "".join(
        f"{part},{who},{2 + part / 100 + turn / 500}\n"
        for part in range(3)
        for who in ("Ada", "Bo")
        for turn in range(2)
    )

    def of_file(name: str, suffix: str, right: tuple[bytes, ...], *command: str) -> Door:
        return Door(
            name, suffix, right, functools.partial(types_file, suffix=suffix, command=command)
        )

    def of_words(name: str, right: tuple[bytes, ...], *command: str) -> Door:
        return Door(name, ".txt", right, functools.partial(types_words, command=command))

    bench_book = str(DATA / "bench-book.csv")
    made = (
        of_file("sheet", ".csv", sheets, "import", "{file}", "--dry-run"),
        of_file("tabs", ".tsv", tabs, "import", "{file}", "--dry-run"),
        of_file("workbook", ".xlsx", books, "import", "{file}", "--dry-run"),
        of_file("bundle", ".platebook", bundle, "import", "{file}"),
        Door("school", ".platebook", bundle, takes_in),
        Door("folder", ".platebook", bundle, shares),
        of_file("course", ".toml", courses, "course", "check", "{file}"),
        of_file("course-in-use", ".toml", courses, "course", "use", "{file}", "--yes"),
        of_file("record", ".json", (record,), "record", "--from", "{file}", "--dry-run"),
        of_file("start", ".start.json", starts, "begin", "{file}"),
        of_file(
            "answers", ".toml", (answers,), "import", bench_book, "--answers", "{file}", "--dry-run"
        ),
        of_file(
            "names", ".txt", (b"Ada Quill\nBram Osk\n",), "class", "new", "New", "--from", "{file}"
        ),
        of_file("names-book", ".xlsx", books, "class", "new", "New", "--from", "{file}"),
        of_file("study", ".csv", (study.encode(),), "drawer", "study", "{file}"),
        of_file("backup", ".sqlite", logbook, "restore", "{file}"),
        Door("logbook", ".sqlite", logbook, functools.partial(opens, command=("log",))),
        Door("checked", ".sqlite", logbook, functools.partial(opens, command=("check",))),
        Door("asked", ".sqlite", logbook, functools.partial(opens, command=("next",))),
        Door("shared", ".sqlite", logbook, functools.partial(opens, command=("share", "."))),
        of_words(
            "option",
            (
                b"fit=3",
                b"note=a",
                b"began=2026-03-02T18:00",
                b"stone_diameter_mm=1,98",
                b"result=x",
            ),
            *("record", "--set", "{words}", "--dry-run"),
        ),
        of_words(
            "zone", (b"Europe/Lisbon",), "import", bench_book, "--dry-run", "--zone", "{words}"
        ),
        of_words("name", (b"Cleo Marsh",), "setter", "add", "{words}"),
        of_words("filter", (b"loose 1.98", b"fit=3"), "log", "--words", "{words}"),
        Door(
            "typed",
            ".txt",
            tuple(f"{name}\n{lines}".encode() for name, (_, lines) in TYPED.items()),
            types_by_name,
            bent_words,
        ),
        Door(
            "paper-code",
            ".txt",
            (paper,),
            functools.partial(types_line, command=("key", "restore")),
        ),
        Door("kept", ".json", kept, functools.partial(beside, folder=answers_folder), bent_json),
        Door(
            "private-key", ".json", keys, functools.partial(beside, folder=keys_folder), bent_json
        ),
    )
    inside: Mapping[str, Bender] = {
        **dict.fromkeys(("bundle", "school", "folder"), bent_bundle),
        **dict.fromkeys(("sheet", "tabs", "study"), bent_sheet),
        **dict.fromkeys(("course", "course-in-use"), bent_course),
        **dict.fromkeys(("workbook", "names-book"), bent_workbook),
        **dict.fromkeys(("logbook", "checked", "asked", "shared", "backup"), bent_logbook),
        "record": bent_json,
        "start": bent_start,
    }
    return {
        door.name: Door(
            door.name, door.suffix, door.right, door.tries, inside.get(door.name, door.bend)
        )
        for door in made
    }


def _first_rows(file: Path) -> bytes:
    return b"".join(file.read_bytes().splitlines(keepends=True)[:ROWS])


def _of_ones_own(course: Path) -> bytes:
    """A shipped course under another id: under its own it is refused."""
    mine = f'id = "my-{course.stem}"'
    return course.read_text("utf-8").replace(f'id = "{course.stem}"', mine, 1).encode()


@dataclass(frozen=True)
class Answer:
    """What came of a try: what is wrong with it, empty where it answers; whether it was let in."""

    wrong: str
    let_in: bool


def answer_to(door: Door, data: bytes, folder: Path, like: Path) -> Answer:
    """How a door takes this at a bench like that."""
    if folder.exists():
        shutil.rmtree(folder)
    shutil.copytree(like, folder)
    bench = Bench(folder)
    before, began = _megabytes(), time.process_time()
    try:
        with contextlib.chdir(folder):
            door.tries(bench, data)
    except WrongAnswerError as wrong:
        return Answer(str(wrong), let_in=False)
    except Exception as error:  # noqa: BLE001 - whatever it is, it is what is looked for
        words = " ".join(str(error).split())[:160]
        return Answer(f"{type(error).__name__} in {_whence(error)}: {words}", let_in=False)
    took, grown = time.process_time() - began, _megabytes() - before
    cost = f"large: {grown} MB more" if grown > GROWTH_MB else ""
    cost = f"slow: {took:.1f} s of work" if took > HANG_S else cost
    return Answer(cost, let_in=set(bench.codes) == {0})


def wrong_with(door: Door, data: bytes, folder: Path, like: Path) -> str:
    """What is wrong with how a door takes this at a bench like that; empty where it answers."""
    return answer_to(door, data, folder, like).wrong


def _whence(error: BaseException) -> str:
    """The last line of the program that it went through."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if "/platebook/" in frame.filename]
    last = (ours or frames)[-1]
    return f"{last.filename.rpartition('/platebook/')[2]}:{last.lineno}"


def _megabytes() -> int:
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used // 1024 if sys.platform != "darwin" else used // 2**20


def keep(door: Door, data: bytes, folder: Path = FOUND) -> Path:
    """Write what was found where the suite takes it up, packed where it is large."""
    folder.mkdir(exist_ok=True)
    packed = len(data) > LARGEST_UNPACKED
    suffix = f"{door.suffix}.gz" if packed else door.suffix
    number = 1
    while (file := folder / f"{door.name}-{number}{suffix}").exists():
        number += 1
    file.write_bytes(gzip.compress(data, mtime=0) if packed else data)
    return file


def found_in(file: Path) -> bytes:
    """What `keep` wrote."""
    data = file.read_bytes()
    return gzip.decompress(data) if file.suffix == ".gz" else data


def torture(folder: Path, seconds: float, seed: int, *, keeping: bool = True) -> Outcome:
    """All doors in turn for so long."""
    outcome = Outcome("doors")
    rng = random.Random(seed)  # noqa: S311 - no secret, a test's seed
    ways = doors(folder)
    end = time.monotonic() + seconds
    told: set[str] = set()
    while time.monotonic() < end:
        for door in ways.values():
            data = door.bend(rng.choice(door.right), rng)
            wrong = wrong_with(door, data, folder / "tried", folder / "like")
            outcome.count(door.name)
            if wrong and (mark := f"{door.name}: {what_of(wrong)}") not in told:
                told.add(mark)
                kept = f", kept as {keep(door, data).name}" if keeping else ""
                outcome.found.append(f"{door.name}: {wrong}{kept}")
    return outcome
