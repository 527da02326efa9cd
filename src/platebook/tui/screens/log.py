"""Log: all attempts, newest first, to filter, correct, hide, and take changes back."""

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Input

from platebook.tui.frame import Amend, BenchScreen, Past
from platebook.tui.text import line, txt
from platebook.tui.widgets.log_table import LogTable
from platebook.tui.widgets.ordered_input import OrderedInput
from platebook.tui.widgets.words import Words

if TYPE_CHECKING:
    from platebook.services.log import Cursor, LogPage, LogRow
    from platebook.tui.services import Services

EMPTY = "Nothing is logged yet. Go to Now (n) and log the first attempt there."
NO_MATCH = "No attempt has all these words. Esc shows all again."


class LogScreen(BenchScreen[None]):
    """The table with its filter line and one line for what was done."""

    PLACE: ClassVar[str] = "log"
    TITLE_TEXT: ClassVar[str] = "Log"
    DEFAULT_CSS = """
    LogScreen {
        #words { height: 1; border: none; padding: 0 1; background: $surface; }
        #told { height: 1; padding: 0 1; color: $text-warning; }
    }
    """

    class Page(Message):
        """One page of attempts: the first, or one to be put under those shown."""

        def __init__(self, page: "LogPage", words: str, *, further: bool) -> None:
            super().__init__()
            self.page, self.words, self.further = page, words, further

    class Values(Message):
        """All fields of the attempt to be corrected."""

        def __init__(self, attempt_id: str, values: Mapping[str, str]) -> None:
            super().__init__()
            self.attempt_id, self.values = attempt_id, values

    class Changed(Message):
        """A sentence about what was done."""

        def __init__(self, sentence: str) -> None:
            super().__init__()
            self.sentence = sentence

    def __init__(self, services: "Services") -> None:
        super().__init__(services)
        self.rows: tuple[LogRow, ...] = ()
        self.total: int | None = 0
        self.older: Cursor | None = None
        self.all_setters = False
        self.sentence = ""
        self.reading_on = False
        self.shown_words = ""

    def body(self) -> ComposeResult:
        """Filter, table, and what was done."""
        yield OrderedInput(placeholder="/ filters: grade, result, note …", compact=True, id="words")
        yield LogTable()
        yield Words(id="told")

    def on_mount(self) -> None:
        """Read the first page."""
        super().on_mount()
        self.query_one(LogTable).focus()
        self.load()

    def load(self) -> None:
        """Read the first page again; the mark stays."""
        self.reading_on = False
        words = self.query_one("#words", Input).value
        call = partial(self.services.log_page, words, None, everyone=self.all_setters)
        self.ask(call, partial(self.Page, words=words, further=False), newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last line."""
        self.sentence = sentence
        self._show_told()

    @on(Page)
    def show_page(self, event: Page) -> None:
        """Show the page, unless the words have changed since it was asked for."""
        if event.words != self.query_one("#words", Input).value:
            return
        same = event.further or event.words == self.shown_words
        self.shown_words = event.words
        self.rows = (*self.rows, *event.page.rows) if event.further else event.page.rows
        self.total, self.older, self.reading_on = event.page.total, event.page.older, False
        self.query_one(LogTable).show(self.rows, with_setter=self.all_setters, keep=same)
        self._show_told()

    @on(LogTable.NearEnd)
    def read_on(self) -> None:
        """Read the next page, where there is one."""
        if self.older is None or self.reading_on:
            return
        self.reading_on = True
        words = self.query_one("#words", Input).value
        call = partial(self.services.log_page, words, self.older, everyone=self.all_setters)
        self.ask(call, partial(self.Page, words=words, further=True), newest_only=True)

    @on(Input.Changed, "#words")
    def filter_rows(self) -> None:
        """Filter as the words are typed."""
        self.load()

    @on(Input.Submitted, "#words")
    def leave_filter(self) -> None:
        """Back to the rows."""
        self.query_one(LogTable).focus()

    @on(Values)
    def open_values(self, event: Values) -> None:
        """Ask the app to open the attempt."""
        self.post_message(Amend(event.attempt_id, event.values, self))

    @on(Changed)
    def show_change(self, event: Changed) -> None:
        """Say what was done, and read again."""
        self.sentence = event.sentence
        self.load()

    def action_filter(self) -> None:
        """Go to the filter line."""
        self.query_one("#words").focus()

    def action_clear(self) -> None:
        """Show all again, and go back to the rows."""
        self.query_one("#words", Input).value = ""
        self.sentence = ""
        self.query_one(LogTable).focus()

    @on(LogTable.Opened)
    def action_amend(self) -> None:
        """Correct the attempt marked."""
        row, services = self._marked(), self.services
        if row is not None:
            name = row.attempt_id
            self.ask(partial(services.values, name), partial(self.Values, name))

    def action_hide(self) -> None:
        """Hide the attempt marked."""
        row = self._marked()
        if row is not None:
            self.ask(partial(self.services.hide, row.attempt_id), self.Changed)

    def action_history(self) -> None:
        """Show every change of the attempt marked."""
        row = self._marked()
        if row is not None:
            self.ask(partial(self.services.history, row.attempt_id), Past)

    def action_undo(self) -> None:
        """Take the last change back."""
        self.ask(self.services.undo, self.Changed)

    def action_redo(self) -> None:
        """Put back what was taken back."""
        self.ask(self.services.redo, self.Changed)

    def action_everyone(self) -> None:
        """All setters, or only this one."""
        self.all_setters = not self.all_setters
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

    def _marked(self) -> "LogRow | None":
        return self.query_one(LogTable).marked_row

    def _show_told(self) -> None:
        words = self.query_one("#words", Input).value
        if self.sentence:
            told = self.sentence
        elif not self.rows:
            told = NO_MATCH if words else EMPTY
        else:
            whose = "all setters" if self.all_setters else line(self.services.setter)
            count = f"{self.total}" if self.total is not None else f"{len(self.rows)} and more"
            told = f"{count} attempts, {whose}"
        self.query_one("#told", Words).show(txt(told))
