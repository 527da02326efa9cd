"""Keys typed before anybody knows what they are for wait, in order, for the screen that comes.

Where the first sight of a logbook is shown, its keys mean what they say there. Without one the next
screen may as well ask for a name, of which the letters would be commands.
"""

from collections.abc import Iterable

from textual import events
from textual.message import Message

TYPED = ("enter", "ctrl+j", "backspace", "escape")
"""Keys that wait besides letters. A terminal sends Ctrl+J for an Enter from before it was ours."""

Typed = events.Key | events.Paste


class KeysAhead:
    """Holds what is typed for as long as it is `waiting`."""

    def __init__(self, *, waiting: bool) -> None:
        self.waiting = waiting
        self._typed: list[Typed] = []

    def takes(self, message: Message) -> bool:
        """Whether this is held, to be given on later; commands such as Ctrl+Q never are."""
        if not self.waiting or not isinstance(message, Typed) or message.is_forwarded:
            return False
        if isinstance(message, events.Key) and not (message.is_printable or message.key in TYPED):
            return False
        self._typed.append(message)
        return True

    def holds_any(self) -> bool:
        """Whether anything typed waits to be given on."""
        return bool(self._typed)

    def hold(self) -> None:
        """From now on what is typed waits until it is given on."""
        self.waiting = True

    def give(self) -> Iterable[Typed]:
        """What was held, in order; nothing is held from now on."""
        self.waiting = False
        typed, self._typed = self._typed, []
        return typed
