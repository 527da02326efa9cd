"""`make fuzz`: each door for so long, led by what the program does with what it is given.

Where atheris is installed it says which of the bent files took a new way through the program, and
goes on from those; without it, files are bent at random. A door is tried in a process of its own
that may take no more memory than said; what hangs or dies there is found too. What is found is
tried once more alone, shortened, and kept in `found/`.

python -m tests.torture.fuzz --minutes 5 --only sheet --only bundle
"""

import argparse
import contextlib
import importlib
import importlib.util
import json
import os
import pkgutil
import random
import resource
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.torture.outcome import what_of

REPOSITORY = Path(__file__).parents[2]
WAIT_S = 60.0
"""How long one file may take on a machine that has other work too."""

LOOK_S = 0.5
"""How often a try is looked at. Looks are counted and no clock: a machine may stand still."""

MUTATED, ANEW = 0.1, 0.5
"""Led tries that are bent byte by byte, and that begin from what is right: what is bent again and
again is let in nowhere, and most of the program lies behind the door."""

SHORTEN_S = 20.0
HANGS, DIED, LEFT = "it hangs", "the program died", "threads are left"
MOST_THREADS = 200
"""Threads with which a process goes on: each try after those that there may be would fail."""

MOST_MEMORY = 4 * 2**30
NAMES_BEYOND = ("pasted", "served", "settings", "draft", "sight", "far-dav", "far-store", "far-ssh")
"""Doors that are no command, after those of `doors`."""

UNLED = ("pasted",)
"""Where watching the program costs more tries than it saves: an app starts for each."""


def _said(place: Path) -> list[dict[str, str]]:
    with contextlib.suppress(OSError):
        return [json.loads(line) for line in place.read_text(encoding="ascii").splitlines()]
    return []


@contextlib.contextmanager
def _looked_at(*, guided: bool) -> Iterator[None]:
    """All of the program imported; where it leads, so that its ways are seen."""
    if not guided:
        yield
        return
    atheris = importlib.import_module("atheris")
    with atheris.instrument_imports(include=["platebook"]):
        package = importlib.import_module("platebook")
        for module in pkgutil.walk_packages(package.__path__, "platebook."):
            if not module.name.endswith("__main__"):
                importlib.import_module(module.name)
    yield


class Tries:
    """Tries at one door: the file `trying` holds what is tried, `said` what came of it."""

    def __init__(self, name: str, folder: Path, seconds: float) -> None:
        from tests.torture.doors import doors
        from tests.torture.doors_beyond import doors_beyond

        self.folder = folder
        self.door = {**doors(folder / "right"), **doors_beyond()}[name]
        self.end = time.monotonic() + seconds
        self.tried = self.let_in = 0
        self.told: set[str] = set()

    def one(self, data: bytes) -> None:
        """Try this; the process ends once its time is over."""
        from tests.torture.doors import answer_to

        if time.monotonic() > self.end:
            self.say(tried=str(self.tried), let_in=str(self.let_in))
            os._exit(0)
        (self.folder / "trying").write_bytes(data)
        like = self.folder / "right" / "like"
        answer = answer_to(self.door, data, self.folder / "tried", like)
        self.tried += 1
        self.let_in += answer.let_in
        if self.tried % 25 == 0:
            self.say(tried=str(self.tried), let_in=str(self.let_in))
        if answer.wrong and (mark := what_of(answer.wrong)) not in self.told:
            self.told.add(mark)
            self.say(wrong=answer.wrong, data=data.hex())
        if threading.active_count() > MOST_THREADS:
            names = Counter(type(thread).__name__ for thread in threading.enumerate())
            self.say(wrong=f"{LEFT}: {dict(names)}", data=data.hex())
            self.say(tried=str(self.tried), let_in=str(self.let_in))
            os._exit(0)

    def say(self, **words: str) -> None:
        """Tell the parent, in one write."""
        with (self.folder / "said").open("a", encoding="ascii") as said:
            print(json.dumps(words), file=said)

    def at_random(self, rng: random.Random) -> None:
        """Bend what is right until the time is over."""
        while True:
            self.one(self.door.bend(rng.choice(self.door.right), rng))

    def guided(self, seed: int, corpus: Path) -> None:
        """Bend what took a new way through the program, until the time is over.

        What took one is written to the corpus, and tried again at the next begin.
        """
        from tests.torture.bending import NOT_TO_BE_OPENED, bent

        atheris = importlib.import_module("atheris")

        def change(data: bytes, largest: int, seed: int) -> bytes:
            drawn = random.Random(seed)  # noqa: S311 - no secret, a fuzzer's seed
            if drawn.random() < MUTATED:
                return bytes(atheris.Mutate(data, largest))
            if not data or drawn.random() < ANEW:
                data = drawn.choice(self.door.right)
            try:
                return self.door.bend(data, drawn)[:largest]
            except NOT_TO_BE_OPENED:
                # What is raised in here ends no process: the library goes on with nothing.
                return bent(data, drawn)[:largest]

        corpus.mkdir(parents=True, exist_ok=True)
        for number, right in enumerate(self.door.right):
            (corpus / f"right-{number}").write_bytes(right)
        largest = max(len(right) for right in self.door.right) * 2 + 20_000
        options = [
            f"-max_len={largest}",
            f"-seed={seed % 2**31}",
            "-timeout=100000",
            "-rss_limit_mb=0",
        ]
        quiet = ["-verbosity=0", "-print_final_stats=0", "-len_control=0"]
        words = [sys.argv[0], *options, *quiet, str(corpus)]
        atheris.Setup(words, self.one, custom_mutator=change)
        atheris.Fuzz()


def child(name: str, folder: Path, seconds: float, seed: int, *, corpus: Path | None) -> None:
    """Try one door for so long, in this process; led where there is a corpus."""
    with _looked_at(guided=corpus is not None):
        tries = Tries(name, folder, seconds)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    if (only := folder / "only").exists():
        tries.end = time.monotonic() + WAIT_S
        tries.one(only.read_bytes())
        return
    for right in tries.door.right:
        tries.one(right)
    if corpus is not None:
        tries.guided(seed, corpus)
    tries.at_random(random.Random(seed))  # noqa: S311 - no secret, a fuzzer's seed


@dataclass(frozen=True)
class Found:
    """What is wrong, and with what: a sentence, and the file's bytes."""

    wrong: str
    data: bytes


@dataclass(frozen=True)
class Fuzzed:
    """How much was tried at a door, how much of it was let in, and how much is wrong."""

    tried: int
    let_in: int
    wrong: int


def fuzz(name: str, folder: Path, seconds: float, seed: int, *, corpus: Path | None) -> Fuzzed:
    """One door for so long, again where it died of something; led where there is a corpus."""
    end, tried, let_in, rounds = time.monotonic() + seconds, 0, 0, 0
    found: dict[str, Found] = {}
    while (left := end - time.monotonic()) > 1:
        rounds += 1
        place = folder / f"round-{rounds}"
        place.mkdir(parents=True)
        words = ["--child", name, str(place), f"{left:.0f}", str(seed + rounds)]
        ended = _watched([*words, "--corpus", str(corpus)] if corpus else words, place)
        lines = _said(place / "said")
        tried += max((int(line["tried"]) for line in lines if "tried" in line), default=0)
        let_in += max((int(line["let_in"]) for line in lines if "let_in" in line), default=0)
        news = [
            Found(line["wrong"], bytes.fromhex(line["data"])) for line in lines if "wrong" in line
        ]
        if ended:
            trying = place / "trying"
            news.append(Found(ended, trying.read_bytes() if trying.exists() else b""))
        found.update({what_of(one.wrong): one for one in news})
    return Fuzzed(tried, let_in, _kept(name, folder / "again", list(found.values())))


def _watched(words: list[str], folder: Path) -> str:
    """Run a child until it ends; what it died of, or empty. What hangs over one file is ended."""
    command = [sys.executable, "-m", "tests.torture.fuzz", *words]
    with (folder / "output").open("wb") as output:
        running = subprocess.Popen(
            command, cwd=folder, stdout=output, stderr=output, stdin=subprocess.DEVNULL
        )
        looks, seen = 0, 0.0
        while running.poll() is None:
            time.sleep(LOOK_S)
            with contextlib.suppress(OSError):
                begun = (folder / "trying").stat().st_mtime
                looks, seen = (looks + 1, seen) if begun == seen else (0, begun)
            if looks * LOOK_S > WAIT_S:
                running.kill()
                running.wait()
                return f"{HANGS}: more than {WAIT_S:.0f} s"
    if running.returncode == 0:
        return ""
    last = (folder / "output").read_text("utf-8", "replace").splitlines()[-1:]
    return f"{DIED}: ({running.returncode}): {' '.join(last)[:120]}"


def _alone(name: str, folder: Path, one: Found) -> str:
    """What is wrong with it in a process that does nothing else, unled; empty where it answers."""
    folder.mkdir()
    (folder / "only").write_bytes(one.data)
    ended = _watched(["--child", name, str(folder), "0", "0"], folder)
    return ended or next((line["wrong"] for line in _said(folder / "said") if "wrong" in line), "")


def _as_wrong(wrong_now: Callable[[bytes], str], wrong: str) -> Callable[[bytes], bool]:
    """Whether the same is wrong with a piece, asked for so long."""
    end = time.monotonic() + SHORTEN_S
    return lambda piece: time.monotonic() < end and what_of(wrong_now(piece)) == what_of(wrong)


def _kept(name: str, folder: Path, found: list[Found]) -> int:
    """Try each alone; where it is wrong still, keep a short form of it; how many are wrong."""
    from tests.torture.bending import shorter
    from tests.torture.doors import NOT_AGAIN, doors, keep, wrong_with
    from tests.torture.doors_beyond import doors_beyond

    if not found:
        return 0
    folder.mkdir()
    door = {**doors(folder / "right"), **doors_beyond()}[name]

    def wrong_now(data: bytes) -> str:
        return wrong_with(door, data, folder / "tried", folder / "right" / "like")

    kept = 0
    for number, one in enumerate(found):
        alone = one.wrong.startswith((HANGS, DIED))
        again = _alone(name, folder / f"{number}", one) if alone else wrong_now(one.data)
        if not again:
            file = keep(door, one.data, NOT_AGAIN)
            print(f"  not again: {name}: {one.wrong}; lies as {file}", flush=True)  # noqa: T201 - as above
            continue
        kept += 1
        short = one.data if alone else shorter(one.data, _as_wrong(wrong_now, again))
        file = keep(door, short)
        print(f"  FOUND {name}: {again}; kept as {file.name}", flush=True)  # noqa: T201 - as above
    return kept


def _in_memory() -> Path | None:
    """A folder that is no disk, where there is one: half of a try is waiting for the disk."""
    memory = Path("/dev/shm")  # noqa: S108 - a folder with a name that nobody guesses is made in it
    return memory if os.access(memory, os.W_OK) else None


def main() -> int:
    """Fuzz what is asked for, one door after the other; 1 where anything was found."""
    parser = argparse.ArgumentParser(prog="make fuzz", description=__doc__)
    parser.add_argument("--minutes", type=float, default=30.0, help="For each door.")
    parser.add_argument("--seed", type=int, default=int(time.time()))
    parser.add_argument("--only", action="append")
    parser.add_argument("--unguided", action="store_true")
    parser.add_argument("--corpora", type=Path, help="A folder in which each door's is kept.")
    parser.add_argument("--corpus", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--child", nargs=4, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.child:
        name, folder, seconds, seed = asked.child
        child(name, Path(folder), float(seconds), int(seed), corpus=asked.corpus)
        return 0
    guided = importlib.util.find_spec("atheris") is not None and not asked.unguided
    os.environ["PYTHONPATH"] = os.pathsep.join((str(REPOSITORY), os.environ.get("PYTHONPATH", "")))
    from tests.torture.doors import NAMES

    found = 0
    for name in asked.only or (*NAMES, *NAMES_BEYOND):
        with tempfile.TemporaryDirectory(prefix="fuzz-", dir=_in_memory()) as place:
            os.environ["HOME"] = os.environ["TMPDIR"] = place
            door = Path(place) / "door"
            led = guided and name not in UNLED
            corpus = (asked.corpora or Path(place) / "corpora").absolute() / name if led else None
            done = fuzz(name, door, asked.minutes * 60, asked.seed, corpus=corpus)
        how = "led by what the program does (atheris)" if led else "bent at random"
        counts = f"{done.tried} tried, {done.let_in} let in, {done.wrong} found"
        print(f"{name}: {counts}; {asked.minutes:g} minutes, {how}", flush=True)  # noqa: T201 - a program of its own
        found += done.wrong
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
