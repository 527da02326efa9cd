"""What others saw and wrote, in a window: their look beside one's own, and words."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content

from platebook.practice.people.received import Received, SeenLook, Word
from platebook.practice.results import verdict
from platebook.reports.text.received_text import NOTHING, look_head, theirs, word_head
from platebook.tui.base_screen import ReadWindow
from platebook.tui.commands import bindings_for
from platebook.tui.parts.text import fit, line, stack, txt
from platebook.tui.parts.widgets import Words

OWN = 34
"""Cells of the column with one's own verdict."""


class ReceivedScreen(ReadWindow):
    """Messages, then looks, newest first."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for("history")]

    def __init__(self, received: Received) -> None:
        super().__init__()
        self.received = received

    def compose(self) -> ComposeResult:
        """A few lines each."""
        parts = [
            *(part for word in self.received.words for part in _word(word)),
            *(part for look in self.received.looks for part in _look(look)),
        ]
        with VerticalScroll() as window:
            window.border_title = txt("From others")
            yield Words(stack(*(parts or [txt(NOTHING)])))
            if parts:
                yield Words(txt("v in the Log shows it again.", "$muted"))


def _word(word: Word) -> list[Content]:
    return [txt(word_head(word), "bold $accent"), txt(word.text), txt("")]


def _look(look: SeenLook) -> list[Content]:
    """The head, both verdicts side by side, and the comment."""
    yours, other = verdict(look.own_result, look.own_severity), theirs(look)
    return [
        txt(look_head(look), "bold $accent"),
        Content.assemble(
            ("yours: ", "$muted"), fit(yours, OWN - 7), ("theirs: ", "$muted"), line(other)
        ),
        *([txt(look.comment)] if look.comment else []),
        txt(""),
    ]
