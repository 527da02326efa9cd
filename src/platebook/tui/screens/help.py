"""Help: what this screen is for, what every key does, and the trade's words explained once."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from platebook.tui.commands import EVERYWHERE, PLACES, Command, bindings_for, commands_for
from platebook.tui.help_words import ABOUT, glossary
from platebook.tui.text import fitted, line, stacked, txt

KEY_WIDTH = 14


class HelpScreen(ModalScreen[None]):
    """A window with the keys of one screen, then those that work everywhere."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for("help")]
    DEFAULT_CSS = """
    HelpScreen { align: center middle; }
    HelpScreen > VerticalScroll {
        width: 76; max-width: 100%; height: auto; max-height: 100%; padding: 0 2;
        background: $surface; border: round $primary; border-title-color: $accent;
    }
    HelpScreen Static { height: auto; }
    """

    def __init__(self, place: str) -> None:
        super().__init__()
        self.place = place

    def compose(self) -> ComposeResult:
        """The keys here, then everywhere."""
        with VerticalScroll() as window:
            window.border_title = txt(f"Help: {PLACES.get(self.place, self.place)}")
            if about := ABOUT.get(self.place):
                yield Static(stacked(txt(about), txt("")))
            yield Static(_table(commands_for(self.place)))
            yield Static(stacked(txt(""), txt("Everywhere", "bold $accent")))
            yield Static(_table(commands_for(EVERYWHERE)))
            yield Static(stacked(txt(""), txt("Words of the trade", "bold $accent")))
            yield Static(stacked(*(_word(word, meaning) for word, meaning in glossary())))
            yield Static(stacked(txt(""), txt("Esc closes this.", "$muted")))

    def action_close(self) -> None:
        """Close the window."""
        self.dismiss(None)


def _table(commands: tuple[Command, ...]) -> Content:
    return stacked(*(_row(command) for command in commands))


def _word(word: str, meaning: str) -> Content:
    return Content.assemble((fitted(word, KEY_WIDTH), "bold"), line(meaning))


def _row(command: Command) -> Content:
    return Content.assemble(
        (fitted(command.key_text, KEY_WIDTH), "bold $accent"), line(command.says)
    )
