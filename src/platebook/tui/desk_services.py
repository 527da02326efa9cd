"""The one place that hands what screens ask to the use cases.

Every call is made in a thread worker and returns one frozen value. The use cases are imported
inside the calls, so that the first paint comes before pydantic, numpy and the logbook's library.
"""

import threading
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from textual.worker import get_current_worker

if TYPE_CHECKING:
    from platebook.advice.standing import QueueRow, Standing
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.progress import Progress
    from platebook.logbook.wanted import Order
    from platebook.services.course_view import CourseView
    from platebook.services.desk import Desk
    from platebook.services.drafts import Drafts
    from platebook.services.drawer_view import DrawerRow
    from platebook.services.finding_values import FindingsWithValues
    from platebook.services.first_run import OfferedCourse
    from platebook.services.inspecting import Inspected
    from platebook.services.log import Cursor, LogPage
    from platebook.services.now import NowView
    from platebook.services.progress_callback import Watch
    from platebook.services.recording import Recorded
    from platebook.services.roster import Listed
    from platebook.services.second_look import SecondLook
    from platebook.trade.drawer import Tool

PATIENCE_S = 0.1
"""How often a question that waits for the desk looks whether it is still wanted."""


class DeskServices:
    """The services of one desk, which is taken when `open` is first called.

    A question asked before that waits for it, so that keys typed ahead of the first paint count.
    """

    def __init__(self, desk_factory: "Callable[[], Desk]") -> None:
        self._desk_factory = desk_factory
        self._taken: Desk | None = None
        self._opened = threading.Event()
        self._fault: Exception | None = None
        self._drafts: Drafts | None = None

    @property
    def setter(self) -> str:
        """Who is at the bench; empty until the desk is open."""
        return self._taken.setter_name if self._taken is not None else ""

    @property
    def invented(self) -> bool:
        """Whether the logbook holds the invented class."""
        return self._taken is not None and self._taken.invented

    def open(self) -> bool:
        """Take the desk; True where nobody has been set up yet."""
        from platebook.services.first_run import is_new

        self._opened.clear()
        try:
            self._taken = self._desk_factory()
        except Exception as error:
            self._fault = error
            raise
        finally:
            self._opened.set()
        return is_new(self._taken)

    def clock(self) -> datetime:
        """The time at the bench."""
        return self._desk.clock()

    def new_id(self) -> str:
        """An id for an attempt that begins now; ids sort by the time they were made."""
        from uuid_utils import uuid7

        return str(uuid7())

    def offers(self) -> "tuple[tuple[OfferedCourse, ...], tuple[Tool, ...]]":
        """The courses and the tools that a first start offers."""
        from platebook.services.first_run import offered_courses, offered_tools

        return offered_courses(), offered_tools()

    def begin(self, name: str, course_id: str, tools: "Sequence[Tool]") -> None:
        """Set up the first setter and take the desk in their name."""
        from platebook.services.first_run import begin

        self._taken = begin(self._desk, name=name, course_id=course_id or None, tools=tools)

    def now(self) -> "NowView":
        """The next exercise with all that stands beside it."""
        from platebook.services.now import now

        return now(self._desk)

    def show_steps(self, *, shown: bool) -> None:
        """Remember whether the list of steps is unfolded."""
        from platebook.services.now import show_steps

        show_steps(self._desk, shown=shown)

    def record(self, row: Mapping[str, object]) -> "Recorded":
        """Add one attempt."""
        from platebook.services.recording import record

        return record(self._desk, [row])

    def record_all(self, rows: Sequence[Mapping[str, object]]) -> "Recorded":
        """Add attempts as one change."""
        from platebook.services.recording import record

        return record(self._desk, rows)

    def amend(self, attempt_id: str, values: Mapping[str, object]) -> "Recorded":
        """Correct fields of one attempt."""
        from platebook.services.recording import amend

        return amend(self._desk, attempt_id, values)

    def values(self, attempt_id: str) -> Mapping[str, str]:
        """All fields of one attempt as text."""
        from platebook.services.log import attempt_values

        return attempt_values(self._desk, attempt_id)

    def hide(self, *attempt_ids: str) -> str:
        """Hide attempts as one change; says what was done."""
        from platebook.services.recording import hide

        return hide(self._desk, *attempt_ids)

    def write_out(
        self, file: str, words: str, *, everyone: bool, attempt_ids: Sequence[str]
    ) -> str:
        """Write the attempts shown, or those named, to a new file; says what was done."""
        from pathlib import Path

        from platebook.services.importing import export_file

        path = Path(file).expanduser().absolute()
        count = export_file(
            self._desk, path, everyone=everyone, words=words, attempt_ids=attempt_ids
        )
        return f"{count} attempts written to {path}"

    def undo(self) -> str:
        """Take the last change back; says what was done."""
        from platebook.services.recording import undo

        return undo(self._desk)

    def redo(self) -> str:
        """Put back what was taken back; says what was done."""
        from platebook.services.recording import redo

        return redo(self._desk)

    def remedies(self, result: str) -> tuple[str, ...]:
        """What now: sentences for this result."""
        from platebook.services.recording import remedy_for

        return remedy_for(result)

    def log_page(
        self, words: str, before: "Cursor | None", *, everyone: bool, order: "Order" = "time"
    ) -> "LogPage":
        """One page of attempts, newest or largest first."""
        from platebook.services.log import log_page

        return log_page(self._desk, words=words, before=before, everyone=everyone, order=order)

    def history(self, attempt_id: str) -> tuple[str, ...]:
        """Every change of one attempt, as sentences."""
        from platebook.services.log import attempt_history

        return attempt_history(self._desk, attempt_id)

    def findings(self) -> "FindingsWithValues":
        """What goes with failure, with the measured values behind it."""
        from platebook.services.finding_values import findings_with_values

        return findings_with_values(self._desk)

    def progress(self) -> "Progress":
        """Where each grade stands."""
        from platebook.services.answers import progress

        return progress(self._desk)

    def course(self) -> "CourseView":
        """The course of the setter, with where each grade stands."""
        from platebook.services.course_view import course_view

        return course_view(self._desk)

    def drawer(self) -> "tuple[DrawerRow, ...]":
        """The tools of the setter."""
        from platebook.services.drawer_view import drawer_view

        return drawer_view(self._desk)

    def put_in(self, typed: str) -> str:
        """Put a tool into the drawer; says what was put in."""
        from platebook.services.drawer_view import put_in

        return put_in(self._desk, typed)

    def change_tool(self, tool_id: str, typed: str) -> str:
        """Change a tool of the drawer; says what it is now."""
        from platebook.services.drawer_view import change

        return change(self._desk, tool_id, typed)

    def take_out(self, tool_id: str) -> str:
        """Take a tool out of the drawer; says what was done."""
        from platebook.services.drawer_view import take_out

        return take_out(self._desk, tool_id)

    def class_now(self, watch: "Watch") -> "tuple[tuple[Standing, ...], tuple[QueueRow, ...]]":
        """A line a setter, and what to look at first."""
        from platebook.services.inspecting import class_now

        return class_now(self._desk, watch=watch)

    def class_findings(self, watch: "Watch") -> "ClassFindings":
        """What goes with failure across the class."""
        from platebook.services.class_answers import class_findings

        return class_findings(self._desk, watch=watch)

    def look_at(
        self, attempt_id: str, result: str, severity: str, comment: str = ""
    ) -> "Inspected":
        """Record a look at an attempt; only then its own verdict is told."""
        from platebook.services.inspecting import inspect

        return inspect(self._desk, attempt_id, result, severity=severity, comment=comment)

    def sign_off(self, setter_id: str, grade: str) -> str:
        """Sign a grade off for a setter; says what was done."""
        from platebook.services.signing import sign_off

        return sign_off(self._desk, setter_id, grade).sentence

    def second_look(self) -> "SecondLook":
        """What waits to be judged again."""
        from platebook.services.second_look import second_look

        return second_look(self._desk)

    def judge_again(self, attempt_id: str, result: str, severity: str) -> "Inspected":
        """Take a second verdict down; only then the first one is told."""
        from platebook.services.second_look import judge_again

        return judge_again(self._desk, attempt_id, result, severity)

    def people(self) -> "tuple[Listed, ...]":
        """Everyone in the logbook."""
        from platebook.services.roster import listed

        return listed(self._desk)

    def seat(self, setter_id: str) -> None:
        """Let this person sit down; the logbook takes them as given from then on."""
        from platebook.services.roster import use_setter

        found = use_setter(self._desk, setter_id)
        self._taken = self._desk.for_setter(found.setter_id or "", found.name)

    def add_person(self, name: str) -> None:
        """Add a person and let them sit down."""
        from platebook.services.roster import add_setter

        added = add_setter(self._desk, name)
        self.seat(added.setter_id or "")

    def drafts(self) -> "Drafts":
        """The keeper of what is typed and not saved yet, one for this window."""
        from platebook.services.drafts import Drafts

        if self._drafts is None:
            self._drafts = Drafts.beside(self._desk.path)
        return self._drafts

    @property
    def _desk(self) -> "Desk":
        while not self._opened.wait(PATIENCE_S):
            # Someone who leaves before the desk is open is not kept waiting for it.
            if get_current_worker().is_cancelled:
                raise RuntimeError("the app was left before the desk was open")
        if self._taken is None:
            raise self._fault or RuntimeError("the desk could not be opened")
        return self._taken
