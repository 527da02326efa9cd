"""What the screens that fill in attempts share: a save under way, and keys that come meanwhile."""

from collections.abc import Mapping

from textual import events

from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import page_of
from platebook.tui.entry.keys_behind import keys_behind, typed_at, was_saving, with_keys
from platebook.tui.messages import ToPage


class FilledIn(BenchScreen[Mapping[str, object] | None]):
    """Fills in attempts; dismissed with the draft left unfinished, or None.

    While it is `busy` with a save, keys are `held`, and written with the draft, so that they
    outlive a program that has to end first; while it is `leaving` for a page they are meant for
    that page. `outcome` says afterwards what became of it, and `parting` stands in place of every
    other sentence while the program waits for the save to leave.
    """

    def __init__(self, session: BenchSession, sentence: str = "") -> None:
        super().__init__(session)
        self.sentence = sentence
        self.outcome = self.parting = ""
        self.busy = self.leaving = False
        self.held: list[events.Key] = []
        self.held_since = ""

    def start(self) -> None:
        """Show what is asked first."""
        self.show()

    def on_resize(self) -> None:
        """Another width has room for other things."""
        self.show()

    def show(self) -> None:
        """Bring all parts up to date."""

    def keys_wait(self) -> bool:
        """Whether keys were typed behind a save that is under way."""
        return self.busy and bool(self.held)

    def say_parting(self, sentence: str) -> None:
        """Whatever is told meanwhile, of keys and of the save, this is what comes."""
        self.parting = sentence
        self.show()

    def set_aside(self) -> None:
        """Leave what is filled in as its draft for another page; a save under way goes first."""
        self.leaving = False
        if not self.busy and self.is_active:
            self.leave_draft()

    def leave_draft(self) -> None:
        """Leave with what is not saved as the draft."""

    def hold(self, event: events.Key) -> None:
        """Take a key once the save under way is done, here or at the next start."""
        self.held_since = self.held_since or self.session.clock().isoformat(timespec="seconds")
        self.held.append(event)
        self.keep()

    def with_held(self, draft: Mapping[str, object]) -> Mapping[str, object]:
        """The draft with what was typed behind its save."""
        return with_keys(draft, self.held, self.held_since, saving=self.busy)

    def hold_again(self, draft: Mapping[str, object]) -> bool:
        """Hold what was typed behind the save of a draft; gives whether that was under way."""
        self.held, self.held_since = keys_behind(draft), typed_at(draft)
        return bool(self.held) and was_saving(draft)

    def keeps_back(self, event: events.Key) -> bool:
        """Whether a key answers nothing now.

        It leads to a page, or was typed behind one that does, or waits until the save is over.
        """
        if self.busy and not self.leaving:
            self.hold(event)
        elif not self.leaving and (page := page_of(event.key)):
            self.leaving = True
            self.post_message(ToPage(page))
        else:
            return self.leaving
        return True
