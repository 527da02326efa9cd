"""A session that answers from a table, so that a screen can be tested without a logbook."""

import dataclasses
import threading
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Concatenate

from tests.builders import an_attempt
from tests.tui import bench, class_values

from platebook.advice.class_standing import QueueRow, SetterLine
from platebook.analysis.classes.register import Register
from platebook.analysis.findings.raw_values import RawValues
from platebook.analysis.findings.results import ClassFindings, Findings
from platebook.analysis.findings.trials import Trial
from platebook.analysis.grades.progress import Progress
from platebook.logbook.attempt_queries import Order
from platebook.logbook.held_back import ErasingAsked
from platebook.practice.received import Received
from platebook.practice.records import Inspection, Message, Plate, SignOff
from platebook.services.answers import progress
from platebook.services.attempts.log import (
    Cursor,
    LogPage,
    LogRow,
    attempt_history,
    attempt_values,
    log_page,
)
from platebook.services.attempts.recording import (
    Recorded,
    amend,
    hide,
    record,
    redo,
    undo,
    undo_mark,
)
from platebook.services.attempts.spreadsheets import write_typed
from platebook.services.choices import Chosen, as_suggested, practise, settle
from platebook.services.classes.class_answers import class_findings
from platebook.services.classes.compare import compared_in_words
from platebook.services.classes.enrolment import ListedClass, list_classes
from platebook.services.classes.inspections import (
    Inspected,
    Signed,
    by_need,
    class_now,
    inspect,
    sign_off,
)
from platebook.services.classes.messages import Written, write_to
from platebook.services.classes.plate_looks import (
    LookGiven,
    PlateToJudge,
    PositionToJudge,
    comment_on,
    plate_to_judge,
)
from platebook.services.classes.register import ClassRegister, class_register
from platebook.services.classes.second_look import AgainRow, SecondLook, judge_again, second_look
from platebook.services.course_page import CourseView, course_view
from platebook.services.courses.waiting import refuse_course, take_course
from platebook.services.doubles import Pair, unite
from platebook.services.drawer.drawer import DrawerRow, change, drawer_view, put_in, take_out
from platebook.services.findings import Asked, FindingsWithValues, findings_with_values
from platebook.services.from_others import from_others, news, read_news, said_of
from platebook.services.minding import Minding, mind_today
from platebook.services.now import NowView, WhatNext, now, show_steps, what_next
from platebook.services.people import (
    AtTheBench,
    InView,
    at_the_bench,
    class_in_view,
    seat_new,
    view_class,
)
from platebook.services.progress_callback import Stopped, Watch
from platebook.services.seeing import Judged, judge_plate, keep_reference, seeing_view
from platebook.services.session import Session
from platebook.services.setters import (
    FirstOffers,
    ListedSetter,
    OfferedCourse,
    begin,
    first_offers,
    switch_setter,
    turn_seats,
)
from platebook.services.sharing.erasings import erasings, keep_erasing, obey_erasing
from platebook.services.sharing.let_in import let_in_from_folder
from platebook.services.sharing.start_files import begin_with_file
from platebook.services.sharing.who_is_mine import Waiting
from platebook.services.teachers import ListedTeacher, begin_teaching, switch_teacher
from platebook.tui.bench_session import Answer, Arguments, BenchSession

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

    def waiting_for_others(self) -> tuple[str, ...]:
        """Nobody else left any."""
        return ()

    def clear(self) -> None:
        """Forget the draft."""
        self.kept = None


@dataclasses.dataclass
class SessionOfAnEvening(BenchSession):
    """Answers use cases from values given to it, and remembers what it was asked to record.

    `answers` holds, by use case, what stands in for it here; a use case that is not in it fails.
    """

    view: NowView = dataclasses.field(default_factory=bench.a_view)
    rows: tuple[LogRow, ...] = ()
    found: Findings = dataclasses.field(default_factory=bench.some_findings)
    behind: tuple[RawValues | None, ...] = bench.VALUES
    counted: Progress = dataclasses.field(default_factory=bench.some_progress)
    recorded: Recorded = STORED
    left_behind: Mapping[str, object] | None = None
    course_shown: CourseView = dataclasses.field(default_factory=bench.a_course_view)
    asked: tuple[ErasingAsked, ...] = ()
    tools: tuple[DrawerRow, ...] = bench.DRAWER
    everyone: tuple[ListedSetter, ...] = class_values.EVERYONE
    standings: tuple[SetterLine, ...] = class_values.STANDINGS
    queue: tuple[QueueRow, ...] = class_values.QUEUE
    class_found: ClassFindings = dataclasses.field(default_factory=class_values.some_class_findings)
    long: bool = False
    again: tuple[AgainRow, ...] = class_values.AGAIN
    new: bool = False
    setter: str = "Ottoline Marsh"
    setter_id: str | None = "s1"
    invented: bool = False
    fault: Exception | None = None
    trials: tuple[Trial, ...] = ()
    received: Received = dataclasses.field(default_factory=Received)
    news: str = ""
    minding: Minding = dataclasses.field(default_factory=Minding)
    in_view: InView = dataclasses.field(default_factory=InView)
    register: Register = dataclasses.field(default_factory=lambda: Register((), ()))
    classes_there: tuple[ListedClass, ...] = ()
    teachers: tuple[ListedTeacher, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    pairs: tuple[Pair, ...] = ()
    teaches: bool = False
    courses: tuple[OfferedCourse, ...] = (
        OfferedCourse("small-to-large", "From small to large", "1.5 to 3.0 mm."),
        OfferedCourse("large-to-small", "From large to small", "2.5 to 1.5 mm."),
    )

    def __post_init__(self) -> None:
        self.saved: list[Mapping[str, object]] = []
        self.amended: list[tuple[str, Mapping[str, object]]] = []
        self.begun: list[tuple[str, str | None, str | None, Sequence[Any]]] = []
        self.looked: list[tuple[str, str, str]] = []
        self.comments: list[str] = []
        self.said_on: dict[str, str] = {}
        self.signed: list[tuple[str, str]] = []
        self.calls: list[str] = []
        self.taught: list[tuple[str, bool, str | None]] = []
        self.called_for: str | None = None
        self.fails_next = ""
        self.let_go = threading.Event()
        self.keeper = DraftsInMemory(self.left_behind)
        self.answers: dict[Callable[..., Any], Callable[..., Any]] = {
            amend: self._amend,
            as_suggested: lambda: self._chose("as suggested", "As suggested again."),
            mind_today: lambda: self.minding,
            practise: self._practise,
            settle: self._settle,
            attempt_history: _history,
            attempt_values: _values,
            begin: self._begin,
            change: self._change_tool,
            comment_on: self._comment_on,
            plate_to_judge: self._plate_to_judge,
            class_findings: self._class_findings,
            class_now: self._class_now,
            class_in_view: lambda: self.in_view,
            view_class: self._view_class,
            list_classes: lambda: self.classes_there,
            class_register: self._class_register,
            compared_in_words: lambda: "Thursday after 8 weeks: 61 % good.",
            at_the_bench: lambda: AtTheBench(
                self.everyone, self.everyone, self.in_view, self.teachers, self.waiting, self.pairs
            ),
            switch_teacher: self._seat_teacher,
            unite: lambda pair: f"{pair.gone.name} and {pair.keep.name} are one now.",
            let_in_from_folder: lambda one, into: f"{one.name} is let in ({into}).",
            begin_teaching: self._begin_teaching,
            begin_with_file: self._begin_with_file,
            course_view: lambda: self.course_shown,
            take_course: lambda key: f"{key} is in force here; undo takes it back.",
            refuse_course: lambda key: f"{key} is refused.",
            erasings: lambda: self.asked,
            obey_erasing: lambda person: f"{person} is erased here.",
            keep_erasing: lambda person: f"{person} stays in this logbook.",
            drawer_view: lambda: self.tools,
            findings_with_values: self._findings,
            first_offers: self._first_offers,
            from_others: lambda: self.received,
            hide: lambda *attempt_ids: f"Hidden: {', '.join(attempt_ids)}.",
            inspect: self._inspect,
            judge_again: self._judge_again,
            log_page: self._log_page,
            news: lambda: self.news,
            now: self._now,
            read_news: self._read_news,
            said_of: self._said_of,
            progress: lambda: self.counted,
            put_in: self._put_in,
            record: self._record,
            redo: lambda: "Put back: the attempt of 18:42.",
            switch_setter: self._seat,
            seat_new: self._seat_new,
            seeing_view: bench.some_plates_to_see,
            judge_plate: self._judge_plate,
            keep_reference: self._keep_reference,
            second_look: self._second_look,
            show_steps: self._show_steps,
            sign_off: self._sign_off,
            take_out: lambda tool_id: f"{tool_id} is taken out; undo puts it back.",
            undo: self._undo,
            undo_mark: lambda: str(self.calls.count("record") - self.calls.count("undo")),
            turn_seats: self._turn_seats,
            what_next: self._what_next,
            write_to: self._write_to,
            write_typed: _written,
        }

    def open(self) -> None:
        """There is no logbook to open."""
        self._called("open")

    def call(
        self,
        use_case: Callable[Concatenate[Session, Arguments], Answer],
        *args: Arguments.args,
        **kwargs: Arguments.kwargs,
    ) -> Answer:
        """What stands in the table for this use case."""
        answer: Answer = self.answers[use_case](*args, **kwargs)
        return answer

    def sit_down(
        self,
        use_case: Callable[Concatenate[Session, Arguments], Session],
        *args: Arguments.args,
        **kwargs: Arguments.kwargs,
    ) -> None:
        """As `call`; this evening goes on."""
        self.call(use_case, *args, **kwargs)

    def clock(self) -> datetime:
        """Always the same evening."""
        return EVENING

    def new_id(self) -> str:
        """Always the same id."""
        return "0198c1a0-0000-7000-8000-000000000001"

    def drafts(self) -> Any:
        """The keeper in memory."""
        return self.keeper

    def take_long(self, watch: Watch) -> None:
        """Go on until let go or stopped, where this evening is one of long work."""
        try:
            while self.long and not self.let_go.wait(0.01):
                watch(7, 30)
        except Stopped:
            self.calls.append("stopped")
            raise

    @property
    def teaching(self) -> bool:
        """Whether whoever is at the bench teaches."""
        return self.teaches

    def _first_offers(self) -> FirstOffers | None:
        return FirstOffers(self.courses, bench.SOME_TOOLS) if self.new else None

    def _begin(
        self, *, name: str, course_id: str | None, tools: Sequence[Any], seats: str | None
    ) -> None:
        self.begun.append((name, seats, course_id, tools))

    def _judge_plate(self, name: str, seen: Mapping[str, str]) -> Judged:
        self._called(f"judge {name}: {dict(seen)}")
        return bench.a_judged_plate()

    def _keep_reference(self, name: str, verdicts: Mapping[str, str]) -> Plate:
        self._called(f"keep {name}: {dict(verdicts)}")
        return Plate(name=name, positions=tuple(verdicts), verdicts=tuple(verdicts.values()))

    def _turn_seats(self, setter_id: str) -> str:
        self._called(f"seats of {setter_id}")
        return "Ottoline Marsh: nobody prepares seats, they cut their own."

    def _now(self) -> NowView:
        self._called("now")
        return self.view

    def _what_next(self, result: str) -> WhatNext:
        remedy = ("Before burnishing press the high side; after, lift the lip.",)
        return WhatNext(self._now(), remedy if "tilted" in result else ())

    def _show_steps(self, *, shown: bool) -> None:
        self.calls.append(f"steps {shown}")

    def _record(self, rows: Sequence[Mapping[str, object]], *, as_typed: bool) -> Recorded:
        assert as_typed, "the screens show and ask everything themselves"
        self._called("record")
        if not self.recorded.stored:
            return self.recorded
        self.saved.extend(rows)
        return dataclasses.replace(self.recorded, ids=tuple(str(n) for n, _ in enumerate(rows)))

    def _amend(self, attempt_id: str, values: Mapping[str, object]) -> Recorded:
        self.amended.append((attempt_id, values))
        return self.recorded

    def _put_in(self, typed: str) -> str:
        self._called("put_in")
        self.calls.append(f"put in {typed}")
        return f"{typed} lies in the drawer."

    def _change_tool(self, tool_id: str, typed: str) -> str:
        self.calls.append(f"change {tool_id} to {typed}")
        return f"It is now {typed}."

    def _class_now(self, group: str | None, *, watch: Watch) -> Any:
        """The class given, without what was looked at; it may take long."""
        self.called_for = group
        self.take_long(watch)
        seen = {name for name, _, _ in self.looked}
        due = tuple(r for r in self.queue if r.attempt_id not in seen)
        return by_need(self.standings, due), due

    def _view_class(self, class_id: str | None) -> InView:
        self.in_view = InView(class_id, class_id or "")
        return self.in_view

    def _seat_teacher(self, teacher_id: str) -> None:
        (self.setter,) = (
            t.teacher.name for t in self.teachers if t.teacher.teacher_id == teacher_id
        )
        self.teaches = True

    def _begin_teaching(self, *, name: str, also_sets: bool, course_id: str | None) -> None:
        self.taught.append((name, also_sets, course_id))
        self.setter, self.teaches = name, True

    def _begin_with_file(self, typed: str) -> None:
        self.calls.append(f"begin with {typed}")

    def _class_findings(self, group: str | None, *, asked: Asked, watch: Watch) -> ClassFindings:
        self.called_for = group
        self.take_long(watch)
        self.calls.append(f"class findings {asked.text}".strip())
        return self.class_found

    def _inspect(
        self, attempt_id: str, result: str, *, severity: str, comment: str = ""
    ) -> Inspected:
        self.looked.append((attempt_id, result, severity))
        self.comments.append(comment)
        look = Inspection(attempt_id=attempt_id, inspector="Tutor", result=(result,))
        whose = next((r.setter for r in self.queue if r.attempt_id == attempt_id), "Bram Osk")
        return Inspected(look, whose, ("good",), ())

    def _sign_off(self, setter_id: str, grade: str) -> Signed:
        self.signed.append((setter_id, grade))
        given = SignOff(setter_id=setter_id, course="c", grade=grade, signed_by="Tutor")
        return Signed(given, setter_id, f"{grade} is signed off.")

    def _second_look(self) -> SecondLook:
        """The positions given, without what was judged again."""
        seen = {name for name, _, _ in self.looked}
        rows = tuple(r for r in self.again if r.attempt_id not in seen)
        return SecondLook(
            rows, f"Of {len(seen)} positions drawn at random, 0 got the same verdict."
        )

    def _judge_again(self, attempt_id: str, result: str, severity: str) -> Inspected:
        self.looked.append((attempt_id, result, severity))
        look = Inspection(attempt_id=attempt_id, inspector="s1", result=(result,))
        return Inspected(look, self.setter, ("good",), ())

    def _plate_to_judge(self, setter_id: str, plate: str = "") -> PlateToJudge:
        self.calls.append(f"plate {setter_id} {plate}")
        names = ("B", "A")
        wanted = plate or names[0]
        positions = tuple(
            PositionToJudge(
                position=str(n),
                attempt_id=f"{wanted}{n}" if n != 7 else "",
                grade="copper-2.0",
                drawn=n == 4,
                given=self._given(f"{wanted}{n}"),
            )
            for n in range(1, 12)
        )
        return PlateToJudge("Bram Osk", setter_id, wanted, 5, positions, names)

    def _given(self, attempt_id: str) -> LookGiven | None:
        looks = [look for look in self.looked if look[0] == attempt_id]
        if not looks:
            return None
        _, result, severity = looks[-1]
        weights = (int(severity),) if severity else ()
        said = self.said_on.get(attempt_id, "")
        return LookGiven(attempt_id, (result,), weights, said, ("good",), ())

    def _write_to(self, text: str, *, setter: str = "", whole_class: str = "") -> Written:
        self.calls.append(f"{text} to {setter or whole_class}")
        message = Message(author="Tutor", setter_id=setter or None, text=text)
        return Written(message, setter or whole_class, f"Written to {setter or whole_class}.")

    def _comment_on(self, inspection_id: str, comment: str) -> str:
        self.said_on[inspection_id] = comment
        return comment

    def _read_news(self) -> Received:
        self._called("read news")
        self.news = ""
        return self.received

    def _said_of(self, attempt_id: str) -> Received:
        looks = tuple(x for x in self.received.looks if x.attempt_id == attempt_id)
        return dataclasses.replace(self.received, looks=looks, words=())

    def _seat(self, setter_id: str) -> None:
        self.setter_id = setter_id
        self.setter = next(
            person.setter.name for person in self.everyone if person.setter.setter_id == setter_id
        )

    def _seat_new(self, name: str) -> None:
        self.setter, self.setter_id = name, f"new {name}"

    def _practise(self, *, grade: str | None, exercise: str | None) -> Chosen:
        self._called("practise")
        self.calls.append(f"practise {grade} {exercise}")
        return Chosen("Your choice.", ("It counts as always.",))

    def _settle(self, variable: str, defect: str) -> Chosen:
        self._called("settle")
        self.calls.append(f"settle {variable} {defect}")
        return Chosen("Block 1: 8 settings.", ("Seat bur, by lot.",))

    def _chose(self, what: str, sentence: str) -> str:
        self.calls.append(what)
        return sentence

    def _undo(self) -> str:
        self._called("undo")
        return "Taken back: the attempt of 18:42."

    def _log_page(
        self, *, words: str, before: Cursor | None, everyone: bool, order: Order
    ) -> LogPage:
        """A page of the rows that have all the words."""
        del everyone
        self.calls.append(f"log {words} {order}".strip())
        kept = tuple(r for r in self.rows if all(w in str(r) for w in words.split()))
        start = int(before.before.attempt_id or 0) if before is not None else 0
        end = start + PAGE
        older = Cursor(an_attempt(attempt_id=str(end))) if end < len(kept) else None
        return LogPage(kept[start:end], len(kept), older)

    def _findings(self, *, asked: Asked) -> FindingsWithValues:
        self.calls.append(f"{asked.text} findings".strip())
        behind = dict(enumerate(self.behind))
        values = tuple(behind.get(place) for place in range(len(self.found.findings)))
        drawn = (*self.found.findings, *self.found.retired)
        return FindingsWithValues(
            self.found, values, tuple(map(bench.a_picture, drawn)), self.trials
        )

    def _class_register(self) -> ClassRegister:
        self._called("class register")
        return ClassRegister("t", "Thursday", self.register)

    def _called(self, name: str) -> None:
        self.calls.append(name)
        if self.fault is not None:
            raise self.fault
        if self.fails_next == name:
            self.fails_next = ""
            raise OSError(5, "Input/output error")


def _values(attempt_id: str) -> Mapping[str, str]:
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


def _history(attempt_id: str) -> tuple[str, ...]:
    """Two changes."""
    return (f"{attempt_id}: recorded", "result: good became tilted")


def _written(file: str, *, words: str, everyone: bool, attempt_ids: Sequence[str]) -> str:
    """What would be written."""
    return f"{file}: {words!r} {everyone} {', '.join(attempt_ids)}"
