"""Services named for what they do, so that a screen can be tested without a logbook."""

import dataclasses
import threading
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from tests.builders import an_attempt
from tests.tui import bench

from platebook.advice.standing import QueueRow, Standing
from platebook.analysis.class_findings import ClassFindings
from platebook.analysis.findings import Findings
from platebook.analysis.progress import Progress
from platebook.analysis.raw_values import RawValues
from platebook.logbook.wanted import Order
from platebook.practice.inspection import Inspection
from platebook.services.course_view import CourseView
from platebook.services.drawer_view import DrawerRow
from platebook.services.finding_values import FindingsWithValues
from platebook.services.first_run import OfferedCourse
from platebook.services.inspecting import Inspected
from platebook.services.log import Cursor, LogPage, LogRow
from platebook.services.now import NowView
from platebook.services.progress_callback import Stopped, Watch
from platebook.services.recording import Recorded
from platebook.services.roster import Listed
from platebook.services.second_look import AgainRow, SecondLook

EVENING = datetime(2026, 3, 4, 18, 42, tzinfo=UTC)
PAGE = 200
STORED = Recorded(("a",), (), stored=True)


class DraftsInMemory:
    """Keeps the draft of one window, and offers one that another window left."""

    def __init__(self, left_behind: Mapping[str, object] | None = None) -> None:
        self.left_behind = left_behind
        self.kept: Mapping[str, object] | None = None
        self.syncs = 0
        self.full: OSError | None = None

    def save(self, draft: Mapping[str, object], *, sync: bool = False) -> None:
        """Keep this draft, or fail as a full disk does."""
        if self.full is not None:
            raise self.full
        self.kept = dict(draft)
        self.syncs += sync

    def draft(self) -> Mapping[str, object] | None:
        """What is kept now."""
        return self.kept

    def load(self) -> Mapping[str, object] | None:
        """What another window left, once."""
        found, self.left_behind = self.left_behind, None
        return found

    def clear(self) -> None:
        """Forget the draft."""
        self.kept = None


@dataclasses.dataclass
class ServicesOfAnEvening:
    """Answers from values given to it, and remembers what it was asked to record."""

    view: NowView = dataclasses.field(default_factory=bench.a_view)
    rows: tuple[LogRow, ...] = ()
    found: Findings = dataclasses.field(default_factory=bench.some_findings)
    behind: tuple[RawValues | None, ...] = bench.VALUES
    counted: Progress = dataclasses.field(default_factory=bench.some_progress)
    recorded: Recorded = STORED
    left_behind: Mapping[str, object] | None = None
    course_shown: CourseView = dataclasses.field(default_factory=bench.a_course_view)
    tools: tuple[DrawerRow, ...] = bench.DRAWER
    everyone: tuple[Listed, ...] = bench.EVERYONE
    standings: tuple[Standing, ...] = bench.STANDINGS
    queue: tuple[QueueRow, ...] = bench.QUEUE
    class_found: ClassFindings = dataclasses.field(default_factory=bench.some_class_findings)
    long: bool = False
    again: tuple[AgainRow, ...] = bench.AGAIN
    new: bool = False
    setter: str = "Ottoline Marsh"
    invented: bool = False
    fault: Exception | None = None
    courses: tuple[OfferedCourse, ...] = (
        OfferedCourse("small-to-large", "From small to large", "1.5 to 3.0 mm."),
        OfferedCourse("large-to-small", "From large to small", "2.5 to 1.5 mm."),
    )

    def __post_init__(self) -> None:
        self.saved: list[Mapping[str, object]] = []
        self.amended: list[tuple[str, Mapping[str, object]]] = []
        self.begun: list[tuple[str, str, Sequence[Any]]] = []
        self.looked: list[tuple[str, str, str]] = []
        self.comments: list[str] = []
        self.signed: list[tuple[str, str]] = []
        self.calls: list[str] = []
        self.fails_next = ""
        self.let_go = threading.Event()
        self.keeper = DraftsInMemory(self.left_behind)

    def open(self) -> bool:
        """Whether nobody has been set up."""
        self._called("open")
        return self.new

    def new_id(self) -> str:
        """Always the same id."""
        return "0198c1a0-0000-7000-8000-000000000001"

    def clock(self) -> datetime:
        """Always the same evening."""
        return EVENING

    def offers(self) -> Any:
        """Two courses and four tools."""
        return self.courses, bench.SOME_TOOLS

    def begin(self, name: str, course_id: str, tools: Sequence[Any]) -> None:
        """Remember who began."""
        self.begun.append((name, course_id, tools))

    def now(self) -> Any:
        """The view given."""
        self._called("now")
        return self.view

    def show_steps(self, *, shown: bool) -> None:
        """Remember it."""
        self.calls.append(f"steps {shown}")

    def record(self, row: Mapping[str, object]) -> Any:
        """Remember the row."""
        self._called("record")
        if self.recorded.stored:
            self.saved.append(row)
        return self.recorded

    def record_all(self, rows: Sequence[Mapping[str, object]]) -> Any:
        """Remember the rows."""
        self._called("record")
        if not self.recorded.stored:
            return self.recorded
        self.saved.extend(rows)
        return Recorded(tuple(str(n) for n, _ in enumerate(rows)), (), stored=True)

    def amend(self, attempt_id: str, values: Mapping[str, object]) -> Any:
        """Remember the changes."""
        self.amended.append((attempt_id, values))
        return self.recorded

    def values(self, attempt_id: str) -> Mapping[str, str]:
        """An attempt with two defects."""
        del attempt_id
        return {
            **bench.SET_UP,
            "kind": "whole",
            "began": "2026-02-28T18:30+00:00",
            "fit": "drops in",
            "result": "tilted;gap",
            "severity": "2;1",
            "note": "chatter",
        }

    def hide(self, *attempt_ids: str) -> str:
        """Say which are hidden."""
        return f"Hidden: {', '.join(attempt_ids)}."

    def write_out(
        self, file: str, words: str, *, everyone: bool, attempt_ids: Sequence[str]
    ) -> str:
        """Say what would be written."""
        return f"{file}: {words!r} {everyone} {', '.join(attempt_ids)}"

    def course(self) -> Any:
        """The course given."""
        return self.course_shown

    def drawer(self) -> Any:
        """The tools given."""
        return self.tools

    def put_in(self, typed: str) -> str:
        """Say what is put in."""
        self._called("put_in")
        self.calls.append(f"put in {typed}")
        return f"{typed} lies in the drawer."

    def change_tool(self, tool_id: str, typed: str) -> str:
        """Say what is changed."""
        self.calls.append(f"change {tool_id} to {typed}")
        return f"It is now {typed}."

    def take_out(self, tool_id: str) -> str:
        """Say what is taken out."""
        return f"{tool_id} is taken out; undo puts it back."

    def class_now(self, watch: Watch) -> Any:
        """The class given, without what was looked at; it may take long."""
        self.take_long(watch)
        seen = {name for name, _, _ in self.looked}
        return self.standings, tuple(r for r in self.queue if r.attempt_id not in seen)

    def class_findings(self, watch: Watch) -> Any:
        """The class findings given; they may take long."""
        self.take_long(watch)
        return self.class_found

    def take_long(self, watch: Watch) -> None:
        """Go on until let go or stopped, where this evening is one of long work."""
        try:
            while self.long and not self.let_go.wait(0.01):
                watch(7, 30)
        except Stopped:
            self.calls.append("stopped")
            raise

    def look_at(self, attempt_id: str, result: str, severity: str, comment: str = "") -> Any:
        """Remember the look."""
        self.looked.append((attempt_id, result, severity))
        self.comments.append(comment)
        look = Inspection(attempt_id=attempt_id, inspector="Tutor", result=(result,))
        row = next(r for r in self.queue if r.attempt_id == attempt_id)
        return Inspected(look, row.setter, ("good",), ())

    def sign_off(self, setter_id: str, grade: str) -> str:
        """Remember the sign-off."""
        self.signed.append((setter_id, grade))
        return f"{grade} is signed off."

    def second_look(self) -> Any:
        """The positions given, without what was judged again."""
        seen = {name for name, _, _ in self.looked}
        rows = tuple(r for r in self.again if r.attempt_id not in seen)
        return SecondLook(
            rows, f"Of {len(seen)} positions drawn at random, 0 got the same verdict."
        )

    def judge_again(self, attempt_id: str, result: str, severity: str) -> Any:
        """Remember the verdict."""
        self.looked.append((attempt_id, result, severity))
        look = Inspection(attempt_id=attempt_id, inspector="s1", result=(result,))
        return Inspected(look, self.setter, ("good",), ())

    def people(self) -> Any:
        """The people given."""
        return self.everyone

    def seat(self, setter_id: str) -> None:
        """Let them sit down."""
        self.setter = next(
            one.setter.name for one in self.everyone if one.setter.setter_id == setter_id
        )

    def add_person(self, name: str) -> None:
        """Add them and let them sit down."""
        self.setter = name

    def undo(self) -> str:
        """Say that it is taken back."""
        self._called("undo")
        return "Taken back: the attempt of 18:42."

    def redo(self) -> str:
        """Say that it is put back."""
        return "Put back: the attempt of 18:42."

    def remedies(self, result: str) -> tuple[str, ...]:
        """What now, for a tilted stone."""
        if "tilted" not in result:
            return ()
        return ("Before burnishing press the high side; after, lift the lip.",)

    def log_page(self, words: str, before: Any, *, everyone: bool, order: Order = "time") -> Any:
        """A page of the rows that have all the words."""
        del everyone
        self.calls.append(f"log {words} {order}".strip())
        kept = tuple(r for r in self.rows if all(w in str(r) for w in words.split()))
        start = int(before.before.attempt_id) if before is not None else 0
        end = start + PAGE
        older = Cursor(an_attempt(attempt_id=str(end))) if end < len(kept) else None
        return LogPage(kept[start:end], len(kept), older)

    def history(self, attempt_id: str) -> tuple[str, ...]:
        """Two changes."""
        return (f"{attempt_id}: recorded", "result: good became tilted")

    def findings(self) -> FindingsWithValues:
        """The findings and values given."""
        behind = dict(enumerate(self.behind))
        values = tuple(behind.get(place) for place in range(len(self.found.findings)))
        return FindingsWithValues(self.found, values)

    def progress(self) -> Progress:
        """The progress given."""
        return self.counted

    def drafts(self) -> Any:
        """The keeper in memory."""
        return self.keeper

    def _called(self, name: str) -> None:
        self.calls.append(name)
        if self.fault is not None:
            raise self.fault
        if self.fails_next == name:
            self.fails_next = ""
            raise OSError(5, "Input/output error")
