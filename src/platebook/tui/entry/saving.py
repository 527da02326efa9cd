"""An attempt as far as it is saved: the draft until then, the save, what comes next, keys behind.

A disk may take longer than somebody waits for it. What is typed while an attempt is saved is held,
written with the draft key by key, and taken where it was meant to go: after the save, or at the
next start, when the save is asked for again or is known to have been done.
"""

from collections.abc import Mapping
from functools import partial

from textual import events, on

from platebook.practice.reading.questions import label_of, problem_words
from platebook.services.attempts.recording import Recorded, amend, record
from platebook.services.now.now_view import NowView, WhatNext, what_next
from platebook.tui.bench_session import BenchSession
from platebook.tui.entry.entry import (
    RESULT,
    SEVERITY,
    Entry,
    changes_of,
    result_text,
    row_of,
    to_draft,
)
from platebook.tui.entry.filled_in import FilledIn
from platebook.tui.entry.start import begin_entry
from platebook.tui.messages import Answered, Done, Landed, ServiceFailed

OF_RESULT = frozenset({RESULT, SEVERITY})
WAS_SAVING = "This attempt was being saved: it is saved now, before what was typed after it."
TYPED_AFTER = "The attempt before is saved, and what was typed after it is here."
READ_THROUGH = "This is what was typed before the program ended: Enter saves it."


class SavingScreen(FilledIn):
    """Holds one entry, and saves it; dismissed with the draft left unfinished, or None.

    `saved` says whether the entry is saved and what comes next is shown, `following` is that. With
    `going_on` the keys that are held are those of a draft.
    """

    class Saved(Answered[Recorded]):
        """The logbook has taken the attempt, or says what is wrong with it."""

    class Following(Answered[WhatNext]):
        """What comes next, and what to do now about the last result."""

    def __init__(self, session: BenchSession, entry: Entry, *, sentence: str = "") -> None:
        super().__init__(session, sentence)
        self.entry = entry
        self.view: NowView | None = None
        self.saved = False
        self.headline = ""
        self.following: NowView | None = None
        self.remedies: tuple[str, ...] = ()
        self.going_on = self.was_saving = False

    def start(self) -> None:
        """Show the first stop; with keys of a draft what they lead to."""
        super().start()
        self.resume()

    def take(self, event: events.Key) -> None:
        """One key in its turn."""

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last line."""
        self.sentence = sentence
        self.show()

    def last_view(self) -> NowView | None:
        """What comes after the attempt just saved."""
        return self.following

    def leave_draft(self) -> None:
        """Leave the attempt as its draft, where it is not saved."""
        self.close_with(self.draft())

    def close_with(self, draft: Mapping[str, object] | None) -> None:
        """Leave, with this draft on the disk or none."""
        self.write_draft(draft, sync=True)
        self.dismiss(draft)

    def keep(self, *, sync: bool = False) -> None:
        """Write what is not saved yet to the draft file."""
        draft = self.draft()
        if draft is not None:
            self.write_draft(draft, sync=sync)

    def draft(self) -> Mapping[str, object] | None:
        """What is not saved, with what was typed behind a save; None for nothing."""
        if self.saved:
            return self.with_held({}) if self.held else None
        if not self.entry.started():
            return None
        # What is typed behind a correction is meant for the page it was opened from.
        new = self.entry.attempt_id is None
        return self.with_held(to_draft(self.entry)) if new else to_draft(self.entry)

    def go_on_with_keys(self, draft: Mapping[str, object]) -> None:
        """Hold what was typed behind the save of a draft; `resume` goes on with it."""
        self.was_saving = self.busy = self.hold_again(draft)
        self.going_on = bool(self.held)

    def resume(self) -> None:
        """Go on where a draft with keys behind it was left: with its save, or after that."""
        if self.was_saving:
            self.busy = False
        if self.going_on and self.saved:
            self.take_held()
        elif self.was_saving and self.is_to_be_saved():
            self.save()
            self.tell(WAS_SAVING)
        self.was_saving = False

    def is_to_be_saved(self) -> bool:
        """Whether Enter saves the attempt as it stands."""
        return not self.saved and self.entry.enter_saves()

    def save(self) -> None:
        """Ask the logbook to take the attempt."""
        self.busy = True
        self.sentence = ""
        entry, call = self.entry, self.session.call
        self.keep(sync=True)
        if entry.attempt_id is None:
            row = row_of(entry)
            self.ask(partial(call, record, [row], as_typed=True), self.Saved)
        elif changes := changes_of(entry):
            self.ask(partial(call, amend, entry.attempt_id, changes), self.Saved)
        else:
            self.close_with(None)

    @on(Saved)
    def go_on_after_saving(self, event: Saved) -> None:
        """Look for what comes next; or show what is wrong, with everything still there."""
        recorded = event.value
        if not recorded.stored and not _stands_already(recorded):
            wrong = "; ".join(problem_words(problem) for problem in recorded.problems)
            self.sentence = f"Not saved. {wrong[:1].upper()}{wrong[1:]}."
            self.take_held()
            return
        if self.entry.attempt_id is not None:
            others = [label_of(n) for n in changes_of(self.entry) if n not in OF_RESULT]
            told = [] if len(others) == len(changes_of(self.entry)) else [result_text(self.entry)]
            self.outcome = f"Corrected: {'; '.join([*told, *others])}."
            self.close_with(None)
            return
        self.saved = True
        self.write_draft(self.draft())
        self.sentence = " ".join(recorded.notices)
        self.headline = f"Saved: {result_text(self.entry)}"
        self.load()
        self.show()

    def load(self) -> None:
        """Look for what comes next, where the attempt is saved and that is not known yet."""
        if self.saved and self.following is None:
            result = row_of(self.entry).get(RESULT, "")
            self.busy = True
            self.ask(partial(self.session.call, what_next, result), self.Following)

    @on(Following)
    def offer_the_next(self, event: Following) -> None:
        """Show what comes next; Enter starts it."""
        self.following, self.remedies = event.value.view, event.value.remedies
        self.take_held()

    @on(Done)
    def tell_what_was_undone(self, event: Done) -> None:
        """Say what undo did, and look again for what comes next."""
        self.headline, self.sentence = event.value.partition(":")[0], event.value
        self.following = None
        self.load()

    @on(ServiceFailed)
    def keep_what_is_there(self) -> None:
        """Let the person go on; what went wrong is said as well.

        What was typed behind the save waits for the one that goes well.
        """
        self.busy = False
        self.show()

    def start_next(self, view: NowView) -> None:
        """Begin the attempt that comes next, at the time it was typed."""
        began = self.held_since if self.going_on else ""
        self.entry, self.view = begin_entry(self.session, view, began=began), view
        self.saved, self.sentence = False, ""
        self.following, self.remedies = None, ()

    def take_held(self) -> None:
        """Take what was typed behind a save, each key in its turn."""
        self.busy = False
        held, self.held = self.held, []
        for place, event in enumerate(held):
            if self.going_on and event.key == "enter" and self.is_to_be_saved():
                # Nobody has seen it, and by now another question may have been asked.
                self.held, self.sentence = held[place + 1 :], READ_THROUGH
                break
            if not self.keeps_back(event):
                self.take(event)
        if self.going_on and not self.saved:
            self.sentence = self.sentence or TYPED_AFTER
        if not self.held:
            self.held_since, self.going_on = "", False
        self.write_draft(self.draft())
        self.show()
        self.post_message(Landed())


def _stands_already(recorded: Recorded) -> bool:
    """Whether it is refused only because it was saved before."""
    # The program may have died after saving and before its draft was cleared.
    return any(problem.field == "attempt_id" for problem in recorded.problems)
