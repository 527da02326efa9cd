# ruff: noqa: T201 - a script that prints
"""What grows with the logbook: eight acts by command at a thousand to a million attempts.

Run: python -m bench.scale [largest] [FOLDER] (default 1000000; the logbooks in FOLDER are used).

Seconds of the processor that a command takes from its start to its end, all its threads and
processes together, once each. The setter in use has a tenth of the attempts, at least 200; the
others have 200 each. No answer is kept from before. What took over a minute is not asked of ten
times as many. Prints a table and the ratio of each figure to
that of a thousand attempts, and draws FOLDER/scale.svg.
"""

import math
import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path

from bench.logbooks import EACH, school
from platebook.reports.drawings.svg import INK, MEDIUM, MUTED, circle, line, page, write, written

LARGEST = 1_000_000
LONG_S = 60.0
ATTEMPT = ("--grade", "copper-2.0", "--diameter", "1.98", "--fit", "3", "--result", "good")
ACTS: Mapping[str, tuple[str, ...]] = {
    "nothing but the start": ("where",),
    "log": ("log", "--last", "20"),
    "log, a word that is nowhere": ("log", "--words", "nowhere-at-all"),
    "next": ("next",),
    "findings": ("findings",),
    "progress": ("progress",),
    "export": ("export", "{folder}/out.csv"),
    "backup": ("backup", "{folder}/copy.sqlite"),
    "save": ("record", *ATTEMPT),
    "share": ("share", "{folder}/shared"),
}


def spent(book: Path, act: Sequence[str]) -> float:
    """Processor seconds of one command with nothing kept from before; RuntimeError if it fails."""
    shutil.rmtree(f"{book}-answers", ignore_errors=True)
    with tempfile.TemporaryDirectory(prefix="platebook-scale-", dir=book.parent) as folder:
        (Path(folder) / "shared").mkdir()
        words = [word.format(folder=folder) for word in act]
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run(  # noqa: S603 - our own program
            [sys.executable, "-m", "platebook", *words],
            env={**os.environ, "PLATEBOOK_LOGBOOK": str(book), "HOME": str(book.parent)},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
        )
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode:
        raise RuntimeError(f"{' '.join(words)}: {done.stdout}{done.stderr}")
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def all_spent(book: Path, before: Mapping[str, float]) -> dict[str, float]:
    """Of each act in turn that did not take too long with a tenth of the attempts."""
    seconds = {}
    for name, act in ACTS.items():
        if before.get(name, 0.0) <= LONG_S:
            if name == "save":
                # The first save of a day also makes the day's copy, which `backup` measures.
                spent(book, act)
            seconds[name] = spent(book, act)
            print(f"  {book.stem} {name}: {seconds[name]:.2f} s", flush=True)
    return seconds


def table(seconds: Mapping[int, Mapping[str, float]]) -> str:
    """The figures as a table of a page, each with its ratio to the smallest logbook's."""
    least = seconds[min(seconds)]
    rows = [f"| act | {' | '.join(f'{size:,}' for size in seconds)} |", "|---" * (len(seconds) + 1)]
    rows[1] += "|"
    for act in ACTS:
        cells = (
            f"{of[act]:.1f} s ({of[act] / least[act]:.1f})" if act in of else "not asked"
            for of in seconds.values()
        )
        rows.append(f"| {act} | {' | '.join(cells)} |")
    return "\n".join(rows)


LEFT, TOP, WIDE, HIGH, DECADE_S = 18.0, 8.0, 100.0, 80.0, (0.1, 1000.0)


def plot(seconds: Mapping[int, Mapping[str, float]]) -> str:
    """The figures as an SVG drawing, both axes by powers of ten."""
    root = page(
        LEFT + WIDE + 50,
        TOP + HIGH + 18,
        title="Processor seconds by attempts in the logbook",
        description="A line for each act, axes by powers of ten; the figures stand in the table.",
    )
    sizes = sorted(seconds)
    decades = max(1.0, math.log10(sizes[-1] / sizes[0]))

    def at(size: int, taken: float) -> tuple[float, float]:
        low, high = map(math.log10, DECADE_S)
        up = (math.log10(max(taken, DECADE_S[0])) - low) / (high - low)
        return LEFT + WIDE * math.log10(size / sizes[0]) / decades, TOP + HIGH * (1 - up)

    for power in range(-1, 4):
        _, y = at(sizes[0], 10.0**power)
        line(root, (LEFT, y), (LEFT + WIDE, y), colour=MUTED, dashes="0.5 1")
        write(root, (LEFT - 2, y + 1), f"{10.0**power:g} s", anchor="end")
    for size in sizes:
        x, _ = at(size, DECADE_S[0])
        write(root, (x, TOP + HIGH + 6), f"{size:,}", anchor="middle")
    write(root, (LEFT + WIDE / 2, TOP + HIGH + 13), "attempts in the logbook", anchor="middle")
    below = math.inf
    lines = {act: [at(n, seconds[n][act]) for n in sizes if act in seconds[n]] for act in ACTS}
    for number, (act, points) in enumerate(sorted(lines.items(), key=lambda of: -of[1][-1][1])):
        dashes = ("", "2 1", "0.6 0.8")[number % 3]
        for start, end in pairwise(points):
            line(root, start, end, width=MEDIUM, colour=INK, dashes=dashes)
        for point in points:
            circle(root, point, 0.7, width=MEDIUM)
        below = min(points[-1][1] + 1, below - 3.8)
        write(root, (LEFT + WIDE + 3, below), act)
    return written(root)


def main(arguments: list[str]) -> int:
    """Make or take the logbooks, measure, print and draw."""
    largest = int(arguments[0]) if arguments else LARGEST
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sizes = [size for power in range(3, 7) if (size := 10**power) <= largest] or [largest]
    with tempfile.TemporaryDirectory(prefix="platebook-bench-") as made:
        folder = Path(arguments[1] if len(arguments) > 1 else made)
        seconds: dict[int, dict[str, float]] = {}
        for size in sizes:
            book = folder / f"s{size}.sqlite"
            if not book.exists():
                school(book, size, own=max(EACH, size // 10))
            seconds[size] = all_spent(book, seconds.get(size // 10, {}))
        print(table(seconds))
        drawing = folder / "scale.svg"
        drawing.write_text(plot(seconds), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
