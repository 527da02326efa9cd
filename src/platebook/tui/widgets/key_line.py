"""The last line of every screen: the keys that matter here, each clickable."""

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.commands import Command, key_text

LAST = (("?", "help", "app.help"), ("Ctrl+Q", "quit", "app.leave"))


class KeyLine(Widget):
    """As many commands as fit, the most needed first; help and the way out always."""

    DEFAULT_CSS = """
    KeyLine { height: 1; background: $panel; color: $foreground; }
    """

    commands: reactive[tuple[Command, ...]] = reactive(())

    class Chosen(Message):
        """A command was clicked."""

        def __init__(self, action: str) -> None:
            super().__init__()
            self.action = action

    def on_click(self, event: events.Click) -> None:
        """Find which command stands under the pointer."""
        place = 0
        for key, label, action in self._shown():
            place += cell_len(key) + cell_len(label) + 3
            if event.x < place:
                self.post_message(self.Chosen(action))
                return

    def render(self) -> Content:
        """The line."""
        parts = [
            Content.assemble((f" {key}", "bold $accent"), f" {label} ")
            for key, label, _ in self._shown()
        ]
        return Content("").join(parts)

    def _shown(self) -> list[tuple[str, str, str]]:
        room = self.size.width - sum(len(k) + len(label) + 3 for k, label, _ in LAST)
        shown = []
        for command in self.commands:
            key = key_text(command.keys[0])
            room -= cell_len(key) + cell_len(command.label) + 3
            if room < 0:
                break
            shown.append((key, command.label, command.action))
        return [*shown, *LAST]
