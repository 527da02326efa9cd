"""An attempt, or a whole plate, is opened over the page it was asked from; what became of it."""

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING

from textual import events, on

from platebook.tui.entry.keys_behind import OF_A_PLATE
from platebook.tui.messages import Amend, Landed, Tells
from platebook.tui.now.screen import NowScreen
from platebook.tui.now.start_keys import WHOLE_PLATE
from platebook.tui.running.copies_kept import CopiesKept

if TYPE_CHECKING:
    from platebook.services.now.now_view import NowView
    from platebook.tui.entry.filled_in import FilledIn

UNFINISHED = "An attempt was left unfinished: finish it first, or throw it away, on Now (n)."
ONE_BY_ONE = "A block goes setting by setting, each as it is planned: Enter starts the next."


class OpensAttempts(CopiesKept, inherit_bindings=False):
    """An app over `now`, in which one attempt or plate at a time is filled in."""

    now: NowScreen

    def begin(self, view: "NowView", draft: Mapping[str, object] | None, sign: str) -> None:
        """Open an attempt at once, so that keys typed ahead reach it in order."""
        from platebook.practice.seeing import SEEING
        from platebook.tui.entry.screen import AttemptScreen
        from platebook.tui.plate.screen import FULL, PlateScreen

        if sign == WHOLE_PLATE and draft is None and view.advice.run is not None:
            self.now.tell(ONE_BY_ONE)
            return
        if view.advice.part == SEEING and draft is None:
            self.open_seeing()
            return
        if (sign == WHOLE_PLATE and draft is None) or OF_A_PLATE in (draft or {}):
            plate = PlateScreen.at(self.session, view, draft)
            if plate is None:
                self.now.tell(FULL)
            else:
                self.push_screen(plate, partial(self._after, plate, self.now))
            return
        self.push_screen(
            AttemptScreen.at(self.session, view, draft, sign, self.key_read_at),
            self._remember_unfinished,
        )

    @on(Amend)
    def amend(self, event: Amend) -> None:
        """Open an attempt of the logbook to be corrected."""
        from platebook.tui.entry.screen import AttemptScreen

        event.stop()
        if self.now.draft is not None:
            # There is one draft: opening another attempt over it would lose the first.
            event.screen.tell(UNFINISHED)
            return
        screen = AttemptScreen.correcting(self.session, event.attempt_id, event.values, event.told)
        self.push_screen(screen, partial(self._after, screen, event.screen))

    def _remember_unfinished(self, draft: Mapping[str, object] | None) -> None:
        self.now.leave_unfinished(draft)
        self.load_again()

    def _after(
        self,
        filled: "FilledIn",
        page: Tells,
        draft: Mapping[str, object] | None,
    ) -> None:
        """Say on the page that it was opened from what became of it."""
        self._remember_unfinished(draft)
        if draft is None and filled.outcome:
            page.tell(filled.outcome)
        # What was typed while it was saved is meant for what comes after it.
        for key in filled.held:
            self.call_later(self.on_event, events.Key(key.key, key.character))
        self.call_later(self.post_message, Landed())
