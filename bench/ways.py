"""How far five acts walk through our code: `python -m bench.ways`.

Each act is done once in a logbook of its own, so that everything is imported and read by then, and
is counted in another: calls into `src/platebook`, as `sys.setprofile` sees them (a generator that
goes on counts again), the distinct files they lie in, and how often one call lies in another
top-level package than the call before it. Beside each figure stands what is wanted at the most.
"""

import itertools
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from types import FrameType

import platebook
from platebook.demo.evening_class import DemoClass, evening_class
from platebook.logbook.records import add_attempts, add_inspections, add_setter, add_tools
from platebook.practice.attempt import Attempt
from platebook.practice.reading.questions import label_of
from platebook.reports.text.analysis_text import support_line, values_line
from platebook.services.attempts.recording import record
from platebook.services.attempts.spreadsheets import import_file
from platebook.services.findings import findings_with_values
from platebook.services.now.now_view import now
from platebook.services.session import Session, opened
from platebook.services.sharing.single_bundle import export_bundle, import_bundle
from platebook.tui.findings.charts import picture_chart

SOURCE = str(Path(platebook.__file__).parent) + "/"
LOG = 60
"""Attempts in the log that the longer acts start from."""

EVENING = time(18, 30, tzinfo=UTC)
AUTHOR = "the bench"
CELL = "seat_diameter_mm\n1.93\n"
READING = {"seat_diameter_mm": "1.93"}


@dataclass(frozen=True)
class Act:
    """One thing that a person does; `begin` gives what is counted, in an empty folder.

    The most files and calls that are wanted; None where nothing is.
    """

    name: str
    begin: Callable[[Path], Callable[[], object]]
    most_files: int | None = None
    most_calls: int | None = None


@dataclass(frozen=True)
class Way:
    """How far an act went: calls into our code, distinct files, and changes of package."""

    calls: int
    files: int
    changes: int


class Follower:
    """Counts calls into our code while it is a thread's profile function."""

    def __init__(self) -> None:
        self.files: list[str] = []

    def __call__(self, frame: FrameType, event: str, _: object) -> None:
        """Note the file of each function of ours that begins or goes on."""
        if event == "call" and frame.f_code.co_filename.startswith(SOURCE):
            self.files.append(frame.f_code.co_filename)

    def way(self) -> Way:
        """What was seen, counted."""
        packages = [file.removeprefix(SOURCE).split("/")[0] for file in self.files]
        changes = sum(a != b for a, b in itertools.pairwise(packages))
        return Way(len(self.files), len(set(self.files)), changes)


def followed(act: Act, folder: Path) -> Way:
    """The way of one act, which was done before so that nothing is imported on it."""
    for name in ("before", "counted"):
        (folder / name).mkdir(parents=True)
    act.begin(folder / "before")()
    begun = act.begin(folder / "counted")
    follower = Follower()
    sys.setprofile(follower)
    try:
        begun()
    finally:
        sys.setprofile(None)
    return follower.way()


class Pupil:
    """A setter of the invented class with a log of 60 attempts, and what lies around them."""

    def __init__(self, invented: DemoClass) -> None:
        logs = invented.attempts_by_setter
        self.setter = next(s for s in invented.setters if len(logs[s.setter_id or ""]) >= LOG)
        self.log = logs[self.setter.setter_id or ""][:LOG]
        self.tools = invented.tools_by_setter[self.setter.setter_id or ""]
        self.inspection = next(
            one
            for one in invented.inspections
            if one.attempt_id in {attempt.attempt_id for attempt in self.log}
        )
        self.evening = datetime.combine(invented.today, EVENING)

    def session(self, folder: Path, attempts: tuple[Attempt, ...] = ()) -> Session:
        """Their session, with these attempts of theirs in a new logbook of this folder."""
        session = Session(folder / "logbook.sqlite", lambda: self.evening, UTC, author=AUTHOR)
        setter_id = self.setter.setter_id or ""
        with opened(session) as book:
            book.tell(add_setter, self.setter, book.stamp(AUTHOR, self.evening, "add"))
            book.tell(add_tools, setter_id, self.tools, book.stamp(AUTHOR, self.evening, "add"))
            book.tell(add_attempts, attempts, book.stamp(AUTHOR, self.evening, "import"))
        return session.for_setter(setter_id, self.setter.name)

    def typed_reading(self, folder: Path) -> Callable[[], object]:
        """One typed seat diameter, to the row in SQLite."""
        session = self.session(folder)
        return lambda: record(session, [READING])

    def next_on_now(self, folder: Path) -> Callable[[], object]:
        """The log, to the next exercise on Now; nothing is kept from before."""
        session = self.session(folder, self.log)
        return lambda: now(session)

    def finding(self, folder: Path) -> Callable[[], object]:
        """The log, to the words and the picture of the first finding; nothing kept from before."""
        session = self.session(folder, self.log)

        def shown() -> tuple[object, ...]:
            answer = findings_with_values(session)
            finding, values = answer.findings.findings[0], answer.values[0]
            words = (label_of(finding.variable), finding.sentence, support_line(finding))
            beside = (values_line(values),) if values is not None else ()
            return (*words, *beside, picture_chart(answer.pictures[0]))

        return shown

    def table_cell(self, folder: Path) -> Callable[[], object]:
        """A CSV file with one cell, to the logbook."""
        session = self.session(folder)
        file = folder / "one.csv"
        file.write_text(CELL, encoding="utf-8")
        return lambda: import_file(session, file)

    def inspection_in(self, folder: Path) -> Callable[[], object]:
        """A bundle with one inspection more, to a logbook that knows setter and attempts."""
        session = self.session(folder, self.log)
        teacher = folder / "teacher"
        teacher.mkdir()
        theirs = Session(teacher / "logbook.sqlite", lambda: self.evening, UTC, author="a teacher")
        known, news = folder / "known.platebook", teacher / "news.platebook"
        export_bundle(session, known)
        import_bundle(theirs, known)
        with opened(theirs) as book:
            later = self.evening + timedelta(hours=1)
            book.tell(
                add_inspections, [self.inspection], book.stamp(theirs.author, later, "inspect")
            )
        export_bundle(theirs, news)
        return lambda: import_bundle(session, news)


def acts(pupil: Pupil) -> tuple[Act, ...]:
    """The five acts, with what is wanted of each."""
    return (
        Act("one typed seat diameter -> SQLite", pupil.typed_reading, 20, 300),
        Act(f"{LOG} attempts -> the next exercise on Now", pupil.next_on_now, 30, 3_000),
        Act(f"{LOG} attempts -> a finding on screen", pupil.finding, 40),
        Act("one CSV cell -> the logbook", pupil.table_cell, 25),
        Act("an inspection shared in", pupil.inspection_in, 25),
    )


def _beside(counted: int, most: int | None) -> str:
    """A figure, and how many times what is wanted it is."""
    if most is None:
        return f"{counted:8,}{'':17}"
    return f"{counted:8,} of {most:5,} {counted / most:5.2f}x"


def main() -> int:
    """Follow each act, and print its way."""
    pupil = Pupil(evening_class())
    lines = [f"{'act':44}{'calls, wanted':^26}{'files, wanted':^26}{'changes of package':>20}"]
    with tempfile.TemporaryDirectory(prefix="platebook-bench-") as place:
        for number, act in enumerate(acts(pupil)):
            way = followed(act, Path(place) / str(number))
            calls, files = _beside(way.calls, act.most_calls), _beside(way.files, act.most_files)
            lines.append(f"{act.name:44}{calls:26}{files:26}{way.changes:20,}")
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
