"""A screen that is left once: a second answer to leave it, in quick typing, leaves nothing else."""

from textual import events, on
from textual.await_complete import AwaitComplete
from textual.screen import Screen, ScreenResultType


class LeftOnce(Screen[ScreenResultType]):
    """Leaves only while it is in front.

    Textual takes away whatever is in front, so that two answers in a row would take the screen
    below away too. What lies over this one, as help does, is left by itself first.
    """

    leaves: list[ScreenResultType | None] | None = None
    """With what it is left as soon as it is in front; None while nothing asked for it."""

    def dismiss(self, result: ScreenResultType | None = None) -> AwaitComplete:
        """Leave it with this result; nothing where it was left already."""
        if self.is_active:
            return super().dismiss(result)
        if self in self.app.screen_stack:
            self.leaves = [result]
        return AwaitComplete()

    @on(events.ScreenResume)
    def leave_as_asked(self) -> None:
        """Leave it now, where it was to be left under another screen."""
        if self.leaves is not None and self.is_active:
            (result,), self.leaves = self.leaves, None
            super().dismiss(result)
