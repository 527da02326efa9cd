"""Keys typed right after one that leads elsewhere wait until it has led there.

Textual runs a screen's key after the next one was handed out already. Letters typed on after a key
that opens a line, in one burst, would be commands of the page; so they wait for the line.
"""

from textual import events
from textual.app import App, ReturnType
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widgets import Input

from platebook.tui.commands import command_for, everywhere_at
from platebook.tui.keys.command import leads_elsewhere

HELD_AT_MOST_S = 2.0
"""A key later than this goes where the screen is by then, whatever became of the one before."""


class InOrderApp(App[ReturnType], inherit_bindings=False):
    """An app in which a key goes to the screen, or the line, that the key before it opened."""

    def __init__(self) -> None:
        super().__init__()
        self.key_read_at = 0.0
        self.held_since: float | None = None
        self.held_keys: list[events.Key | events.Paste] = []

    async def on_event(self, event: events.Event) -> None:
        """Hand a key out, or hold it while the one before is on its way.

        `key_read_at` is when the terminal was read for the key whose command runs, in seconds.
        """
        if isinstance(event, events.Key):
            self.key_read_at = event.time
        if not isinstance(event, events.Key | events.Paste) or event.is_forwarded:
            await super().on_event(event)
            return
        if self.held_since is not None:
            self.held_keys.append(event)
            if event.time - self.held_since > HELD_AT_MOST_S:
                await self._give_on()
            return
        asked: DOMNode = self.focused or self.screen
        if isinstance(event, events.Key) and self._leads(event):
            self.held_since = event.time
        await super().on_event(event)
        if self.held_since is None:
            return
        # A line that is sent off says so by a message of its own: a second round is behind that.
        if not isinstance(asked, Input) or not asked.call_later(self._follow, asked):
            self._follow(asked)

    def _leads(self, key: events.Key) -> bool:
        """Whether this key opens a line or another screen, and is no letter of what is typed."""
        if key.is_printable and isinstance(self.focused, Input):
            return False
        place = getattr(self.screen, "PLACE", "")
        everywhere = (c for c in everywhere_at(place) if key.key in c.keys)
        command = command_for(place, key.key) or next(everywhere, None)
        return command is not None and leads_elsewhere(command)

    def _follow(self, node: DOMNode | None) -> None:
        """Go the way of the key from queue to queue: behind it, all that it did is done."""
        while node is not None and node is not self:
            if node.call_later(self._follow, node.parent):
                return
            node = node.parent
        self.call_later(self._arrive, None)

    async def _arrive(self, through: Screen[object] | None) -> None:
        """Wait for the screen in front to be there with its focus, then give on what was typed."""
        front = self.screen
        if front is not through and front.call_later(self.call_later, self._arrive, front):
            return
        await self._give_on()

    async def _give_on(self) -> None:
        self.held_since = None
        held, self.held_keys = self.held_keys, []
        for typed in held:
            await self.on_event(typed)
