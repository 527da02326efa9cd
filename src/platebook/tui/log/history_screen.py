"""The past of an attempt in a window: its changes, oldest first."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from platebook.tui.base_screen import ReadWindow
from platebook.tui.commands import bindings_for
from platebook.tui.parts.text import stack, txt


class HistoryScreen(ReadWindow):
    """A window with the changes, oldest first."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for("history")]

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__()
        self.sentences = sentences

    def compose(self) -> ComposeResult:
        """One line a change."""
        with VerticalScroll() as window:
            window.border_title = txt("History")
            yield Static(stack(*(txt(sentence) for sentence in self.sentences)))
