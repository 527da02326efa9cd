"""How long a sheet takes to come in: `python -m bench.sheets [ROWS] [--beside CHECKOUT]`.

A CSV file of the invented class is taken into a new logbook as a whole command does it, and beside
it the same file is read by the standard library's reader and put into one bare table by
`executemany`. Another checkout's import of the same file stands beside it where one is named. The
smallest of three rounds each, taken in turn, in seconds of the processor: others may be at work.

The two do not do the same. Ours reads every cell in the words of five languages, checks it against
the record, sorts the row by what the logbook knows, and writes it twice, as a revision that can be
taken back and as the row that stands, with its indexes; the bare way keeps texts.
"""

import argparse
import csv
import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from itertools import islice
from pathlib import Path

from platebook.demo.evening_class import evening_class
from platebook.exchange import write_csv

ROUNDS = 3
IMPORT = (
    "import sys, time; from pathlib import Path; from datetime import UTC;"
    "from platebook.services.session import Session, system_clock;"
    "from platebook.services.attempts.spreadsheets import import_file;"
    "s = Session(path=Path(sys.argv[2]), clock=system_clock, zone=UTC);"
    "t = time.process_time(); done = import_file(s, Path(sys.argv[1]));"
    "assert done.stored, done.problems[:3]; print(time.process_time() - t)"
)


def sheet(file: Path, rows: int) -> Path:
    """So many rows of the invented class, a plate each in turn, without ids."""
    pool = [a for log in evening_class().attempts_by_setter.values() for a in log]
    again = (
        pool[n % len(pool)].with_values(attempt_id=None, setter_id=None, plate=f"P{n // 40}")
        for n in range(rows)
    )
    file.write_text(write_csv(islice(again, rows)), encoding="utf-8")
    return file


def imported_s(checkout: Path, file: Path, logbook: Path) -> float:
    """Seconds for the import by this checkout, in a process of its own."""
    env = {**os.environ, "PYTHONPATH": str(checkout / "src")}
    done = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-c", IMPORT, str(file), str(logbook)],
        env=env,
        check=True,
        capture_output=True,
        text=True,
    )
    return float(done.stdout)


def bare_s(file: Path, database: Path) -> float:
    """Seconds for the standard library: csv.reader into one table of texts."""
    began = time.process_time()
    with sqlite3.connect(database) as connection, file.open(encoding="utf-8", newline="") as text:
        reader = csv.reader(text)
        names = next(reader)
        connection.execute(f"CREATE TABLE bare ({', '.join(f'c{n}' for n in range(len(names)))})")
        marks = ", ".join("?" * len(names))
        connection.executemany(f"INSERT INTO bare VALUES ({marks})", reader)  # noqa: S608 - marks
    connection.close()
    return time.process_time() - began


def main() -> None:
    """Print seconds and ratios."""
    arguments = argparse.ArgumentParser()
    arguments.add_argument("rows", nargs="?", type=int, default=20_000)
    arguments.add_argument("--beside", type=Path, metavar="CHECKOUT")
    given = arguments.parse_args()
    here = Path(__file__).parents[1]
    sides = [("here", here)]
    if given.beside is not None:
        sides.append(("there", given.beside))
    with tempfile.TemporaryDirectory() as folder:
        file = sheet(Path(folder) / "sheet.csv", given.rows)
        times: dict[str, list[float]] = {name: [] for name in (*dict(sides), "bare")}
        for number in range(ROUNDS):
            for name, checkout in sides:
                logbook = Path(folder) / f"{name}{number}.sqlite"
                times[name].append(imported_s(checkout, file, logbook))
            times["bare"].append(bare_s(file, Path(folder) / f"bare{number}.sqlite"))
    least = {name: min(seconds) for name, seconds in times.items()}
    for name, seconds in least.items():
        print(f"{name:<6} {seconds:6.2f} s for {given.rows} rows")  # noqa: T201 - a benchmark
    print(f"here / bare csv -> executemany: {least['here'] / least['bare']:.1f}")  # noqa: T201
    if "there" in least:
        print(f"here / there: {least['here'] / least['there']:.2f}")  # noqa: T201


if __name__ == "__main__":
    main()
