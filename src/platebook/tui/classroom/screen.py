"""Class: a glance at each setter, and the queue of what to look at, judged by the number pad."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Input

from platebook.practice.results import RESULT_KEYS
from platebook.reports.text.class_text import verdicts_line
from platebook.services.attempts.recording import undo
from platebook.services.classes.compare import compared_in_words
from platebook.services.classes.inspections import Inspected, class_now, inspect, sign_off
from platebook.services.classes.messages import write_to
from platebook.services.people.at_the_bench import InView, class_in_view
from platebook.tui.base_screen import Answered, Done, ListScreen, Said
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.class_list import DRAWN, DRAWN_WORDS, TALL, WIDE, ClassList, glance_of
from platebook.tui.classroom.words import (
    Looking,
    due_part,
    due_row,
    legend,
    plates_of,
    standing_part,
)
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.text import line, txt
from platebook.tui.parts.widgets import LongBar, OrderedInput, PickList, Words

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueRow, SetterLine
    from platebook.services.progress_callback import Watch
    from platebook.tui.classroom.words import WantedPlate

    ClassNow = tuple[tuple[SetterLine, ...], tuple[QueueRow, ...], InView]


WAITING = "Reading the class …"
STOPPED = "Stopped; what is read so far is kept. k reads on."
NOBODY = "Nobody is in the class yet: m makes a class from a list of names, b adds a person."
BY_WEIGHT = "What to look at first: the weightiest reason on top"
BY_STUDENT = "What to look at, and why: student by student"
COMMENT_ASKED = "a comment in words"
EMPTY = "Nothing waits to be looked at."
NOTHING_TO_SIGN = "No grade of theirs waits for a sign-off."


class ClassScreen(ListScreen[None]):
    """The class by need, the one marked below or beside it; q changes to the queue, and back."""

    PLACE: ClassVar[str] = "class"
    DEFAULT_CSS = """
    ClassScreen {
        PickList { width: 1fr; padding: 0 1; border-right: solid $rule; }
        #one { width: 34; height: 1fr; padding: 0 1; }
        #one > Words { height: auto; }
        #parts.at-a-glance { layout: vertical; }
        .at-a-glance > PickList { border: none; }
        .at-a-glance > #one { width: 1fr; height: auto; max-height: 50%; background: $surface; }
        &.-wide #parts.at-a-glance, &.-broad #parts.at-a-glance { layout: horizontal; }
        &.-wide .at-a-glance > #one { width: 40; height: 1fr; max-height: 100%; }
        &.-broad .at-a-glance > #one { width: 60; height: 1fr; max-height: 100%; }
        #comment { display: none; height: 1; border: none; padding: 0 1; background: $surface; }
        #comment.asked { display: block; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - as Textual has it
        (0, "-narrow"),
        (110, "-wide"),
        (160, "-broad"),
    ]

    class Loaded(Answered["ClassNow"]):
        """The class, its queue, and which class it is."""

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
        self.in_view = InView()
        self.of_a_class: Callable[[], None] | None = None

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
            with VerticalScroll(id="one", can_focus=False):
                yield Words(id="words")
        yield OrderedInput(placeholder=COMMENT_ASKED, compact=True, id="comment")
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
        return standings, queue, in_view

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last line."""
        self.sentence = sentence
        self.show()

    @on(Loaded)
    def show_class(self, event: Loaded) -> None:
        """Show the class, or the queue; the mark stays on its setter, wherever they stand now."""
        before, picks = self.standings, self.query_one(PickList)
        marked = before[picks.marked].setter_id if before and not self.inspecting else ""
        self.standings, self.by_weight, self.in_view = event.value
        for place, setter in enumerate(self.standings):
            if setter.setter_id == marked:
                picks.marked = place
        self.query_one(LongBar).hide()
        self.show()
        asked, self.of_a_class = self.of_a_class, None
        if asked is not None and self.in_view.class_id is not None:
            asked()

    @on(Looked)
    def show_looked(self, event: Looked) -> None:
        """Tell both verdicts, and go on to what is due next."""
        inspected = event.value
        self.sentence = verdicts_line(
            inspected.inspection, line(inspected.setter), inspected.own_result
        )
        self._look_anew()
        self.load()

    @on(Done)
    def show_done(self, event: Done) -> None:
        """Say what was done, and read again."""
        self.sentence = event.value
        self.load()

    @on(PickList.Marked)
    def show_one(self) -> None:
        """What is known of the one marked."""
        place, part = self.query_one(PickList).marked, txt("")
        if self.inspecting and self.queue:
            row = self.queue[min(place, len(self.queue) - 1)]
            part = due_part(row, self.looking, whole=self.size.width >= WIDE)
        elif not self.inspecting and self.standings:
            part = standing_part(self.standings[place], brief=self.size.height < TALL)
        self.query_one("#words", Words).show(part)

    async def on_key(self, event: events.Key) -> None:
        """A key judges the attempt marked, a digit says how bad, another picks a comment."""
        sign = event.character or ""
        if not (sign.isdigit() or sign in RESULT_KEYS) or self._marked() is None:
            return
        event.stop()
        event.prevent_default()
        if self.looking.waits_for != "comment":
            self.looking = self.looking.after(sign)
            self.show()
        elif sign.isdigit() and 0 < int(sign) <= len(self.looking.comments):
            self._look(self.looking.comments[int(sign) - 1])

    @on(Input.Submitted, "#comment")
    def take_comment(self, event: Input.Submitted) -> None:
        """Record the look with a comment of one's own, or send the message."""
        writing = self.writing_to
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
            self._ask_words(COMMENT_ASKED)
        elif not self.inspecting and self.standings:
            setter = self.standings[place]
            self.writing_to = setter.setter_id, ""
            self._ask_words(f"a message to {line(setter.name)}")

    def action_write_all(self) -> None:
        """Ask for a message to everyone in the class in view."""
        if not self.inspecting:
            self._ask_of_a_class(self._write_to_class)

    def _write_to_class(self) -> None:
        self.writing_to = "", self.in_view.class_id or ""
        self._ask_words(f"a message to everyone in {line(self.in_view.called)}")

    def _ask_of_a_class(self, what: Callable[[], None]) -> None:
        """Do this for the class in view; with everyone in view, for the one that is picked now."""
        if self.in_view.class_id is not None:
            what()
        else:
            self.of_a_class = what
            self.action_classes()

    def _ask_words(self, placeholder: str) -> None:
        comment = self.query_one("#comment", Input)
        comment.placeholder = placeholder
        comment.add_class("asked")
        comment.focus()

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
        elif self.looking.result or self.writing_to is not None:
            self._look_anew()
            self.show()
        elif self.inspecting:
            self.action_queue()

    def action_shared(self) -> None:
        """See what goes with failure across the class."""
        self.post_message(self.WhatAllShare())

    def action_undo(self) -> None:
        """Take the last look back."""
        self.ask(partial(self.session.call, undo), Done)

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
        self._show_told()

    def action_classes(self) -> None:
        """Show another class, or everyone."""
        from platebook.tui.classroom.pick_class_screen import PickClassScreen

        self.app.push_screen(PickClassScreen(self.session), self._another)

    def action_new_class(self) -> None:
        """Make a class."""
        from platebook.tui.classroom.new_class_screen import NewClassScreen

        self.app.push_screen(NewClassScreen(self.session), self._made)

    def action_compare(self) -> None:
        """Say how this term goes beside the ones before."""
        self._ask_of_a_class(lambda: self.ask(partial(self.session.call, compared_in_words), Said))

    def action_register(self) -> None:
        """See who came on each evening."""
        from platebook.tui.classroom.register_screen import RegisterScreen

        def register() -> None:
            self.app.push_screen(RegisterScreen(self.session))

        if self.in_view.one_of_many:
            self._ask_of_a_class(register)
        else:
            register()

    def action_report(self) -> None:
        """Write the page of the class in view; a file to print."""
        from platebook.services.pages.handouts import class_page_here

        where = self.in_view
        call = partial(self.session.call, class_page_here, where.class_id, where.called)
        self.ask(call, Said)

    def _another(self, changed: bool | None) -> None:  # noqa: FBT001 - what the window answers
        if not changed:
            self.of_a_class = None
        else:
            self.query_one(PickList).marked = 0
            self.sentence = ""
            self.load()

    def _made(self, sentence: str | None) -> None:
        if sentence:
            self.sentence = sentence
            self.load()

    def show(self) -> None:
        """Bring all parts up to date."""
        if self.standings is None:
            return
        self.query_one(Headline).show(self._head())
        self.query_one("#parts").set_class(not self.inspecting, "at-a-glance")
        picks = self.query_one(ClassList)
        picks.wrapped = self.inspecting
        if self.inspecting:
            picks.glances = ()
            whole = self.size.width >= WIDE
            picks.rows = tuple((due_row(row, whole=whole), "") for row in self.queue)
        else:
            picks.rows = tuple((s.name, "") for s in self.standings)
            picks.glances = tuple(glance_of(s, self.by_weight) for s in self.standings)
            first = self.by_weight[0].setter_id if self.by_weight else ""
            ids = [s.setter_id for s in self.standings]
            picks.headlined = ids.index(first) if first in ids else None
        picks.mark(picks.marked)
        self.show_one()
        self._show_told()

    def _head(self) -> Head:
        """Whose work to look at first and why; what all share; how many wait for a look."""
        from platebook.advice.class_standing import topic

        called = f"{line(self.in_view.called)}: " if self.in_view.called else ""
        queue = self.by_weight
        caption = "to look at" if queue else ""
        if self.inspecting:
            order = f"{called}{BY_STUDENT if self.by_student else BY_WEIGHT}"
            signs = f"{DRAWN} {DRAWN_WORDS}" if any(row.drawn for row in queue) else ""
            number = str(len(queue) or "")
            return Head(txt(order), txt(signs, "$muted"), number=number, caption=caption)
        shared = topic(self.standings or ())
        if not queue:
            return Head(
                txt(f"{called}{EMPTY if self.standings else NOBODY}"), txt(shared, "$muted")
            )
        why = queue[0].reasons[0].sentence if queue[0].reasons else queue[0].sentence
        alone = "" if len(self.standings or ()) == 1 else " first"
        first = Content.assemble(called, (line(queue[0].setter), "bold"), f"{alone}: {line(why)}")
        return Head(first, txt(shared, "$muted"), number=str(len(queue)), caption=caption)

    def _show_told(self) -> None:
        sentence = self.sentence
        if self.inspecting and not self.queue:
            sentence = sentence or EMPTY
        elif self.inspecting and (self.looking.result or not sentence):
            sentence = self.looking.prompt()
        shown = txt(sentence)
        if not sentence and self.standings:
            marked = self.standings[min(self.query_one(PickList).marked, len(self.standings) - 1)]
            seen = [outcome for setter in self.standings for outcome in setter.last]
            shown = legend(marked, seen, self.size.width - 2, drawn=self._drawn_alone())
        self.query_one("#told", Words).show(shown)

    def _drawn_alone(self) -> bool:
        """Whether the list has a setter of whom nothing waits but what was drawn at random."""
        ids = {row.setter_id for row in self.by_weight}
        return bool(ids - {row.setter_id for row in self.by_weight if row.reasons})

    def _look(self, comment: str) -> None:
        row, look = self._marked(), self.looking
        self._look_anew()
        if row is not None:
            call = partial(self.session.call, inspect, row.attempt_id, look.result)
            self.ask(partial(call, severity=look.severity, comment=comment), self.Looked)

    def _look_anew(self) -> None:
        self.looking, self.writing_to = Looking(), None
        comment = self.query_one("#comment", Input)
        comment.value = ""
        if comment.has_class("asked"):
            comment.remove_class("asked")
            self.set_focus(None)
        self.show_one()

    @property
    def _below(self) -> "Sequence[QueueRow | SetterLine]":
        rows: Sequence[QueueRow | SetterLine]
        rows = self.queue if self.inspecting else self.standings or ()
        return rows[self.query_one(PickList).marked :]

    def _marked(self) -> "QueueRow | None":
        place = self.query_one(PickList).marked
        return self.queue[place] if self.inspecting and place < len(self.queue) else None
