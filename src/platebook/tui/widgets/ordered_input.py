"""Inputs that keep keys in the order they came, however fast they came.

Textual hands printable keys to the focused input's own queue, while keys that are bindings (Enter,
Backspace, arrows) go round by the app and run later. A caliper that types like a keyboard, or a
person during a stall, then finds Enter after the next reading. `OrderedInput` runs its own bindings
in place. A series of readings needs no input at all: Attempt and Plate take their keys themselves.
"""

from textual import events
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
