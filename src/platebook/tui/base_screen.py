"""What all screens share: title line, key line, and work beside the event loop."""

import time
from collections.abc import Callable, Collection, Mapping
from functools import partial
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.message import Message
from textual.screen import ModalScreen
from textual.timer import Timer
from textual.widgets import Input
from textual.worker import Worker, get_current_worker

from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import bindings_for, commands_for, foot_commands, ways_elsewhere
from platebook.tui.messages import Progressed, Said, ServiceFailed, SheetNamed, Value
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.left_once import LeftOnce
from platebook.tui.parts.text import line, txt
from platebook.tui.parts.widgets import KeyLine, PickList, TitleLine
from platebook.tui.places import ASIDE, PLACES, TYPED_IN
from platebook.values import replace

if TYPE_CHECKING:
    from platebook.practice.reading.questions import Question
    from platebook.services.now.now_view import NowView
    from platebook.services.progress_callback import Watch


SHOWN_AFTER_S = 0.5
"""Work that is done sooner shows no bar."""

TOLD_EVERY_S = 0.1

REST_S = 0.15
"""A mark that stood so long is at rest: a held arrow moves it on sooner."""

SHEETS = (".csv", ".tsv", ".xlsx", ".csv'", ".xlsx'", '.csv"', '.xlsx"')
"""How the name of a sheet ends as terminals paste it."""

NOT_KEPT = "What is typed cannot be kept on the disk ({why}): save it, or note it on paper."

NO_LOG = "{name} teaches and has no log of their own."
WHERE_TO = "k is the class, b changes who is at the bench."
"""Said to a teacher on a page about one setter's own work."""

READ_KEYS = "Esc close  ↑↓ scroll"
"""What a window to read in says of its keys."""

ScreenResult = TypeVar("ScreenResult")


class BenchScreen(LeftOnce[ScreenResult]):
    """A screen with its place in the command table.

    A subclass names its `PLACE` there, which gives its title and keys, yields what lies between the
    title line and the key line from `body`, and asks for what it shows in `load`.
    """

    PLACE: ClassVar[str] = ""
    AUTO_FOCUS: ClassVar[str | None] = ""
    OF_A_SETTER: ClassVar[bool] = False
    """Whether it is all about one setter's own work, of which a teacher has none."""

    def __init_subclass__(cls) -> None:
        """Take the key bindings from the command table."""
        bindings: list[BindingType] = [*bindings_for(cls.PLACE)]
        cls.BINDINGS = bindings
        super().__init_subclass__()

    def __init__(self, session: BenchSession) -> None:
        super().__init__()
        self.session = session
        self.reading: Worker[None] | None = None
        self.moving: dict[str, Timer] = {}
        self.at_rest: dict[str, Callable[[], None]] = {}
        """What is asked once the mark rests, by the kind of its answer."""
        self.draft_kept = True
        """Whether the disk took what was typed here last."""

    def body(self) -> ComposeResult:
        """What this screen shows between its first and last line."""
        yield from ()

    def compose(self) -> ComposeResult:
        """Title line, body, key line."""
        yield TitleLine(PLACES[self.PLACE])
        yield from self.body()
        yield KeyLine("F1" if self.PLACE in TYPED_IN else "?")

    def on_mount(self) -> None:
        """Show the keys that work here, and begin."""
        self._take_width()
        self.query_one(KeyLine).commands = foot_commands(self.PLACE)
        self.start()
        self.show_title()

    def _take_width(self) -> None:
        """Be of the width there is from the first layout on.

        Textual says it at the first resize, and then all is styled and laid out a second time.
        """
        fit = [limit for limit in self.HORIZONTAL_BREAKPOINTS or () if limit[0] <= self.app.size[0]]
        if fit:
            self.add_class(max(fit)[1], update=False)

    def start(self) -> None:
        """What this screen does as soon as it is there."""
        self.load()

    def load(self) -> None:
        """Ask for what this screen shows; what it shows already stands until the answer comes."""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """On a page of a setter's own work none of its keys means anything to a teacher."""
        if self.OF_A_SETTER and self.session.teaching:
            own = {command.action.partition("(")[0] for command in commands_for(self.PLACE)}
            return action not in own
        return super().check_action(action, parameters)

    def told_to_a_teacher(self) -> bool:
        """Say to a teacher, who has no log, where to go; False where a setter is at the bench."""
        if not self.session.teaching:
            return False
        title = NO_LOG.format(name=line(self.session.setter))
        self.query_one(Headline).show(Head(txt(title), txt(WHERE_TO)))
        self.query_one(KeyLine).commands = ways_elsewhere(self.PLACE)
        self.add_class("-teaches")
        return True

    def offer_all_but(
        self, unfit: Collection[str], called: Mapping[str, str] | None = None
    ) -> None:
        """Show on the key line no key of these actions: there is nothing to do them with.

        `called` are the labels, by action, of those that do something else just now.
        """
        labels = called or {}
        shown = (c for c in foot_commands(self.PLACE) if c.action not in unfit)
        named = (replace(c, label=labels.get(c.action, c.label)) for c in shown)
        self.query_one(KeyLine).commands = tuple(named)

    def in_focus(self) -> "Question | None":
        """What is asked at this moment, for the help to explain; None where nothing is."""
        return None

    def word_in_focus(self) -> tuple[str, str]:
        """The field, and where known the value, whose word the glossary opens at; both empty."""
        asked = self.in_focus()
        return (asked.field, "") if asked is not None else ("", "")

    @on(events.DescendantFocus)
    @on(events.DescendantBlur)
    def say_what_works_while_typing(self) -> None:
        """Offer on the key line no letter that would be typed."""
        typing = isinstance(self.focused, Input) and self.PLACE not in TYPED_IN
        self.query_one(KeyLine).typing = typing

    def set_aside(self) -> None:
        """Leave for another page with all that is typed kept, where this lies over a page."""
        if self.PLACE in ASIDE and self.is_active:
            self.dismiss()

    def keys_wait(self) -> bool:
        """Whether keys wait for a save to end; `Landed` says when they have been taken."""
        return False

    def keep(self, *, sync: bool = False) -> None:
        """Write what is typed and not saved to the draft file, where this screen has any."""

    def tell(self, sentence: str) -> None:
        """Say one sentence on this screen."""

    def say_parting(self, sentence: str) -> None:
        """Say that the program leaves as soon as it can; "" where it stays after all."""
        self.tell(sentence)

    def last_view(self) -> "NowView | None":
        """What this screen knows to come next, after the last attempt; None where it asks not."""
        return None

    def write_draft(self, draft: Mapping[str, object] | None, *, sync: bool = False) -> bool:
        """Write the draft file, or clear it; a disk that refuses is told of, never raised."""
        try:
            if draft is None:
                self.session.drafts().clear()
            else:
                self.session.drafts().save(draft, sync=sync)
        except OSError as error:
            self.draft_kept = False
            self.tell(NOT_KEPT.format(why=error.strerror or error))
            return False
        self.draft_kept = True
        return True

    def action_scroll(self, by: int) -> None:
        """A page up or down."""
        scroll = self.query_one(VerticalScroll)
        scroll.scroll_relative(y=by * max(scroll.size.height - 2, 1), animate=False)

    def action_report(self) -> None:
        """Write the report of who is at the bench; a file to print."""
        from platebook.services.pages.handouts import report_here

        self.ask(partial(self.session.call, report_here), Said)

    def action_card(self) -> None:
        """Write the card for the next exercise; a file to print."""
        from platebook.services.pages.handouts import card_here

        self.ask(partial(self.session.call, card_here), Said)

    def action_sheet(self) -> None:
        """Ask the app to bring in a sheet."""
        self.post_message(SheetNamed(""))

    def action_export(self) -> None:
        """Write all attempts of who is at the bench to a file, a sheet."""
        from platebook.services.pages.handouts import export_here

        self.ask(partial(self.session.call, export_here), Said)

    @on(Said)
    def say_what_was_asked(self, event: Said) -> None:
        """Say it on this screen."""
        self.tell(event.value)

    def show_title(self) -> None:
        """Who is at the bench, as far as that is known; nothing where no line is yet."""
        for title in self.query(TitleLine):
            title.who, title.invented = self.session.setter, self.session.invented

    def ask(
        self,
        call: Callable[[], Value],
        answer: Callable[[Value], Message],
        *,
        newest_only: bool = False,
    ) -> None:
        """Call a use case in a worker; its value comes back as one message.

        With `newest_only` a newer question of the same kind takes the place of an older one; use
        it for looking, never for what changes something or takes a draft.
        """

        def work() -> None:
            worker = get_current_worker()
            try:
                message = answer(call())
            except Exception as error:  # noqa: BLE001 - the worker's edge: shown and logged
                message = ServiceFailed(error)
            if not (newest_only and worker.is_cancelled):
                self.post_message(message)

        kind = answer.func if isinstance(answer, partial) else answer
        group = getattr(kind, "__qualname__", "answer")
        self.run_worker(work, thread=True, exclusive=newest_only, group=group)

    def ask_at_rest(self, call: Callable[[], Value], answer: Callable[[Value], Message]) -> None:
        """`ask` about the row marked: at once, but of a mark that moves on only where it rests.

        While an arrow is held rows pass by and nothing is read of them.
        """
        kind = getattr(answer, "__qualname__", "answer")
        ask = partial(self.ask, call, answer, newest_only=True)
        if kind in self.moving:
            self.moving[kind].stop()
            self.at_rest[kind] = ask
        else:
            ask()
        self.moving[kind] = self.set_timer(REST_S, partial(self._rest, kind))

    def _rest(self, kind: str) -> None:
        # On a slow machine a clock that ran out is heard after the mark moved and stopped it.
        self.moving.pop(kind, None)
        if kind in self.at_rest:
            self.at_rest.pop(kind)()

    def ask_long(
        self, call: "Callable[[Watch], Value]", answer: Callable[[Value], Message]
    ) -> None:
        """`ask` for work that may take long: the screen's `LongBar` shows how far it is.

        It ends when `reading`, its worker, is cancelled, and what it did so far is kept by whoever
        does it. A newer question of the same kind takes the place of an older one.
        """
        from platebook.services.progress_callback import Stopped

        began = last = time.monotonic()

        def watch(done: float, of: int) -> None:
            nonlocal last
            if get_current_worker().is_cancelled:
                raise Stopped
            now = time.monotonic()
            if now - began >= SHOWN_AFTER_S and now - last >= TOLD_EVERY_S:
                last = now
                self.post_message(Progressed(done, of))

        def work() -> None:
            worker = get_current_worker()
            try:
                message = answer(call(watch))
            except Stopped:
                return
            except Exception as error:  # noqa: BLE001 - the worker's edge: shown and logged
                message = ServiceFailed(error)
            if not worker.is_cancelled:
                self.post_message(message)

        group = getattr(answer, "__qualname__", "answer")
        self.reading = self.run_worker(work, thread=True, exclusive=True, group=group)

    @on(Progressed)
    def show_progress(self, event: Progressed) -> None:
        """Show how far long work is, unless it is over by now."""
        from platebook.tui.parts.long_bar import LongBar

        if self.reading is not None and self.reading.is_running:
            self.query_one(LongBar).show(event.done, event.of)

    @on(ServiceFailed)
    def tell_refusal(self, event: ServiceFailed) -> None:
        """Say a refusal here; anything else goes up to the app."""
        sentence = getattr(event.error, "sentence", "")
        if sentence and not hasattr(event.error, "cause"):
            event.stop()
            self.tell(sentence)

    @on(events.Paste)
    def offer_sheet(self, event: events.Paste) -> None:
        """Offer to bring in a sheet whose name is pasted where nothing is typed."""
        if event.text.strip().casefold().endswith(SHEETS):
            event.stop()
            self.post_message(SheetNamed(event.text))

    @on(KeyLine.Chosen)
    async def run_chosen(self, event: KeyLine.Chosen) -> None:
        """Do what was clicked on the key line."""
        event.stop()
        await self.run_command(event.action)

    async def run_command(self, action: str) -> None:
        """Do what a command of the table says, without its key: from the mouse or the palette."""
        await self.run_action(action)


class ListScreen(BenchScreen[ScreenResult]):
    """A screen with one list, whose mark the arrows, PgUp, PgDn, Home and End move."""

    def before_moving(self) -> None:
        """What a screen does before its mark goes to another row."""

    def after_moving(self) -> None:
        """What a screen does once another row is marked."""

    def action_move(self, by: int) -> None:
        """A row up or down."""
        self.before_moving()
        self.query_one(PickList).move(by)
        self.after_moving()

    def action_page(self, by: int) -> None:
        """A window up or down."""
        self.before_moving()
        self.query_one(PickList).page(by)
        self.after_moving()

    def action_edge(self, last: int) -> None:
        """To the first row or the last."""
        self.before_moving()
        self.query_one(PickList).edge(last)
        self.after_moving()


class ReadWindow(LeftOnce[None], ModalScreen[None]):
    """A window to read in, as wide as a page of text, over the screen that it is about."""

    DEFAULT_CSS = """
    ReadWindow { align: center middle; }
    ReadWindow > VerticalScroll {
        width: 76; max-width: 100%; height: auto; max-height: 100%; padding: 0 1 0 2;
        background: $surface; border: round $primary; border-title-color: $accent;
        border-subtitle-color: $accent; scrollbar-size-vertical: 1;
    }
    ReadWindow Static { height: auto; padding: 0 1 0 0; }
    """

    def on_mount(self) -> None:
        """The keys of a window stand on its lower edge, however much of it is scrolled."""
        self.query_one(VerticalScroll).border_subtitle = READ_KEYS

    def action_close(self) -> None:
        """Close the window."""
        self.dismiss(None)
