"""Inputs that keep keys in order, and a list with one row marked.

Textual hands printable keys to the focused input's own queue, while keys that are bindings (Enter,
Backspace, arrows) go round by the app and run later. A caliper that types like a keyboard, or a
person during a stall, then finds Enter after the next reading. `OrderedInput` runs its own bindings
in place. A series of readings needs no input at all: Attempt and Plate take their keys themselves.
"""

from collections.abc import Sequence

from textual import events
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import Input

from platebook.tui.text import MARK, fitted, line, stacked, txt


class OrderedInput(Input):
    """An input whose editing keys keep their order with printable ones. Use it for every input."""

    async def _on_key(self, event: events.Key) -> None:
        # Textual goes on to Input's own handler unless the default is prevented.
        if event.is_printable:
            return
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            if not binding.priority:
                event.stop()
                event.prevent_default()
                await self.run_action(binding.action)
                return


class PickList(Widget):
    """Rows of two columns; a click marks one."""

    DEFAULT_CSS = "PickList { height: 1fr; }"

    rows: reactive[Sequence[tuple[str, str]]] = reactive(())
    marked: reactive[int] = reactive(0)

    class Marked(Message):
        """Another row is marked."""

    def move(self, by: int) -> None:
        """Mark the row this many further down."""
        self.mark(self.marked + by)

    def mark(self, place: int) -> None:
        """Mark this row, or the nearest one there is."""
        self.marked = min(max(place, 0), max(len(self.rows) - 1, 0))
        self.post_message(self.Marked())

    def on_click(self, event: events.Click) -> None:
        """Mark the row under the pointer."""
        place = self._shown().start + event.y
        if place < len(self.rows):
            self.mark(place)

    def render(self) -> Content:
        """The rows around the mark."""
        return stacked(*(self._row(place) for place in self._shown())) if self.rows else txt("")

    def _shown(self) -> range:
        room = max(self.size.height, 1)
        first = min(max(self.marked - room // 2, 0), max(len(self.rows) - room, 0))
        return range(first, min(first + room, len(self.rows)))

    def _row(self, place: int) -> Content:
        left, right = self.rows[place]
        here = place == self.marked
        right = line(right)
        room = max(self.size.width - len(right) - 4, 4)
        return Content.assemble(
            (f"{MARK} " if here else "  ", "bold $accent"),
            (fitted(left, room), "bold" if here else ""),
            (f" {right}", "$muted"),
        )
