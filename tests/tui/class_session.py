"""A session whose answers stand in a table, with those about a class and its people."""

import dataclasses
import threading
from collections.abc import Callable
from datetime import date
from typing import Any, Concatenate

from tests.tui import class_values

from platebook.advice.class_standing import QueueRow, SetterLine
from platebook.advice.inspection_queue import by_need
from platebook.analysis.classes.register import Register
from platebook.analysis.classes.terms import TermSoFar
from platebook.analysis.findings.telling.results import ClassFindings
from platebook.logbook.erasures.held_back import ErasingAsked
from platebook.logbook.signing.left_out import LeftOut
from platebook.practice.records import Inspection, Message, SignOff
from platebook.practice.results import Outcome
from platebook.services.classes.class_answers import class_findings
from platebook.services.classes.compare import (
    ComparedTerm,
    Comparison,
    NoFirstDay,
    begin_class,
    compare_terms,
)
from platebook.services.classes.enrolment import ListedClass, list_classes
from platebook.services.classes.inspections import Inspected, Signed, class_now, inspect, sign_off
from platebook.services.classes.last_looks import at_their_grade
from platebook.services.classes.messages import Written, write_to
from platebook.services.classes.plate_looks import (
    LookGiven,
    PlateToJudge,
    PositionToJudge,
    comment_on,
    plate_as_judged,
    plate_to_judge,
)
from platebook.services.classes.register import ClassRegister, class_register
from platebook.services.classes.second_look import AgainRow, SecondLook, judge_again, second_look
from platebook.services.findings import Asked
from platebook.services.pages.handouts import class_page_here
from platebook.services.people.at_the_bench import (
    AtTheBench,
    InView,
    at_the_bench,
    class_in_view,
    seat_new,
    view_class,
)
from platebook.services.people.doubles import Known, KnownTeacher, Pair, unite, unite_teachers
from platebook.services.people.going import Going, erase, setter_going, teacher_going
from platebook.services.people.person_page import PersonPage, person_page
from platebook.services.people.setters import ListedSetter, switch_setter, turn_seats
from platebook.services.people.teachers import ListedTeacher, switch_teacher
from platebook.services.progress_callback import Stopped, Watch
from platebook.services.session import Refused, Session
from platebook.services.sharing.erasings import erasings, keep_erasing, obey_erasing
from platebook.services.sharing.let_in import let_in_from_folder
from platebook.services.sharing.share_ahead import ShareAhead, share_ahead
from platebook.services.sharing.share_now import share_now
from platebook.services.sharing.share_progress import OTHERS, ShareProgress
from platebook.services.sharing.unsigned import leave_left_out, left_out_here, take_left_out
from platebook.services.sharing.who_is_mine import Waiting
from platebook.tui.bench_session import Answer, Arguments, BenchSession


@dataclasses.dataclass
class SessionOfAClass(BenchSession):
    """Answers use cases from values given to it, and remembers what it was asked to record.

    `answers` holds, by use case, what stands in for it here; a use case that is not in it fails.
    """

    asked: tuple[ErasingAsked, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    everyone: tuple[ListedSetter, ...] = class_values.EVERYONE
    standings: tuple[SetterLine, ...] = class_values.STANDINGS
    queue: tuple[QueueRow, ...] = class_values.QUEUE
    class_found: ClassFindings = dataclasses.field(default_factory=class_values.some_class_findings)
    long: bool = False
    again: tuple[AgainRow, ...] = class_values.AGAIN
    setter: str = "Ottoline Marsh"
    setter_id: str | None = "s1"
    fault: Exception | None = None
    in_view: InView = dataclasses.field(default_factory=InView)
    register: Register = dataclasses.field(default_factory=lambda: Register((), ()))
    classes_there: tuple[ListedClass, ...] = ()
    teachers: tuple[ListedTeacher, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    pairs: tuple[Pair[Known], ...] = ()
    teacher_pairs: tuple[Pair[KnownTeacher], ...] = ()
    teaches: bool = False
    shares_at: str = "s3://school/thursday"
    begins: str = "2026-01-08"

    def __post_init__(self) -> None:
        self.looked: list[tuple[str, str, str]] = []
        self.comments: list[str] = []
        self.said_on: dict[str, str] = {}
        self.signed: list[tuple[str, str]] = []
        self.calls: list[str] = []
        self.called_for: str | None = None
        self.fails_next = ""
        self.let_go = threading.Event()
        self.answers: dict[Callable[..., Any], Callable[..., Any]] = {
            comment_on: self._comment_on,
            plate_to_judge: self._plate_to_judge,
            plate_as_judged: self._plate_as_judged,
            at_their_grade: class_values.at_their_grade,
            class_findings: self._class_findings,
            class_now: self._class_now,
            class_in_view: lambda: self.in_view,
            view_class: self._view_class,
            list_classes: lambda: self.classes_there,
            class_register: self._class_register,
            class_page_here: lambda class_id, called: f"Written to class-{class_id}-{called}.html.",
            begin_class: self._begin_class,
            compare_terms: self._compare_terms,
            at_the_bench: lambda: AtTheBench(
                self.everyone,
                self.everyone,
                self.in_view,
                self.teachers,
                self.waiting,
                self.pairs,
                self.teacher_pairs,
            ),
            person_page: self._person_page,
            switch_teacher: self._seat_teacher,
            unite: lambda pair: f"{pair.gone.name} and {pair.keep.name} are one now.",
            unite_teachers: lambda pair: f"{pair.gone.name} is now {pair.keep.name}.",
            setter_going: self._setter_going,
            teacher_going: lambda who: Going(
                "teacher", who, "Isolde Crane", "No more.", much=False
            ),
            erase: lambda going: f"{going.name} is erased.",
            share_ahead: lambda: ShareAhead(
                self.shares_at, 3, 2, 4, class_values.HEARD if self.shares_at else ()
            ),
            share_now: self._share_now,
            let_in_from_folder: lambda one, into: f"{one.name} is let in ({into}).",
            erasings: lambda: self.asked,
            left_out_here: lambda: self.left_out,
            take_left_out: lambda left: f"1 attempt of {left.name} comes in.",
            leave_left_out: lambda left: f"1 attempt of {left.name} stays out.",
            obey_erasing: lambda person: f"{person} is erased here.",
            keep_erasing: lambda person: f"{person} stays in this logbook.",
            inspect: self._inspect,
            judge_again: self._judge_again,
            switch_setter: self._seat,
            seat_new: self._seat_new,
            second_look: self._second_look,
            sign_off: self._sign_off,
            turn_seats: self._turn_seats,
            write_to: self._write_to,
        }

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

    def _setter_going(self, setter_id: str) -> Going:
        (person,) = (p for p in self.everyone if p.setter.setter_id == setter_id)
        name, much = person.setter.name, bool(person.attempts)
        return Going("setter", setter_id, name, f"{name} goes.", much=much)

    def _share_now(self, typed: str, progress: ShareProgress) -> tuple[str, ...]:
        """Two files, of which one is new; it may take long."""
        self.calls.append(f"share {typed}")
        progress.begins(OTHERS)
        self.take_long(progress.watch)
        if "nowhere" in typed:
            raise Refused(f"{typed}: is not there. Nothing was shared.")
        return class_values.CAME

    def _turn_seats(self, setter_id: str) -> str:
        self._called(f"seats of {setter_id}")
        return "Ottoline Marsh: nobody prepares seats, they cut their own."

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

    def _person_page(self, listed: ListedSetter) -> PersonPage:
        setter_id = listed.setter.setter_id or ""
        standing = next(line for line in self.standings if line.setter_id == setter_id)
        waits = [row for row in class_values.QUEUE if row.setter_id == setter_id]
        reasons = tuple(reason.sentence for row in waits for reason in row.reasons)
        return PersonPage(setter_id, standing, reasons, class_values.KEYS)

    def _seat_teacher(self, teacher_id: str) -> None:
        (self.setter,) = (
            t.teacher.name for t in self.teachers if t.teacher.teacher_id == teacher_id
        )
        self.teaches = True

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
        return self._plate_as_judged(setter_id, plate)

    def _plate_as_judged(self, setter_id: str, plate: str = "") -> PlateToJudge:
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
        outcome: Outcome = "good" if result == "good" else "failed"
        return LookGiven(attempt_id, (result,), weights, said, ("good",), (), outcome)

    def _begin_class(self, typed: str) -> str:
        self.calls.append(f"begins {typed}")
        self.begins = typed
        return f"Thursday: begins {typed}."

    def _compare_terms(self) -> Comparison:
        if not self.begins:
            raise NoFirstDay("Thursday")
        so_far = TermSoFar(2, 2, 25, 41, 0.61, 0.5, 0.7, 2, 1.0, 0.5, 1.5)
        return Comparison(
            "Thursday", 8, (ComparedTerm("t", "Thursday", date(2026, 1, 8), None, so_far),)
        )

    def _write_to(self, text: str, *, setter: str = "", whole_class: str = "") -> Written:
        self.calls.append(f"{text} to {setter or whole_class}")
        message = Message(author="Tutor", setter_id=setter or None, text=text)
        return Written(message, setter or whole_class, f"Written to {setter or whole_class}.")

    def _comment_on(self, inspection_id: str, comment: str) -> str:
        self.said_on[inspection_id] = comment
        return comment

    def _seat(self, setter_id: str) -> None:
        self.setter_id = setter_id
        self.setter = next(
            person.setter.name for person in self.everyone if person.setter.setter_id == setter_id
        )

    def _seat_new(self, name: str) -> None:
        self.setter, self.setter_id = name, f"new {name}"

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
