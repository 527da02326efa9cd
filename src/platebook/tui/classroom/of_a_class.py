"""What is asked of the class in view: another one, a new one, its terms, who came, its page."""

from collections.abc import Callable
from functools import partial

from textual import on

from platebook.services.attempts.recording import undo
from platebook.services.classes.compare import Comparison, NoFirstDay, begin_class, compare_terms
from platebook.services.classes.inspections import can_take_back
from platebook.services.classes.last_looks import AtTheirGrade, at_their_grade
from platebook.services.classes.plate_looks import plate_as_judged
from platebook.services.pages.handouts import class_page_here
from platebook.services.people.at_the_bench import InView
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.beside import BesidePart, PlateSeen
from platebook.tui.classroom.new_class_screen import NewClassScreen
from platebook.tui.classroom.pick_class_screen import PickClassScreen
from platebook.tui.classroom.register_screen import RegisterScreen
from platebook.tui.messages import Answered, Done, Said, ServiceFailed
from platebook.tui.parts.text import line
from platebook.tui.parts.widgets import AskedLine, PickList

NOTHING_TO_UNDO = "No look or message of yours is there to be taken back."
FIRST_DAY_ASKED = "the first day of {name}, such as 2026-01-08"


class OfAClass(ListScreen[None]):
    """A list of people with the class they are in; with everyone in view, what needs a class asks.

    A subclass sets `in_view` when it has read it, and then calls `go_on_with_class`.
    """

    class Compared(Answered[Comparison]):
        """This term beside the ones before."""

    class Begun(Answered[str]):
        """The class has a first day."""

    class GradeRead(Answered[AtTheirGrade]):
        """What is known of a setter's work at a grade."""

    class PlateRead(Answered[PlateSeen]):
        """A plate of the one marked."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.in_view = InView()
        self.of_a_class: Callable[[], None] | None = None
        self.asks_first_day = False

    @on(ServiceFailed)
    def ask_first_day(self, event: ServiceFailed) -> None:
        """Ask on which day the class began where nothing can be compared without; else tell it."""
        if isinstance(event.error, NoFirstDay):
            event.stop()
            event.prevent_default()
            self.asks_first_day = True
            asked = FIRST_DAY_ASKED.format(name=line(event.error.name))
            self.query_one(AskedLine).ask(placeholder=asked)

    def begin_on(self, typed: str) -> None:
        """Write down the first day that was typed; the terms are compared then."""
        self.ask(partial(self.session.call, begin_class, typed), self.Begun)

    @on(Begun)
    def compare_now(self) -> None:
        """What waited for a first day."""
        self.action_compare()

    @on(BesidePart.Wanted)
    def read_grade(self, event: BesidePart.Wanted) -> None:
        """Read what is known of the setter marked at the grade that is looked at."""
        call = partial(self.session.call, at_their_grade, event.setter_id, event.grade)
        self.ask_at_rest(call, self.GradeRead)

    @on(GradeRead)
    def show_grade_read(self, event: GradeRead) -> None:
        """Show it beside the list."""
        self.query_one(BesidePart).take(event.value)

    @on(BesidePart.PlateWanted)
    def read_plate(self, event: BesidePart.PlateWanted) -> None:
        """Read the plate that is to be shown beside the list."""
        key, call = event.key, partial(self.session.call, plate_as_judged, *event.key)
        self.ask_at_rest(lambda: PlateSeen(key, call()), self.PlateRead)

    @on(PlateRead)
    def show_plate_read(self, event: PlateRead) -> None:
        """Show it beside the list, if its setter is still marked."""
        self.query_one(BesidePart).take_plate(event.value)

    def go_on_with_class(self) -> None:
        """Do what waited for a class, if one is in view now."""
        asked, self.of_a_class = self.of_a_class, None
        if asked is not None and self.in_view.class_id is not None:
            asked()

    def of_one_class(self, what: Callable[[], None]) -> None:
        """Do this for the class in view; with everyone in view, for the one that is picked now."""
        if self.in_view.class_id is not None:
            what()
        else:
            self.of_a_class = what
            self.action_classes()

    def action_classes(self) -> None:
        """Show another class, or everyone; one class, where something waits for that."""
        picks = PickClassScreen(self.session, with_everyone=self.of_a_class is None)
        self.app.push_screen(picks, self._another)

    def action_new_class(self) -> None:
        """Make a class."""
        self.app.push_screen(NewClassScreen(self.session), self._made)

    def action_compare(self) -> None:
        """Say how this term goes beside the ones before."""
        call = partial(self.session.call, compare_terms)
        self.of_one_class(lambda: self.ask(call, self.Compared))

    def action_undo(self) -> None:
        """Take the last look back, or what else was done about a class; never one's own work."""

        def taken_back() -> str:
            return self.session.call(undo) if self.can_take_back() else NOTHING_TO_UNDO

        self.ask(taken_back, Done)

    def can_take_back(self) -> bool:
        """Whether `u` has anything to take back here; asks the logbook, so call it in a worker."""
        return self.session.call(can_take_back)

    def action_register(self) -> None:
        """See who came on each evening."""

        def register() -> None:
            self.app.push_screen(RegisterScreen(self.session))

        if self.in_view.one_of_many:
            self.of_one_class(register)
        else:
            register()

    def action_report(self) -> None:
        """Write the page of the class in view; a file to print."""
        where = self.in_view
        call = partial(self.session.call, class_page_here, where.class_id, where.called)
        self.ask(call, Said)

    def _another(self, changed: bool | None) -> None:  # noqa: FBT001 - what the window answers
        if not changed:
            self.of_a_class = None
        else:
            self.query_one(PickList).marked = 0
            self.tell("")
            self.load()

    def _made(self, sentence: str | None) -> None:
        if sentence:
            self.tell(sentence)
            self.load()
