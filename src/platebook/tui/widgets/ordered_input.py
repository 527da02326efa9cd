"""Inputs that keep keys in the order they came, however fast they came.

Textual hands printable keys to the focused input's own queue, while keys that are bindings (Enter,
Backspace, arrows) go round by the app and run later. A caliper that types like a keyboard, or a
person during a stall, then finds Enter after the next reading. `OrderedInput` runs its own bindings
in place; `Capture` takes a whole series of readings without the focus ever moving.
"""

from textual import events
from textual.message import Message
from textual.widgets import Input


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


class Capture(OrderedInput):
    """One focus target for a series of readings: each Enter takes in one, and the line is empty."""

    class Taken(Message):
        """One reading of the series."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    async def action_submit(self) -> None:
        """Take in the line."""
        self._take(self.value)

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        first, *others = event.text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        self.insert_text_at_cursor(first)
        for text in others:
            self._take(self.value)
            self.insert_text_at_cursor(text)

    def _take(self, text: str) -> None:
        self.value = ""
        self.post_message(self.Taken(text))
