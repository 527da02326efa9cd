"""The logbook has its copies seen to while the app runs, beside everything else."""

import contextlib
import threading

from textual import on
from textual.message import Message

from platebook.tui.base_screen import BenchScreen
from platebook.tui.messages import Said
from platebook.tui.now.screen import NowScreen
from platebook.tui.ways_in import WaysIn

AN_HOUR_S = 3600.0
"""How often an app that stays open sees whether the logbook needs a copy."""


class CopiesKept(WaysIn, inherit_bindings=False):
    """An app that looks after its logbook once the exercise is shown, where it `looks_after`."""

    looks_after = False
    looked_after = False

    class LookedAfter(Message):
        """The logbook was looked after aside, and this is to be said, a sentence each."""

        def __init__(self, sentences: tuple[str, ...]) -> None:
            super().__init__()
            self.sentences = sentences

    @on(NowScreen.Loaded)
    def look_after_first(self) -> None:
        """Begin to, once the exercise is painted: a copy of a large logbook would hold it up."""
        if self.looks_after and not self.looked_after:
            self.looked_after = True
            self.call_after_refresh(self.look_after)

    def look_after(self) -> None:
        """See to the copies of the logbook, beside everything: leaving waits for nothing of it."""

        def look() -> None:
            from platebook.services.backups import look_after

            with contextlib.suppress(Exception):
                self.post_message(self.LookedAfter(self.session.call(look_after)))

        threading.Thread(target=look, name="copies", daemon=True).start()

    def action_copy(self) -> None:
        """Copy the logbook now, and say where to."""
        screen = self.page_in_front()

        def copied() -> str:
            from platebook.services.backups import copied_now

            return self.session.call(copied_now)

        if screen is not None:
            screen.ask(copied, Said)

    @on(LookedAfter)
    def tell_of_copies(self, event: LookedAfter) -> None:
        """Say it on the screen in front, quietly."""
        if event.sentences and isinstance(self.screen, BenchScreen):
            self.screen.tell(" ".join(event.sentences))
