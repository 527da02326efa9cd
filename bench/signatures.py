"""What signing costs: a save with and without, a bundle written and taken in, and its size.

Run as `python -m bench.signatures [revisions]`. Ratios are printed, medians of several turns taken
in alternation, so that a busy machine slows both alike.
"""

import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from statistics import median

from tests.exchange.bundles import write_bundle
from tests.logbook.handed_on import bundle_of

from platebook.logbook import open_logbook
from platebook.logbook.bundles.importing import Judged, Terms, take_in
from platebook.logbook.records import add_attempts
from platebook.practice.attempt import Attempt
from platebook.practice.reading.attempt_rows import read_attempts
from platebook.practice.revision import Bundle
from platebook.services.people.setters import begin
from platebook.services.session import Session
from platebook.values import replace

BEGAN = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)
ROW = {
    "stone_material": "cubic zirconia",
    "stone_diameter_mm": "1.98",
    "metal": "copper",
    "sheet_mm": "20 ga",
    "seat_bur_mm": "1.9",
    "result": "good",
}
TURNS = 40


def attempts(count: int, whose: str) -> list[Attempt]:
    """So many attempts of one setter, a minute apart."""
    rows = [{**ROW, "began": (BEGAN + timedelta(minutes=n)).isoformat()} for n in range(count)]
    read, problems = read_attempts(rows)
    assert not problems, problems
    return [attempt.with_values(setter_id=whose) for attempt in read]


def milliseconds(work: Callable[[], object]) -> float:
    """How long it took, in the processor's time: others may be at work."""
    began = time.process_time()
    work()
    return (time.process_time() - began) * 1000


def saves(folder: Path) -> tuple[float, float]:
    """The median of one save with a signature and without, in milliseconds."""
    session = begin(
        Session(folder / "saves.sqlite", lambda: BEGAN, UTC), name="Ada Quill", course_id=None
    )
    whose = str(session.setter_id)
    took: dict[bool, list[float]] = {True: [], False: []}
    with open_logbook(session.path) as book:
        for attempt in attempts(TURNS, whose):
            for signed in (True, False):
                stamp = session.stamp(book, "record")
                stamp = stamp if signed else replace(stamp, signer=None)
                save = partial(book.tell, add_attempts, [attempt], stamp)
                took[signed].append(milliseconds(save))
    return median(took[True][3:]), median(took[False][3:])


def signed_bundle(folder: Path, count: int) -> Bundle:
    """The bundle of a logbook with so many attempts, all signed."""
    session = begin(
        Session(folder / "many.sqlite", lambda: BEGAN, UTC), name="Ada Quill", course_id=None
    )
    with open_logbook(session.path) as book:
        stamp = session.stamp(book, "import")
        many = attempts(count, str(session.setter_id))
        took = milliseconds(partial(book.tell, add_attempts, many, stamp))
        sys.stdout.write(f"one change of {count} attempts saved, signed: {took:.0f} ms\n")
        return book.ask(bundle_of)


def taken_in(folder: Path, bundle: Bundle, *, judged: bool) -> float:
    """How long a fresh logbook takes to take this bundle in, in milliseconds."""
    name = f"{time.monotonic_ns()}.sqlite"
    with open_logbook(folder / name) as book:
        terms = Terms(digest="bench", judged=Judged(now=BEGAN, own=frozenset()) if judged else None)
        return milliseconds(partial(book.tell, take_in, book.path, bundle, terms))


def main(arguments: list[str]) -> int:
    """Print the figures."""
    count = int(arguments[0]) if arguments else 5000
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with_it, without = saves(folder)
        sys.stdout.write(
            f"a save: {with_it:.2f} ms signed, {without:.2f} ms unsigned, "
            f"{with_it - without:.2f} ms more, {with_it / without:.2f} x\n"
        )
        bundle = signed_bundle(folder, count)
        bare = replace(
            bundle,
            revisions=tuple(replace(r, signed=None) for r in bundle.revisions),
            keys=(),
        )
        size, bare_size = len(write_bundle(bundle)), len(write_bundle(bare))
        sys.stdout.write(
            f"a bundle of {len(bundle.revisions)} revisions: {size / 1e6:.2f} MB signed, "
            f"{size / bare_size:.2f} x of {bare_size / 1e6:.2f} MB\n"
        )
        looked = [taken_in(folder, bundle, judged=True) for _ in range(3)]
        plain = [taken_in(folder, bare, judged=False) for _ in range(3)]
        sys.stdout.write(
            f"taken in: {median(looked):.0f} ms with signatures compared, {median(plain):.0f} ms "
            f"without any, {median(looked) / median(plain):.2f} x\n"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
