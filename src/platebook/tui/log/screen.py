"""Log: all attempts, newest first, to filter, correct, hide; and the past of each."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Input

from platebook.practice.results import verdict
from platebook.services.attempts.log import (
    Cursor,
    LogPage,
    LogRow,
    attempt_history,
    attempt_values,
    log_page,
)
from platebook.services.attempts.recording import hide, redo, undo
from platebook.services.attempts.spreadsheets import write_typed
from platebook.services.from_others import read_news, said_of
from platebook.services.plates import PlateView, plate_of_attempt
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.log.marked_row import MarkedRow
from platebook.tui.log.table import LOOK_SIGNS, LogTable
from platebook.tui.log.words import ORDERS, Shown, head_of
from platebook.tui.messages import Amend, Answered, Done, Past, SaidByOthers, ServiceFailed
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.text import txt
from platebook.tui.parts.widgets import AskedLine, OrderedInput, Words

if TYPE_CHECKING:
    from platebook.logbook.attempts.wanted_attempts import Order


EMPTY = "Nothing is logged yet"
FIRST = "n goes to Now for the first attempt, i brings in a spreadsheet."
NO_OWN = "No columns of your own here: i brings in a spreadsheet that has some."
NO_MATCH = "No attempt has all these words. Esc shows all again."
LOOKED_AT = "Somebody else looked at this one: v in the Log shows what they saw."
WIDE = 110
"""From so many columns the row marked stands beside the list in full."""
FILTERS = "/ filters: a grade, a result, a note, a day"
LOOKING = "Looking through the log …"


OF_ROWS = frozenset(
    ("filter", "amend", "hide", "history", "looks", "tick", "order", "write", "clear")
)
"""Actions for which an empty log holds nothing."""


class LogScreen(BenchScreen[None]):
    """The table with its filter line and one line for what was done."""

    PLACE: ClassVar[str] = "log"
    DEFAULT_CSS = """
    LogScreen {
        #words { height: 1; border: none; padding: 0 1; background: $surface; }
        #one { height: auto; padding: 0 1; background: $surface; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
        MarkedRow { display: none; }
        &.-wide MarkedRow { display: block; }
    }
    """
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (WIDE, "-wide")]  # noqa: RUF012 - as Textual has it

    class Page(Message):
        """One page of attempts: the first, or one to be put under those shown."""

        def __init__(self, page: LogPage, words: str, *, further: bool) -> None:
            super().__init__()
            self.page, self.words, self.further = page, words, further

    class Values(Message):
        """All fields of the attempt to be corrected."""

        def __init__(self, attempt_id: str, values: Mapping[str, str]) -> None:
            super().__init__()
            self.attempt_id, self.values = attempt_id, values

    class Written(Answered[str]):
        """A file was written, in a sentence."""

    class PlateFound(Answered[PlateView | None]):
        """The plate of the row marked, None where it lies on none."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.rows: tuple[LogRow, ...] = ()
        self.order: Order = "time"
        self.total: int | None = 0
        self.older: Cursor | None = None
        self.everyone_asked = False
        self.sentence = ""
        self.reading_on = False
        self.looking, self.look_again = False, False
        self.shown_words = ""

    def body(self) -> ComposeResult:
        """What is shown and its share, filter, table, the one marked, what was done."""
        yield Headline()
        yield OrderedInput(
            placeholder="/ filters: grade, result, readings, note, day", compact=True, id="words"
        )
        yield AskedLine("Write to which file?", id="file")
        with Horizontal():
            yield LogTable()
            yield MarkedRow()
        yield Words(id="one")
        yield Words(id="told")

    def start(self) -> None:
        """Read the first page."""
        self.query_one(LogTable).focus()
        self.load()

    @on(Input.Changed, "#words")
    def load(self) -> None:
        """Read the first page again, filtered as the words are typed; the mark stays.

        One look at a time: what is typed during a long one is looked for when it is done.
        """
        if self.looking:
            self.look_again = True
            return
        self.reading_on, self.looking, self.look_again = False, True, False
        words = self.query_one("#words", Input).value
        self.ask(self._page_of(words, None), partial(self.Page, words=words, further=False))
        self._show_told()

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last line."""
        self.sentence = sentence
        self._show_told()

    @on(Page)
    def show_page(self, event: Page) -> None:
        """Show the page, unless the words have changed since it was asked for."""
        self.looking = self.looking and event.further
        stale = event.words != self.query_one("#words", Input).value
        if stale or self.look_again:
            self.load()
        if stale:
            return
        same = event.further or event.words == self.shown_words
        self.shown_words = event.words
        self.rows = (*self.rows, *event.page.rows) if event.further else event.page.rows
        self.total, self.older, self.reading_on = event.page.total, event.page.older, False
        self.query_one(LogTable).show(self.rows, with_setter=self.all_setters, keep=same)
        if not event.further:
            self.query_one(MarkedRow).forget_plate()
        self._show_told()

    @on(LogTable.NearEnd)
    def read_on(self) -> None:
        """Read the next page, where there is one."""
        if self.older is None or self.reading_on:
            return
        self.reading_on = True
        words = self.query_one("#words", Input).value
        call = self._page_of(words, self.older)
        self.ask(call, partial(self.Page, words=words, further=True), newest_only=True)

    @on(ServiceFailed)
    def look_no_more(self) -> None:
        """A look that failed is over."""
        self.looking = False

    @on(Input.Submitted, "#words")
    def leave_filter(self) -> None:
        """Back to the rows."""
        self.query_one(LogTable).focus()

    @on(Values)
    def open_values(self, event: Values) -> None:
        """Ask the app to open the attempt."""
        looked = {row.attempt_id for row in self.rows if row.looked}
        told = LOOKED_AT if event.attempt_id in looked else ""
        self.post_message(Amend(event.attempt_id, event.values, self, told))

    @on(Done)
    def show_change(self, event: Done) -> None:
        """Say what was done, and read again."""
        self.sentence = event.value
        self.load()

    @on(Written)
    def show_written(self, event: Written) -> None:
        """Say where the file is, and go back to the rows."""
        self.query_one(AskedLine).put_away()
        self.query_one(LogTable).focus()
        self.tell(event.value)

    @on(Input.Submitted, "#file")
    def write_file(self, event: Input.Submitted) -> None:
        """Write the file named; one that is there already is refused, and can be named anew."""
        table, words = self.query_one(LogTable), self.query_one("#words", Input).value
        call = partial(
            self.session.call,
            write_typed,
            event.value,
            words=words,
            everyone=self.all_setters,
            attempt_ids=tuple(table.ticked),
        )
        self.ask(call, self.Written)

    def action_write(self) -> None:
        """Ask for the file's name; it says what it will hold."""
        if not self.rows:
            return
        self.query_one(AskedLine).ask(f"attempts-{self.session.clock():%Y-%m-%d}.csv")
        ticked = len(self.query_one(LogTable).ticked)
        which = f"the {ticked} ticked" if ticked else "all that are shown"
        self.tell(f"Enter writes {which} to this file, Esc leaves it be.")

    def action_order(self) -> None:
        """The next order: by time, by stone size, by grade."""
        orders = list(ORDERS)
        self.order = orders[(orders.index(self.order) + 1) % len(orders)]
        self.shown_words, self.sentence = "\0", ""
        self.load()

    def action_tick(self) -> None:
        """Tick or untick the attempt marked, and go to the one below."""
        self.query_one(LogTable).tick()
        self.sentence = ""
        self._show_told()

    def action_own(self) -> None:
        """Show the columns of one's own, or no longer."""
        if not self.query_one(LogTable).turn_own():
            self.tell(NO_OWN)

    def action_filter(self) -> None:
        """Go to the filter line."""
        self.query_one("#words").focus()

    def action_clear(self) -> None:
        """Show all again, nothing ticked, and go back to the rows."""
        self.query_one("#words", Input).value = ""
        self.query_one(AskedLine).put_away()
        self.query_one(LogTable).untick()
        self.sentence = ""
        self._show_told()
        self.query_one(LogTable).focus()

    @on(LogTable.Opened)
    def action_amend(self) -> None:
        """Correct the attempt marked."""
        row = self._marked()
        if row is not None:
            name = row.attempt_id
            call = partial(self.session.call, attempt_values, name)
            self.ask(call, partial(self.Values, name))

    def action_hide(self) -> None:
        """Hide the attempts ticked, or the one marked."""
        table, row = self.query_one(LogTable), self._marked()
        names = tuple(table.ticked) or ((row.attempt_id,) if row is not None else ())
        if names:
            table.untick()
            self.ask(partial(self.session.call, hide, *names), Done)

    def action_history(self) -> None:
        """Show every change of the attempt marked."""
        row = self._marked()
        if row is not None:
            self.ask(partial(self.session.call, attempt_history, row.attempt_id), Past)

    def action_looks(self) -> None:
        """What others saw of the attempt marked; where nobody did, all that others said."""
        row = self._marked()
        if row is not None and row.looked:
            self.ask(partial(self.session.call, said_of, row.attempt_id), SaidByOthers)
        else:
            self.action_news()

    def action_news(self) -> None:
        """What others saw and wrote and is not read yet; all of it where nothing is new."""
        self.ask(partial(self.session.call, read_news), SaidByOthers)

    def action_undo(self) -> None:
        """Take the last change back."""
        self.ask(partial(self.session.call, undo), Done)

    def action_redo(self) -> None:
        """Put back what was taken back."""
        self.ask(partial(self.session.call, redo), Done)

    def action_everyone(self) -> None:
        """All setters, or only this one."""
        self.everyone_asked = not self.everyone_asked
        self.load()

    def action_move(self, by: int) -> None:
        """Move the mark."""
        self.query_one(LogTable).move(by)

    def action_page(self, by: int) -> None:
        """Move the mark by screenfuls."""
        self.query_one(LogTable).page(by)

    def action_edge(self, end: int) -> None:
        """To the newest, or to the oldest read so far."""
        self.query_one(LogTable).move(len(self.rows) * (1 if end else -1))

    @property
    def all_setters(self) -> bool:
        """Whether rows of several people are shown: for a teacher, who has none, always."""
        return self.everyone_asked or self.session.teaching

    def _marked(self) -> LogRow | None:
        return self.query_one(LogTable).marked_row

    def _page_of(self, words: str, before: Cursor | None) -> Callable[[], LogPage]:
        return partial(
            self.session.call,
            log_page,
            words=words,
            before=before,
            everyone=self.all_setters,
            order=self.order,
        )

    def _show_told(self) -> None:
        words = self.query_one("#words", Input).value
        if self.sentence:
            sentence = self.sentence
        elif self.looking:
            sentence = LOOKING
        elif not self.rows:
            sentence = NO_MATCH if words else ""
        else:
            ticked = len(self.query_one(LogTable).ticked)
            said = [f"{ticked} ticked"] if ticked else []
            if any(row.looked for row in self.rows):
                said += [f"{LOOK_SIGNS['new']} looked at and new, {LOOK_SIGNS['read']} read: v"]
            sentence = "; ".join(said)
        self.query_one("#told", Words).say(txt(sentence))
        self.offer_all_but(OF_ROWS if not self.rows and not words else ())
        self.query_one(Headline).show(self._head())
        self.show_marked()

    def _head(self) -> Head:
        """How many attempts are shown and in which order, and how those read so far came out."""
        if not self.rows:
            if self.looking or self.shown_words.strip("\0 "):
                return Head(txt(LOOKING if self.looking else "No attempts"))
            return Head(txt(EMPTY), txt(FIRST))
        shown = Shown(
            rows=self.rows,
            total=self.total,
            order=self.order,
            words=self.shown_words.strip("\0 "),
            of_all=self.all_setters,
            more=self.older is not None,
        )
        return head_of(shown)

    @on(LogTable.Moved)
    def show_marked(self) -> None:
        """What the row marked does not show: beside the list, or in a line under it."""
        row, beside = self._marked(), self.query_one(MarkedRow)
        parts: tuple[str, ...] = ()
        if row is not None:
            longer = verdict(row.result, row.severity) if len(row.result) > 1 else ""
            parts = (longer, row.exercise_title, row.place, row.note)
        wide = self.size.width >= WIDE
        self.query_one("#one", Words).say(txt("" if wide else " · ".join(filter(None, parts))))
        beside.show(row)
        if wide and row is not None and beside.lacks_plate:
            call = partial(self.session.call, plate_of_attempt, row.attempt_id)
            self.ask_at_rest(call, self.PlateFound)

    @on(PlateFound)
    def show_plate(self, event: PlateFound) -> None:
        """Draw it, where the row marked still lies on it."""
        beside = self.query_one(MarkedRow)
        if beside.lacks_plate:
            beside.show_plate(event.value)

    def on_resize(self) -> None:
        """The row marked stands beside the list, or under it."""
        self.show_marked()
