# ruff: noqa: T201 - a script that prints
"""A school that shares: sizes, times and memory, from the logbooks of setters to the district.

Run: python -m bench.school_share [setters] (default 500).

Every setter has a logbook of their own with 200 attempts of the invented evening class, and shares
through one folder. A teacher takes all of it in and hands it on without names, and a district takes
that in. The teacher shares again, with and without anything changed, and opens the class. Each step
is a process of its own, whose seconds of work and largest memory are told: what a machine that does
nothing else takes, on one core.
"""

import multiprocessing
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bench.logbooks import EACH
from platebook.demo.evening_class import evening_class
from platebook.exchange.bundle_lines import SUFFIX
from platebook.logbook import open_logbook
from platebook.logbook.history.revisions import replica_of
from platebook.logbook.records import add_attempts
from platebook.services.classes.class_answers import read_ahead
from platebook.services.people.setters import begin
from platebook.services.progress_callback import unwatched
from platebook.services.session import Session
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.single_bundle import export_bundle

SETTERS = 500
SCHOOLS = 300
START = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)
MEGABYTE = 1e6

Step = Callable[[Path, int], None]


def write_bundles(folder: Path, setters: int) -> None:
    """A bundle for each setter, signed by a key of their own, in the folder they share through."""
    pool = [a for log in evening_class().attempts_by_setter.values() for a in log]
    for number in range(setters):
        own = begin(_session(folder, f"of {number}"), name=f"Setter {number}", course_id=None)
        practised = [
            pool[(number * 37 + n) % len(pool)].with_values(
                attempt_id=None, setter_id=own.setter_id, setter=own.setter_name
            )
            for n in range(EACH)
        ]
        with open_logbook(own.path) as book:
            book.tell(add_attempts, practised, own.stamp(book, "import"))
            name = f"{book.ask(replica_of)}{SUFFIX}"
        export_bundle(own, folder / "shared" / name)


def take_all_in(folder: Path, setters: int) -> None:
    """The teacher shares."""
    del setters
    _share(folder, "teacher", folder / "shared")


def log_three(folder: Path, setters: int) -> None:
    """Three files change."""
    del setters
    for file in sorted((folder / "shared").glob("*.platebook"))[:3]:
        file.write_bytes(file.read_bytes())


def open_class(folder: Path, setters: int) -> None:
    """The teacher's class, every setter read."""
    del setters

    read_ahead(_session(folder, "teacher"), unwatched)


def hand_on(folder: Path, setters: int) -> None:
    """The school's bundle without names, into the district's folder."""
    del setters
    _share(folder, "teacher", folder / "district", anonymous=True)


def district_takes_in(folder: Path, setters: int) -> None:
    """One school of the district's."""
    del setters
    _share(folder, "office", folder / "district")


def _session(folder: Path, name: str) -> Session:
    at = folder / name
    at.mkdir(exist_ok=True)
    return Session(path=at / "logbook.sqlite", clock=_ticking(), zone=UTC)


def _ticking() -> Callable[[], datetime]:
    began = time.monotonic()
    return lambda: START + timedelta(days=90, seconds=time.monotonic() - began)


def _share(folder: Path, name: str, place: Path, *, anonymous: bool = False) -> None:

    done = share(_session(folder, name), place, everyone=not anonymous, anonymous=anonymous)
    if done.unread:
        raise SystemExit(done.unread[0].sentence)
    if left := sum(len(file.left_out) for file in done.received):
        raise SystemExit(f"{left} people were left out: this would not measure a school")


def measured(step: Step, folder: Path, setters: int) -> tuple[float, float]:
    """Seconds of work and the largest memory in megabytes of a step in a process of its own."""
    context = multiprocessing.get_context("spawn")
    # A worker of a multiprocessing.Pool may start no processes, as the work of a class does.
    with ProcessPoolExecutor(1, mp_context=context) as pool:
        return pool.submit(_run, step, folder, setters).result()


def _run(step: Step, folder: Path, setters: int) -> tuple[float, float]:
    step(folder, setters)
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    work = sum(use.ru_utime + use.ru_stime for use in used)
    return work, max(use.ru_maxrss for use in used) * 1024 / MEGABYTE


def size(place: Path, names: str) -> float:
    """Megabytes of the files of these names."""
    return sum(file.stat().st_size for file in place.glob(names)) / MEGABYTE


def main(setters: int) -> int:
    """One school, step by step, and what that comes to for a district."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        for name in ("shared", "district"):
            (folder / name).mkdir()
        steps: tuple[tuple[str, Step], ...] = (
            ("the setters' bundles are made", write_bundles),
            ("a teacher takes all in", take_all_in),
            ("hands on all without names", hand_on),
            ("a district takes that in", district_takes_in),
            ("shares again, tells what all share", take_all_in),
            ("shares again, nothing changed", take_all_in),
            ("three files are written again", log_three),
            ("shares again", take_all_in),
            ("opens the class, nothing kept", open_class),
            ("opens it again", open_class),
        )
        print(f"{setters} setters with {EACH} attempts each")
        for words, step in steps:
            took, memory = measured(step, folder, setters)
            print(f"  {words:34} {took:8.1f} s   {memory:7.0f} MB of memory", flush=True)
        bundles = size(folder / "shared", "*.platebook")
        anonymous = size(folder / "district", "*.platebook")
        office = size(folder / "office", "logbook.sqlite*")
        print(f"  all bundles {bundles:.0f} MB, {1000 * bundles / setters:.0f} kB each")
        print(f"  the teacher's logbook {size(folder / 'teacher', 'logbook.sqlite*'):.0f} MB")
        print(f"  without names {anonymous:.0f} MB, the district's logbook {office:.0f} MB")
        gigabytes = (SCHOOLS * anonymous / 1000, SCHOOLS * office / 1000)
        print(
            f"  {SCHOOLS} such schools: {gigabytes[0]:.0f} GB of bundles, "
            f"{gigabytes[1]:.0f} GB of logbook"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else SETTERS))
