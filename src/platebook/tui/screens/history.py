"""History: every change of one attempt, in sentences."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from platebook.tui.commands import bindings_for
from platebook.tui.text import stacked, txt


class HistoryScreen(ModalScreen[None]):
    """A window with the changes, oldest first."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for("history")]
    DEFAULT_CSS = """
    HistoryScreen { align: center middle; }
    HistoryScreen > VerticalScroll {
        width: 76; max-width: 100%; height: auto; max-height: 100%; padding: 0 2;
        background: $surface; border: round $primary; border-title-color: $accent;
    }
    HistoryScreen Static { height: auto; }
    """

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__()
        self.sentences = sentences

    def compose(self) -> ComposeResult:
        """One line a change."""
        with VerticalScroll() as window:
            window.border_title = txt("History")
            yield Static(stacked(*(txt(sentence) for sentence in self.sentences)))
            yield Static(stacked(txt(""), txt("Esc closes this.", "$muted")))

    def action_close(self) -> None:
        """Close the window."""
        self.dismiss(None)
