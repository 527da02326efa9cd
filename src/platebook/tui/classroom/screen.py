"""Class: a glance at each setter, and the queue of what to look at, judged by the number pad."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Input

from platebook.practice.results import RESULT_KEYS
from platebook.reports.text.class_text import verdicts_line
from platebook.services.classes.inspections import Inspected, class_now, inspect, sign_off
from platebook.services.classes.messages import write_to
from platebook.services.pages.handouts import card_here
from platebook.services.people.at_the_bench import InView, class_in_view
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.beside import Beside, BesidePart, beside_due, beside_standing
from platebook.tui.classroom.class_list import SLIM, TALL, WIDE, ClassList
from platebook.tui.classroom.heads import EMPTY, class_head, message_head, queue_head, terms_head
from platebook.tui.classroom.of_a_class import OfAClass
from platebook.tui.classroom.offered import IN_QUEUE, unfit_in_class, unfit_in_queue
from platebook.tui.classroom.words import Looking, legend, plates_of, with_keys
from platebook.tui.messages import Answered, Done, Said
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.long_bar import LongBar
from platebook.tui.parts.text import line
from platebook.tui.parts.widgets import AskedLine, PickList, TitleLine, Words
from platebook.tui.places import PLACES

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueRow, SetterLine
    from platebook.services.progress_callback import Watch
    from platebook.tui.classroom.words import WantedPlate

    ClassNow = tuple[tuple[SetterLine, ...], tuple[QueueRow, ...], InView, bool]


WAITING = "Reading the class …"
STOPPED = "Stopped; what is read so far is kept. k reads on."
COMMENT_ASKED = "a comment in words"
MESSAGE_ASKED = "the message"
WORDS_LATER = "Judge it first: w then writes words to it. Messages are written from the class: q."
FIXED_LINES, PLATE_LINES = 12, 3
"""Lines of a narrow window beside the list and a plate, and those that a plate takes."""
QUEUE = "Queue: what to look at"
NOTHING_TO_SIGN = "No grade of theirs waits for a sign-off."


class ClassScreen(OfAClass):
    """The class by need, the one marked below or beside it; q changes to the queue, and back."""

    PLACE: ClassVar[str] = "class"
    DEFAULT_CSS = """
    ClassScreen {
        PickList { width: 1fr; padding: 0 1; border-right: solid $rule; }
        #one { width: 38; height: 1fr; }
        &.-slim #one { width: 29; }
        #parts.at-a-glance { layout: vertical; }
        .at-a-glance > PickList { border: none; }
        .at-a-glance > #one { width: 1fr; height: auto; max-height: 50%; background: $surface; }
        &.-wide #parts.at-a-glance, &.-broad #parts.at-a-glance { layout: horizontal; }
        &.-wide #one, &.-wide .at-a-glance > #one { width: 42; height: 1fr; max-height: 100%; }
        &.-broad #one, &.-broad .at-a-glance > #one { width: 70; height: 1fr; max-height: 100%; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - as Textual has it
        (0, "-slim"),
        (SLIM, "-narrow"),
        (110, "-wide"),
        (160, "-broad"),
    ]

    class Loaded(Answered["ClassNow"]):
        """The class, its queue, which class it is, and whether anything can be taken back."""

    class WhatAllShare(Message):
        """What goes with failure across the class is asked for."""

    class JudgePlate(Message):
        """Whole plates are to be judged: the one marked, and then those below it."""

        def __init__(self, plates: "Sequence[WantedPlate]") -> None:
            super().__init__()
            self.plates = plates

    class Looked(Answered[Inspected]):
        """An inspection is recorded, and the setter's own verdict may be told."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.standings: tuple[SetterLine, ...] | None = None
        self.by_weight: tuple[QueueRow, ...] = ()
        self.by_student = False
        self.inspecting = False
        self.looking = Looking()
        self.writing_to: tuple[str, str] | None = None
        self.sentence = ""
        self.undoable = False

    @property
    def queue(self) -> "Sequence[QueueRow]":
        """What to look at, in the order asked for: by weight, or student by student."""
        if not self.by_student:
            return self.by_weight
        places = {setter.setter_id: place for place, setter in enumerate(self.standings or ())}
        return sorted(self.by_weight, key=lambda row: places.get(row.setter_id, len(places)))

    def body(self) -> ComposeResult:
        """One topic for all, the list, the one marked, what was done."""
        yield Headline(WAITING)
        yield LongBar()
        with Horizontal(id="parts", classes="at-a-glance"):
            yield ClassList()
            yield BesidePart(id="one")
        yield AskedLine(id="comment")
        yield Words(id="told")

    def on_resize(self) -> None:
        """More or less of the reasons may fit."""
        self.show()

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        self.ask_long(self._read, self.Loaded)

    def _read(self, watch: "Watch") -> "ClassNow":
        in_view = self.session.call(class_in_view)
        standings, queue = self.session.call(class_now, in_view.class_id, watch=watch)
        return standings, queue, in_view, self.can_take_back()

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last line."""
        self.sentence = sentence
        self.show()

    @on(Loaded)
    def show_class(self, event: Loaded) -> None:
        """Show the class, or the queue; the mark stays on its setter, wherever they stand now."""
        before, picks = self.standings, self.query_one(PickList)
        marked = before[picks.marked].setter_id if before and not self.inspecting else ""
        self.standings, self.by_weight, self.in_view, self.undoable = event.value
        self.query_one(BesidePart).forget()
        for place, setter in enumerate(self.standings):
            if setter.setter_id == marked:
                picks.marked = place
        self.query_one(LongBar).hide()
        self.show()
        self.go_on_with_class()

    @on(Looked)
    def show_looked(self, event: Looked) -> None:
        """Tell both verdicts, and go on to what is due next."""
        inspected = event.value
        self.sentence = verdicts_line(
            inspected.inspection,
            line(inspected.setter),
            (inspected.own_result, inspected.own_severity),
        )
        self._look_anew()
        self.load()

    @on(Done)
    def show_done(self, event: Done) -> None:
        """Say what was done, and read again."""
        self.sentence = event.value
        self.load()

    @on(OfAClass.Compared)
    def show_terms(self, event: OfAClass.Compared) -> None:
        """The terms under each other, until another row is marked."""
        self.sentence = ""
        self.query_one(Headline).show(terms_head(event.value))
        self._show_told()

    @on(PickList.Marked)
    def show_one(self) -> None:
        """What is known of the one marked."""
        place = self.query_one(PickList).marked
        standings = self.standings or ()
        if self.inspecting and self.queue:
            row = self.queue[min(place, len(self.queue) - 1)]
            whole = self.size.width >= WIDE
            self._show_beside(beside_due(row, self.looking, standings, whole=whole))
        elif not self.inspecting and standings:
            setter = standings[min(place, len(standings) - 1)]
            brief = self.size.height < TALL
            self._show_beside(beside_standing(setter, self.by_weight, brief=brief))
        else:
            self._show_beside(Beside())

    def _show_beside(self, seen: Beside) -> None:
        """The one marked, with their plate where there is room for it."""
        free = self.size.height - FIXED_LINES - len(self.standings or ())
        room = self.size.width >= WIDE or free >= PLATE_LINES
        if self.inspecting:
            room = self.size.width >= SLIM
        roomy = self.size.height >= TALL and self.size.width >= WIDE
        self.query_one(BesidePart).show(seen, room=room, roomy=roomy)

    async def on_key(self, event: events.Key) -> None:
        """A key judges the attempt marked, a digit says how bad, another picks a comment."""
        sign = event.character or ""
        if not (sign.isdecimal() or sign in RESULT_KEYS) or self._marked() is None:
            return
        event.stop()
        event.prevent_default()
        if self.looking.waits_for != "comment":
            self.looking = self.looking.after(sign)
            self.show()
        elif sign.isdecimal() and 0 < int(sign) <= len(self.looking.comments):
            self._look(self.looking.comments[int(sign) - 1])

    @on(Input.Submitted, "#comment")
    def take_comment(self, event: Input.Submitted) -> None:
        """Record the look with a comment of one's own, send the message, or begin the class."""
        writing = self.writing_to
        if self.asks_first_day:
            self._look_anew()
            self.begin_on(event.value)
            return
        if writing is None:
            self._look(event.value)
            return
        session, text, (setter_id, class_id) = self.session, event.value, writing

        def write() -> str:
            done = session.call(write_to, text, setter=setter_id, whole_class=class_id)
            return done.sentence

        self._look_anew()
        self.ask(write, Done)

    def action_record(self) -> None:
        """Record the look without a comment; in the class judge the plate of the one marked."""
        if not self.inspecting:
            self.action_plate()
        elif self.looking.waits_for == "comment":
            self._look("")

    def action_write(self) -> None:
        """Ask for a comment in words; in the class for a message to the student marked."""
        place = self.query_one(PickList).marked
        if self.looking.waits_for == "comment":
            self.query_one(AskedLine).ask(placeholder=COMMENT_ASKED)
            self._show_told()
        elif not self.inspecting and self.standings:
            setter = self.standings[place]
            self.writing_to = setter.setter_id, ""
            self._ask_message(setter.name)
        elif self.inspecting:
            self.tell(WORDS_LATER)

    def action_card(self) -> None:
        """Write the card for the next exercise of the one marked; a file to print."""
        whose = next((row.setter_id for row in self._below), "")
        self.ask(partial(self.session.call, card_here, whose), Said)

    def action_write_all(self) -> None:
        """Ask for a message to everyone in the class in view."""
        if self.inspecting:
            self.tell(WORDS_LATER)
        else:
            self.of_one_class(self._write_to_class)

    def _write_to_class(self) -> None:
        self.writing_to = "", self.in_view.class_id or ""
        self._ask_message(f"everyone in {self.in_view.called}")

    def _ask_message(self, whom: str) -> None:
        self.query_one(Headline).show(message_head(whom))
        self.query_one(AskedLine).ask(placeholder=MESSAGE_ASKED)

    def action_order(self) -> None:
        """The queue by weight, or student by student; the position marked stays so."""
        row = self._marked()
        if row is not None:
            self.by_student = not self.by_student
            self._look_anew()
            self.query_one(PickList).marked = self.queue.index(row)
            self.show()

    def action_plate(self) -> None:
        """Judge the newest plate of the setter marked; in the queue the plate of the position."""
        if self._below:
            self.post_message(self.JudgePlate(plates_of(self._below)))

    def action_queue(self) -> None:
        """Change between the class and the queue."""
        self.inspecting, self.sentence = not self.inspecting, ""
        self.query_one(PickList).marked = 0
        self._look_anew()
        self.show()

    def action_clear(self) -> None:
        """Stop the reading, take the digits back, or go back to the class."""
        if self.reading is not None and self.reading.is_running:
            self.reading.cancel()
            self.query_one(LongBar).hide()
            self.query_one(Headline).say(STOPPED)
        elif self.looking.result or self.writing_to is not None or self.asks_first_day:
            self._look_anew()
            self.show()
        elif self.inspecting:
            self.action_queue()

    def action_shared(self) -> None:
        """See what goes with failure across the class."""
        self.post_message(self.WhatAllShare())

    def action_sign_off(self) -> None:
        """Sign off the grade of the one marked that waits for it."""
        row, session = next(iter(self._below), None), self.session
        if row is not None and row.sign_off:
            setter_id, grade = row.setter_id, row.sign_off
            self.ask(lambda: session.call(sign_off, setter_id, grade).sentence, Done)
        else:
            self.tell(NOTHING_TO_SIGN)

    def before_moving(self) -> None:
        """A look that is not recorded yet is taken back."""
        self._look_anew()

    def after_moving(self) -> None:
        """What was told of the row before goes."""
        self.query_one(Headline).show(self._head())
        self._show_told()

    def show(self) -> None:
        """Bring all parts up to date."""
        if self.standings is None:
            return
        self.query_one(Headline).show(self._head())
        self._offer_keys()
        self.query_one("#parts").set_class(not self.inspecting, "at-a-glance")
        self.query_one(TitleLine).place = QUEUE if self.inspecting else PLACES[self.PLACE]
        picks = self.query_one(ClassList)
        if self.inspecting:
            whole = self.size.width >= WIDE
            picks.show_queue(self.queue, whole=whole, drawn_last=not self.by_student)
        else:
            picks.show_class(self.standings, self.by_weight)
        picks.mark(picks.marked)
        self.show_one()
        self._show_told()

    def _offer_keys(self) -> None:
        if self.inspecting:
            self.offer_all_but(unfit_in_queue(self.looking, undoable=self.undoable), IN_QUEUE)
            return
        begun = any(setter.attempts for setter in self.standings or ())
        self.offer_all_but(unfit_in_class(begun=begun, undoable=self.undoable))

    def _head(self) -> Head:
        """What the class, or its queue, asks for first."""
        called, queue = self.in_view.called, self.by_weight
        if self.inspecting:
            return queue_head(called, queue, by_student=self.by_student)
        return class_head(called, self.standings or (), queue)

    def _show_told(self) -> None:
        sentence = self.sentence
        if self.inspecting and not self.queue:
            sentence = sentence or EMPTY
        elif self.inspecting and (self.looking.result or not sentence):
            sentence = self.looking.prompt(writing=self.query_one(AskedLine).is_asked)
        shown = with_keys(sentence)
        if not sentence and self.standings:
            marked = self.standings[min(self.query_one(PickList).marked, len(self.standings) - 1)]
            seen = [outcome for setter in self.standings for outcome in setter.last]
            shown = legend(marked, seen, self.size.width - 2)
        self.query_one("#told", Words).show(shown)

    def _look(self, comment: str) -> None:
        row, look = self._marked(), self.looking
        self._look_anew()
        if row is not None:
            call = partial(self.session.call, inspect, row.attempt_id, look.result)
            self.ask(partial(call, severity=look.severity, comment=comment), self.Looked)

    def _look_anew(self) -> None:
        self.looking, self.writing_to, self.asks_first_day = Looking(), None, False
        self.query_one(AskedLine).put_away()
        self.show_one()

    @property
    def _below(self) -> "Sequence[QueueRow | SetterLine]":
        rows: Sequence[QueueRow | SetterLine]
        rows = self.queue if self.inspecting else self.standings or ()
        return rows[self.query_one(PickList).marked :]

    def _marked(self) -> "QueueRow | None":
        place = self.query_one(PickList).marked
        return self.queue[place] if self.inspecting and place < len(self.queue) else None
