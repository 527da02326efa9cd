"""How far long work is, for the screens that begin it; no screen that is painted first has one."""

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import ProgressBar

from platebook.tui.parts.text import txt
from platebook.tui.parts.widgets import Words

STOPS = "Esc stops it"


class LongBar(Horizontal):
    """A bar with how many steps are done, of how many; it cannot be focused."""

    DEFAULT_CSS = """
    LongBar { height: 1; padding: 0 1; display: none; }
    LongBar.-shown { display: block; }
    LongBar > ProgressBar { width: auto; }
    LongBar > Words { width: 1fr; padding: 0 0 0 2; color: $text-muted; }
    """

    can_focus = False

    def compose(self) -> ComposeResult:
        """The bar, and the steps in numbers."""
        yield ProgressBar(show_eta=False, show_percentage=False)
        yield Words()

    def show(self, done: float, of: int) -> None:
        """Come up, or go on; without a number of steps the bar only moves."""
        self.add_class("-shown")
        self.query_one(ProgressBar).update(total=of or None, progress=done)
        steps = f"{int(done)} of {of}. {STOPS}" if of else STOPS
        self.query_one(Words).show(txt(steps))

    def hide(self) -> None:
        """The work is done, or was stopped."""
        self.remove_class("-shown")
