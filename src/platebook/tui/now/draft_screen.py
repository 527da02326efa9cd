"""What Now does with an attempt that was left unfinished, and with undo, which brings it back."""

from collections.abc import Mapping
from typing import ClassVar

from textual import on

from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.entry.keys_behind import OF_A_PLATE, is_only_keys, was_saving
from platebook.tui.messages import Answered, Done
from platebook.tui.parts.text import line

KEPT_FOR = "The {what} of {name} is kept: it waits until they sit down again."
UNFINISHED = "{what} was left unfinished. Enter goes on with it, x throws it away."
WAS_SAVING = (
    "{what} was being saved when the program ended, and more was typed after it. Enter saves it and"
    " goes on, x throws both away."
)
TYPED_AFTER = "What was typed after the last save is kept. Enter goes on with it, x throws it away."
NONE_UNFINISHED = "Nothing is unfinished: there is nothing to throw away."
WAITS = "A draft of {name}'s waits for them."

Draft = Mapping[str, object]


class DraftScreen(BenchScreen[None]):
    """Now, as far as it keeps one draft at most, throws it away, and takes changes back.

    `sentence` is what it says of that, `waiting` are the names of others whose drafts wait for
    them.
    """

    PLACE: ClassVar[str] = "now"

    class ThrownAway(Answered[str]):
        """The mark of the last change before the draft was thrown away."""

    class Undone(Answered[str]):
        """What was taken back, in a sentence; empty for throwing a draft away."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.draft: Draft | None = None
        self.thrown_away: Draft | None = None
        self.thrown_at: str | None = None
        self.waiting: tuple[str, ...] = ()
        self.sentence = ""

    def show(self) -> None:
        """Bring all parts up to date with what is known."""

    def of_drafts(self) -> list[str]:
        """That a draft waits here, and what for; else whose others wait, where nothing is said."""
        if self.draft is not None:
            if is_only_keys(self.draft):
                return [TYPED_AFTER]
            what = "A plate" if OF_A_PLATE in self.draft else "An attempt"
            said = WAS_SAVING if was_saving(self.draft) else UNFINISHED
            return [said.format(what=what)]
        if self.sentence:
            return []
        return [WAITS.format(name=line(name or "somebody")) for name in self.waiting]

    def leave_unfinished(self, draft: Draft | None) -> None:
        """Remember an attempt that was set aside (or that there is none)."""
        self.draft = draft
        self.sentence = ""

    def hand_over(self, name: str) -> None:
        """Somebody else sits down: what is unfinished stays for who began it, and that is said."""
        unfinished, self.draft, self.thrown_away = self.draft, None, None
        self.sentence = ""
        if unfinished is not None:
            what = "plate" if OF_A_PLATE in unfinished else "attempt"
            self.sentence = KEPT_FOR.format(what=what, name=name)

    @on(Done)
    def show_change(self, event: Done) -> None:
        """Say what undo or redo did, and look again."""
        self.sentence = event.value
        self.load()

    def action_throw_away(self) -> None:
        """Throw the unfinished attempt away; undo brings it back while the program runs."""
        if self.draft is not None:
            self.thrown_away, self.draft = self.draft, None
            self.thrown_at = None
            self.sentence = "Thrown away. u brings it back."
            self.write_draft(None)
            self.show()
            self.ask(self._last_change, self.ThrownAway)
        else:
            self.sentence = NONE_UNFINISHED
            self.show()

    @on(ThrownAway)
    def remember_when(self, event: ThrownAway) -> None:
        """What was the last change when the draft was thrown away: later ones go first."""
        self.thrown_at = event.value

    def _last_change(self) -> str:
        from platebook.services.attempts.recording import undo_mark

        return self.session.call(undo_mark)

    def action_undo(self) -> None:
        """Take back the last thing that happened: a change, or a draft thrown away after it."""
        thrown = self.thrown_away is not None and self.draft is None
        if thrown and self.thrown_at is None:
            self.bring_back()
            return
        session, thrown_at = self.session, self.thrown_at if thrown else None

        def undone() -> str:
            from platebook.services.attempts.recording import undo

            if thrown_at is not None and self._last_change() == thrown_at:
                return ""
            return session.call(undo)

        self.ask(undone, self.Undone)

    @on(Undone)
    def show_undone(self, event: Undone) -> None:
        """Say what was taken back; an empty sentence stands for the draft thrown away."""
        if event.value:
            self.sentence = event.value
            self.load()
        else:
            self.bring_back()

    def bring_back(self) -> None:
        """The draft that was thrown away is there again."""
        if self.thrown_away is None or self.draft is not None:
            return
        self.draft, self.thrown_away, self.thrown_at = self.thrown_away, None, None
        self.sentence = "Taken back: throwing it away."
        self.write_draft(self.draft, sync=True)
        self.show()

    def action_redo(self) -> None:
        """Put back what was taken back."""
        session = self.session

        def redone() -> str:
            from platebook.services.attempts.recording import redo

            return session.call(redo)

        self.ask(redone, Done)
