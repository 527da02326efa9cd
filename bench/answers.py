"""Every answer of one checkout, a file each: `python -m bench.answers CHECKOUT FOLDER`.

A checkout is asked about a fresh invented class: every command that reads, as text and as JSON,
the pages and tables it writes, and every screen at two sizes in a pseudo-terminal. Of two checkouts
asked on the same day, `diff -r FOLDER OTHER` then shows what a change did to what people see.
"""

import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pyte

from bench.terminal import Typed, typed

SIZES = ((80, 24), (120, 40))
QUIET_S = 1.5
"""A screen that has not changed for so long stands."""

SCREENS = {
    "now": "",
    "now steps": "s",
    "attempt": "\r",
    "attempt result": "\r3214",
    "attempt digit": "32",
    "plate": "w332",
    "plate results": "w3333322222111110",
    "log": "l",
    "findings": "f",
    "findings second": "f\x1b[B",
    "progress": "p",
    "progress easier": "p\x1b[B\x1b[B",
    "course": "c\x1b[B\x1b[B",
    "drawer": "t\x1b[B",
    "class": "k",
    "class queue": "ki",
    "class shared": "ka",
    "people": "b",
    "second look": "j",
    "help": "?",
}

SIZED = (
    ("1.98", "--depth", "1.20", "--sheet", "20ga"),
    ("2.25", "--method", "push in"),
    ("1.5", "--sheet", "1.0", "--layers", "2", "--material", "garnet", "--metal", "copper"),
    ("3.0", "--sheet", "1.7", "--metal", "sterling", "--method", "drop in"),
    ("1.95-2.01",),
    ("6.5",),
    ("abc",),
)


def commands(book: str, people: list[str], shown: list[str], page: str) -> list[tuple[str, ...]]:
    """Every question that is asked on the command line, of the class and of each of its people."""
    reads: list[tuple[str, ...]] = [
        ("log",),
        ("setter", "list"),
        ("setter", "rules"),
        ("drawer", "list"),
        ("course", "list"),
        ("course", "show"),
        ("plate", "list"),
        ("check",),
        ("class", "roster"),
        ("class", "progress"),
        ("class", "inspect"),
        ("class", "findings"),
        ("look-again",),
        *(("show", attempt) for attempt in shown),
        *(("sizes", *stone) for stone in SIZED),
        *(
            (verb, "--setter", person)
            for person in people
            for verb in ("findings", "progress", "next")
        ),
    ]
    writes = [
        ("export", f"{page}.csv"),
        ("report", f"{page}.html"),
        ("report", "--class", f"{page}-class.html"),
    ]
    with_json = [(*words, "--json") for words in reads]
    return [("--logbook", book, *words) for words in (*reads, *with_json, *writes)]


class Checkout:
    """One checkout, its invented class in a folder of its own, and its answers to everything."""

    def __init__(self, root: Path, folder: Path) -> None:
        self._folder = folder
        self._environment = {
            **os.environ,
            "PYTHONPATH": str(root / "src"),
            "HOME": str(folder),
            "XDG_DATA_HOME": str(folder / "data"),
            "XDG_CACHE_HOME": str(folder / "cache"),
            "OPENBLAS_NUM_THREADS": "1",
            "TZ": "UTC",
        }

    def answers(self) -> dict[str, str]:
        """What was asked, and the whole answer: exit code, both streams, and the files written."""
        self._ask(("demo", "--keep", str(self._folder)))
        (book,) = self._folder.glob("*.sqlite")
        people = re.findall(
            r'"name": "([^"]+)"', self._ask(("--logbook", str(book), "setter", "list", "--json"))
        )
        attempts = re.findall(
            r'"attempt_id": "([^"]+)"', self._ask(("--logbook", str(book), "log", "--json"))
        )
        page = str(self._folder / "page")
        asked = commands(str(book), people, attempts[::97], page)
        answers = {" ".join(words[2:]).replace(page, "PAGE"): self._ask(words) for words in asked}
        for file in sorted(self._folder.glob("page*")):
            answers[f"file {file.name}"] = self._bare(file.read_text(encoding="utf-8"))
        for size in SIZES:
            for name, keys in SCREENS.items():
                answers[f"screen {name} {size[0]}x{size[1]}"] = self._screen(book, keys, size)
        return answers

    def _ask(self, words: tuple[str, ...]) -> str:
        done = subprocess.run(  # noqa: S603 - our own program
            [sys.executable, "-m", "platebook", *words],
            env=self._environment,
            capture_output=True,
            text=True,
            check=False,
            stdin=subprocess.DEVNULL,
        )
        return self._bare(f"{done.stdout}\n-- stderr\n{done.stderr}\n-- exit {done.returncode}\n")

    def _screen(self, book: Path, keys: str, size: tuple[int, int]) -> str:
        environment = {**self._environment, "COLUMNS": str(size[0]), "LINES": str(size[1])}
        screen = pyte.Screen(*size)
        stream = pyte.ByteStream(screen)
        with typed(("-m", "platebook", "--logbook", str(book)), environment, size=size) as program:
            _settle(program, stream)
            for key in re.findall(r"\x1b\[.|.|\r", keys):
                program.press(key.encode())
                _settle(program, stream, quiet=0.4)
            _settle(program, stream)
            return self._bare("\n".join(row.rstrip() for row in screen.display))

    def _bare(self, text: str) -> str:
        """The text without the folder it was made in, the hour, and the tools' random ids."""
        text = text.replace(str(self._folder), "HERE")
        text = re.sub(r"\d\d:\d\d:\d\d(\.\d+)?", "HH:MM:SS", text)
        return re.sub(r'"tool_id": "[-0-9a-f]+"', '"tool_id": "..."', text)


def _settle(program: Typed, stream: pyte.ByteStream, quiet: float = QUIET_S) -> None:
    """Read what the program draws until it has drawn nothing for a while."""
    until = time.monotonic() + quiet
    while time.monotonic() < until:
        drawn = program.read(0.05)
        if drawn:
            stream.feed(drawn)
            until = time.monotonic() + quiet


def main(arguments: list[str]) -> int:
    """Ask the checkout, and keep each answer as a file of its own."""
    root, kept = (Path(argument).resolve() for argument in arguments)
    kept.mkdir(parents=True)
    with tempfile.TemporaryDirectory() as place:
        answers = Checkout(root, Path(place)).answers()
    for name, answer in answers.items():
        (kept / f"{re.sub(r'[^-.a-zA-Z0-9]+', '-', name)}.txt").write_text(answer, encoding="utf-8")
    size = sum(len(answer) for answer in answers.values())
    sys.stdout.write(f"{len(answers)} answers, {size} characters\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
