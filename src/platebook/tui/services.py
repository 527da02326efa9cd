"""What the screens may ask for; `desk_services` hands it to the use cases.

Every call is made in a thread worker and returns one frozen value.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from platebook.advice.standing import QueueRow, Standing
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.progress import Progress
    from platebook.logbook.wanted import Order
    from platebook.services.course_view import CourseView
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


class Services(Protocol):
    """Everything a screen may ask; a fault of the logbook is raised as `LogbookUnusable`."""

    @property
    def setter(self) -> str:
        """Who is at the bench; empty until the desk is open."""

    @property
    def invented(self) -> bool:
        """Whether the logbook holds the invented class."""

    def open(self) -> bool:
        """Take the desk; True where nobody has been set up yet."""

    def clock(self) -> datetime:
        """The time at the bench."""

    def new_id(self) -> str:
        """An id for an attempt that begins now."""

    def offers(self) -> "tuple[tuple[OfferedCourse, ...], tuple[Tool, ...]]":
        """The courses and the tools that a first start offers."""

    def begin(self, name: str, course_id: str, tools: "Sequence[Tool]") -> None:
        """Set up the first setter."""

    def now(self) -> "NowView":
        """The next exercise with all that stands beside it."""

    def show_steps(self, *, shown: bool) -> None:
        """Remember whether the list of steps is unfolded."""

    def record(self, row: Mapping[str, object]) -> "Recorded":
        """Add one attempt."""

    def record_all(self, rows: "Sequence[Mapping[str, object]]") -> "Recorded":
        """Add attempts as one change."""

    def amend(self, attempt_id: str, values: Mapping[str, object]) -> "Recorded":
        """Correct fields of one attempt."""

    def values(self, attempt_id: str) -> Mapping[str, str]:
        """All fields of one attempt as text."""

    def hide(self, *attempt_ids: str) -> str:
        """Hide attempts as one change; says what was done."""

    def write_out(
        self, file: str, words: str, *, everyone: bool, attempt_ids: "Sequence[str]"
    ) -> str:
        """Write the attempts shown, or those named, to a new file; says what was done."""

    def undo(self) -> str:
        """Take the last change back; says what was done."""

    def redo(self) -> str:
        """Put back what was taken back; says what was done."""

    def remedies(self, result: str) -> tuple[str, ...]:
        """What now: sentences for this result."""

    def log_page(
        self, words: str, before: "Cursor | None", *, everyone: bool, order: "Order" = "time"
    ) -> "LogPage":
        """One page of attempts, newest or largest first."""

    def history(self, attempt_id: str) -> tuple[str, ...]:
        """Every change of one attempt, as sentences."""

    def findings(self) -> "FindingsWithValues":
        """What goes with failure, with the measured values behind it."""

    def progress(self) -> "Progress":
        """Where each grade stands."""

    def course(self) -> "CourseView":
        """The course of the setter, with where each grade stands."""

    def drawer(self) -> "tuple[DrawerRow, ...]":
        """The tools of the setter."""

    def put_in(self, typed: str) -> str:
        """Put a tool into the drawer; says what was put in."""

    def change_tool(self, tool_id: str, typed: str) -> str:
        """Change a tool of the drawer; says what it is now."""

    def take_out(self, tool_id: str) -> str:
        """Take a tool out of the drawer; says what was done."""

    def class_now(self, watch: "Watch") -> "tuple[tuple[Standing, ...], tuple[QueueRow, ...]]":
        """A line a setter, and what to look at first."""

    def class_findings(self, watch: "Watch") -> "ClassFindings":
        """What goes with failure across the class."""

    def look_at(
        self, attempt_id: str, result: str, severity: str, comment: str = ""
    ) -> "Inspected":
        """Record a look at an attempt; only then its own verdict is told."""

    def sign_off(self, setter_id: str, grade: str) -> str:
        """Sign a grade off for a setter; says what was done."""

    def second_look(self) -> "SecondLook":
        """What waits to be judged again."""

    def judge_again(self, attempt_id: str, result: str, severity: str) -> "Inspected":
        """Take a second verdict down; only then the first one is told."""

    def people(self) -> "tuple[Listed, ...]":
        """Everyone in the logbook."""

    def seat(self, setter_id: str) -> None:
        """Let this person sit down at the bench."""

    def add_person(self, name: str) -> None:
        """Add a person and let them sit down."""

    def drafts(self) -> "Drafts":
        """The keeper of what is typed and not saved yet."""
