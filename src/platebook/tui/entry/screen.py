"""Attempt: set-up, readings, look and note, one question at a time, by the number pad alone."""

from collections.abc import Mapping
from functools import partial
from typing import ClassVar

from textual import events
from textual.app import ComposeResult

from platebook.practice.reading.questions import Question, no_answer
from platebook.services.attempts.recording import redo, undo
from platebook.services.now.now_view import NowView
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import command_for, commands_for, page_of
from platebook.tui.entry.answers import focus_of, look, looked_at
from platebook.tui.entry.entry import (
    RESULT,
    SET_UP,
    Entry,
    from_draft,
    to_draft,
)
from platebook.tui.entry.keys_behind import is_only_keys
from platebook.tui.entry.moves import (
    another_defect,
    as_worked_out,
    ask_doubt,
    back,
    go_on,
    press,
    rub_out,
    types,
    visit,
)
from platebook.tui.entry.page import AttemptPage
from platebook.tui.entry.saving import SavingScreen
from platebook.tui.entry.start import begin_entry, entry_from, gone_on_with, is_at
from platebook.tui.entry.stray_size import StraySize, stray_sentence
from platebook.tui.entry.words import enter_again
from platebook.tui.keys.command import character_of, says_nothing
from platebook.tui.messages import Done
from platebook.tui.now.start_keys import GOOD_ONE, foot_with_digits, means_something
from platebook.tui.parts.widgets import KeyLine
from platebook.values import replace

SAVED_BEFORE = "Saved: the attempt before"
RESTORED = "This attempt was not saved; it is as you left it."
NAMED = frozenset({"enter", "escape", "backspace", "up", "down"})
READINGS_FIRST = "Readings are asked for this one: they come before the result."

BACK_AND_FORTH = {"undo": undo, "redo": redo}
"""What takes a change back, and what puts it back, by the action of its key."""


class AttemptScreen(SavingScreen):
    """Fills in one attempt after another."""

    PLACE: ClassVar[str] = "attempt"

    def __init__(self, session: BenchSession, entry: Entry, *, sentence: str = "") -> None:
        super().__init__(session, entry, sentence=sentence)
        self.refused = ""
        self.stray: StraySize[Entry] = StraySize()

    @classmethod
    def at(
        cls,
        session: BenchSession,
        view: NowView,
        draft: Mapping[str, object] | None,
        sign: str,
        pressed_at: float,
    ) -> "AttemptScreen":
        """An attempt at what Now shows, or the draft.

        `sign` is the digit of the first reading, or `GOOD_ONE` for a good result, pressed at this
        second of the program.
        """
        unfinished = from_draft(draft) if draft is not None else None
        if unfinished is not None:
            screen = cls(session, gone_on_with(unfinished, view), sentence=RESTORED)
            screen.view = view if is_at(unfinished, view) else None
            screen.go_on_with_keys(draft or {})
            return screen
        entry = begin_entry(session, view)
        if draft is not None and is_only_keys(draft):
            screen = cls(session, entry)
            screen.saved, screen.headline, screen.following = True, SAVED_BEFORE, view
            screen.go_on_with_keys(draft)
            return screen
        first = READINGS_FIRST if sign == GOOD_ONE and entry.asked else ""
        if sign == GOOD_ONE and not first:
            entry = press(replace(entry, stop=RESULT), "0")
        screen = cls(session, entry, sentence=first)
        screen.view = view
        if means_something(view, sign):
            screen.stray.hear(sign, pressed_at, entry, typing=False)
            screen.entry = press(entry, sign)
        return screen

    @classmethod
    def correcting(
        cls, session: BenchSession, attempt_id: str, values: Mapping[str, str], told: str = ""
    ) -> "AttemptScreen":
        """An attempt of the logbook, to be corrected; `told` is said with it."""
        return cls(session, entry_from(attempt_id, values), sentence=told)

    def body(self) -> ComposeResult:
        """The page of the attempt."""
        yield AttemptPage()

    def on_key(self, event: events.Key) -> None:
        """Take a key that the attempt understands; leave the rest to the app."""
        if not self._takes(event):
            return
        event.stop()
        event.prevent_default()
        if not self.keeps_back(event):
            self.take(event)

    async def run_command(self, action: str) -> None:
        """What the attempt takes itself is as if its key were pressed, in its turn."""
        own = (c for c in commands_for(self._place()) if c.action == action)
        key = next((command.keys[0] for command in own), None)
        if key is None:
            await super().run_command(action)
        else:
            self.on_key(events.Key(key, character_of(key)))

    def on_paste(self, event: events.Paste) -> None:
        """Take a paste as the keys it stands for."""
        event.stop()
        for sign in event.text.replace("\r\n", "\n").replace("\r", "\n"):
            if sign == "\n":
                self.on_key(events.Key("enter", "\r"))
            else:
                self.on_key(events.Key(sign, sign))

    def in_focus(self) -> Question | None:
        """The question of the stop, the look included."""
        return None if self.saved else focus_of(self.entry)

    def word_in_focus(self) -> tuple[str, str]:
        """The field asked, at the answer marked; the defect where it is asked how bad it is."""
        word = None if self.saved else looked_at(self.entry)
        if word is not None and (self.entry.marked or self.entry.severity_of()):
            return word.field, word.value
        return super().word_in_focus()

    def show(self) -> None:
        """Show the stop of the moment, or what comes after saving."""
        saves = self.entry.enter_saves() and not self.saved
        foot = foot_with_digits(self._place(), self.following, saves=saves)
        # Where nothing is there to take out or to add to, no key offers it.
        moves = {"another": another_defect, "rub_out": rub_out}
        idle = {name for name, move in moves.items() if move(self.entry) == self.entry}
        idle |= {"another"} if types(self.entry) else set()
        self.query_one(KeyLine).commands = tuple(c for c in foot if c.action not in idle)
        page = self.query_one(AttemptPage)
        page.show(self.entry, self.parting or self.sentence, self.view)
        if self.saved:
            page.show_saved(self.headline, self.remedies, self.following)

    def _takes(self, event: events.Key) -> bool:
        if event.key == "question_mark" and not types(self.entry):
            return False
        named = event.key in NAMED or bool(page_of(event.key))
        return event.is_printable or named

    def take(self, event: events.Key) -> None:
        """Do what a key means where the attempt stands, and show it."""
        command = command_for(self._place(), event.key)
        action = command.action if command else ""
        if self._is_stray(event):
            pass
        elif self.saved:
            self._take_after_saving(action, event.character or "")
        elif action == "go_on" and self.is_to_be_saved():
            asked = ask_doubt(self.entry)
            if asked is self.entry:
                self.save()
            self.entry = asked
        elif action == "back":
            self._back()
        else:
            self._move(action, event.character or "")
        self.show()

    def _is_stray(self, event: events.Key) -> bool:
        """Whether the key is part of a size where a digit is asked; what it did is taken back."""
        typing = types(self.entry) and not self.saved
        earlier = self.stray.hear(event.character or "", event.time, self.entry, typing=typing)
        if earlier is None:
            return False
        if earlier is not self.entry:
            self.entry = earlier
            self.write_draft(to_draft(earlier) if earlier.started() else None)
        if self.stray.text:
            question = self.entry.question()
            asked = question.label if question is not None else RESULT
            self.sentence = stray_sentence(self.stray.text, asked)
        return True

    def _move(self, action: str, sign: str) -> None:
        before = self.entry
        refused, self.refused = self.refused, ""
        match action:
            case "go_on" if refused == before.stop:
                self.sentence = enter_again(before, self._asked())
            case "go_on":
                self.entry = go_on(before)
            case "look(-1)" | "look(1)":
                # Nothing is answered by looking: what was said stands, and no draft is written.
                self.entry = look(before, -1 if action == "look(-1)" else 1)
                return
            case "rub_out":
                self.entry = rub_out(before)
            case "another" if not types(before):
                self.entry = another_defect(before)
            case "as_worked_out" if not types(before):
                self.entry = as_worked_out(before)
            case "set_up" if not types(before):
                self.entry = visit(before, SET_UP)
            case _:
                self.entry = press(before, sign)
                if self.entry is before and sign.isprintable() and sign:
                    self._refuse(sign)
        if self.entry is not before:
            self.sentence = ""
            self.keep(sync=self.entry.stop != before.stop)

    def _refuse(self, sign: str) -> None:
        """Say that a key is no answer here; the next Enter does not pass it over."""
        focus = focus_of(self.entry)
        if focus is None or not focus.keys:
            self.sentence = says_nothing(sign)
            return
        self.sentence = no_answer(self._asked(), sign, focus.digits)
        self.refused = "" if self.entry.value(self.entry.stop) else self.entry.stop

    def _asked(self) -> str:
        focus = focus_of(self.entry)
        return focus.label.rstrip("?") if focus is not None else RESULT

    def _back(self) -> None:
        earlier = back(self.entry)
        if earlier is None:
            self.close_with(self.draft())
        else:
            self.entry = earlier

    def _take_after_saving(self, action: str, sign: str) -> None:
        if action == "go_on" and self.following is not None:
            self.start_next(self.following)
        elif means_something(self.following, sign) and self.following is not None:
            self.start_next(self.following)
            self.stray.starts_from(self.entry)
            self._move("", sign)
        elif action in BACK_AND_FORTH:
            self.busy = True
            self.ask(partial(self.session.call, BACK_AND_FORTH[action]), Done)
        elif action == "back":
            self.dismiss(None)
        elif sign.isprintable() and sign:
            self.sentence = says_nothing(sign)

    def _place(self) -> str:
        return "saved" if self.saved else self.PLACE
