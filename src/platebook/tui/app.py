"""The app: theme, keys, session and navigation, nothing else.

Only Textual is imported before the first paint. A worker then opens the session and fills Now; the
other screens are imported when they are first shown.
"""

import asyncio
import contextlib
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual import events, on
from textual.binding import BindingType
from textual.css.query import NoMatches
from textual.screen import Screen

from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import bindings_for
from platebook.tui.messages import Answered, Landed, ServiceFailed, ToNow, ToPage
from platebook.tui.now.screen import NowScreen
from platebook.tui.pages import page_at
from platebook.tui.parts.text import line
from platebook.tui.places import EVERYWHERE
from platebook.tui.running.copies_kept import AN_HOUR_S
from platebook.tui.running.end_on_signals import LOOK_S, PATIENCE_S, EndOnSignals
from platebook.tui.running.first_paint import FirstSight
from platebook.tui.running.keys_ahead import KeysAhead
from platebook.tui.running.opens_attempts import OpensAttempts
from platebook.tui.running.settings import KeptSettings, settings_file
from platebook.tui.running.trouble import TroubleScreen, write_log

if TYPE_CHECKING:
    from platebook.services.people.setters import FirstOffers
    from platebook.services.session import Session


BROKEN = (
    "platebook had to stop: {name}. What was saved is safe, and what was being typed is kept as a"
    " draft for the next start."
)
UNEXPECTED = "That could not be done: {name}. The details are in the program's log file."
SAVES_THEN = "Saving first, with what was typed after it; Ctrl+Q once more leaves at once."
LEAVES_THEN = "What was typed is taken first; Ctrl+Q once more leaves at once."
TODAY = "Today"


class BenchApp(OpensAttempts, inherit_bindings=False):
    """The app on one session."""

    TITLE = "platebook"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for(EVERYWHERE)]
    CSS = """
    Screen { background: $background; color: $foreground; }
    ModalScreen, ReadWindow { background: $background 70%; }
    SearchIcon { display: none; }
    """

    class Opened(Answered["FirstOffers | None"]):
        """The session is open; with offers for a first start, None where somebody is set up."""

    def __init__(
        self,
        session: BenchSession,
        *,
        log_file: Path | None = None,
        sight: FirstSight | None = None,
        looks_after: bool = False,
        settings: KeptSettings | None = None,
        seconds: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(session, settings or KeptSettings(), seconds)
        self.looks_after = looks_after
        self.log_file = log_file
        self.session_asked_for = self.leaving = False
        self.ended_by = 0
        self.keys_ahead = KeysAhead(waiting=sight is not None and sight.is_new())
        self._signals: EndOnSignals | None = None
        self.now = NowScreen(session, self.begin, sight, self.keys_ahead.hold)

    def get_default_screen(self) -> Screen[Any]:
        """Now is the first screen."""
        return self.now

    async def on_event(self, event: events.Event) -> None:
        """Every key comes by here; where a first start may be about to ask, it waits for that."""
        if not self.keys_ahead.takes(event):
            await super().on_event(event)

    def on_mount(self) -> None:
        """Listen to the system's signals."""
        self._signals = EndOnSignals(asyncio.get_running_loop(), self.end_on_signal)
        self._signals.listen()

    def on_ready(self) -> None:
        """After the first paint open the session beside the event loop."""
        self.open_if_waiting()

    def on_unmount(self) -> None:
        """Give the signals back."""
        if self._signals is not None:
            self._signals.stop()

    def open_session(self) -> None:
        """Open the session in a worker."""
        session = self.session

        def open_for_offers() -> "FirstOffers | None":
            session.open()
            if session.setter:
                return None
            # Somebody is at the bench on all days but the first, and then it is not loaded.
            from platebook.services.people.setters import first_offers

            return session.call(first_offers)

        self.session_asked_for = True
        self.now.ask(open_for_offers, self.Opened)

    def open_if_waiting(self) -> None:
        """Open the session, unless it was asked for before, as by a key typed ahead."""
        if not self.session_asked_for:
            self.open_session()

    @on(Opened)
    async def fill(self, event: Opened) -> None:
        """Show Now, or the first start where nobody has been set up, with what was typed ahead."""
        if self.looks_after:
            self.set_interval(AN_HOUR_S, self.look_after)
        if event.value is not None or self.session.teaching:
            self.look_after_first()
        if event.value is not None:
            from platebook.tui.people.first_start_screen import FirstRunScreen

            first_run = FirstRunScreen(self.session, event.value)
            await self.push_screen(first_run, self._begun)
            first_run.take_typed(self.keys_ahead.give())
        else:
            self.now.load()
            self._show_what_is_theirs()
            for typed in self.keys_ahead.give():
                await super().on_event(typed)
        self.post_message(Landed())

    @on(NowScreen.TypedOn)
    async def type_on(self, event: NowScreen.TypedOn) -> None:
        """What was typed ahead of the exercise goes to the screen it led to, in its order."""
        held = self.keys_ahead.give()
        for typed in () if event.lost else held:
            await super().on_event(typed)
        self.post_message(Landed())

    @on(ToPage)
    def go_to_page(self, event: ToPage) -> None:
        """Go where a screen that takes its keys itself was asked to lead."""
        self.action_show(event.value)

    def news_is_read(self) -> None:
        """The line on Now that says so goes."""
        self.now.news_is_read()

    def _begun(self, sheet: str | None) -> None:
        """After the first start: on to Now, or to the sheet it is to begin with."""
        self.now.load()
        self._show_what_is_theirs()
        if sheet is not None:
            self.action_sheet(sheet)

    def _show_what_is_theirs(self) -> None:
        """A teacher's first screen is the class: there is no exercise of their own."""
        if self.session.teaching and self.screen is self.now:
            self.action_show("class")

    @on(ServiceFailed)
    def tell_trouble(self, event: ServiceFailed) -> None:
        """Say what a use case could not do, and offer to try again; typed for it was nothing."""
        self.keys_ahead.give()
        self.leaving = False
        if self.ended_by:
            self._end()
            return
        self.look_after_first()
        sentence = getattr(event.error, "sentence", "")
        cause = getattr(event.error, "cause", "")
        if not sentence:
            write_log(self.log_file, event.error)
            sentence = UNEXPECTED.format(name=type(event.error).__name__)
        if isinstance(self.screen, BenchScreen):
            self.screen.say_parting("")
            self.screen.tell(sentence)
        if not isinstance(self.screen, TroubleScreen):
            kept = all(s.draft_kept for s in self.screen_stack if isinstance(s, BenchScreen))
            self.push_screen(TroubleScreen(sentence, cause, kept=kept), self._try_again)

    def action_show(self, place: str) -> None:
        """Go to a page; an attempt in front is set aside for it, a window stays till it is left."""
        front = self.screen
        if isinstance(front, BenchScreen):
            front.set_aside()
        screen = self.page_in_front()
        if screen is None:
            return
        self.forget_told()
        # What waits for the first screen's paint would wait for ever behind another screen.
        self.open_if_waiting()
        if place == screen.PLACE:
            screen.load()
            return
        if screen is not self.now:
            self.pop_screen()
        if place == "now":
            self.now.load()
        else:
            page = page_at(place, self.session, self.settings.now)
            self.push_screen(page)
            if place == "log" and self.now.news:
                page.call_later(page.run_action, "news")

    @on(ToNow)
    def go_to_now(self, event: ToNow) -> None:
        """Show Now with what was just chosen, and say what that does."""
        if self.screen is not self.now:
            self.pop_screen()
        self.now.tell(event.value)
        self.now.load()

    @on(NowScreen.LookAgain)
    def look_again(self) -> None:
        """Open the second look."""
        from platebook.tui.classroom.second_look_screen import SecondLookScreen

        self.push_screen(SecondLookScreen(self.session), lambda _: self.now.load())

    def action_setters(self) -> None:
        """Choose who is at the bench; what is unfinished is kept for who began it."""
        from platebook.tui.people.people_screen import SettersScreen

        if self.page_in_front() is None:
            return
        before = self.session.setter_id, self.session.setter
        self.push_screen(SettersScreen(self.session), partial(self._sit_down, before))

    async def action_leave(self) -> None:
        """Keep what is being typed, and leave; an evening ends with how it went, in words.

        Keys that wait for a save, or for what comes after it, are taken first; asked a second time,
        it leaves at once.
        """
        front = self.screen
        if not self.leaving and isinstance(front, BenchScreen) and self._keys_wait():
            self.leaving = True
            front.say_parting(SAVES_THEN if front.keys_wait() else LEAVES_THEN)
            return
        self._keep()
        self.exit(message=self._evening() or None)

    @on(Landed)
    async def leave_if_asked(self) -> None:
        """Leave, where that waited for keys that have been taken now."""
        if not (self.leaving or self.ended_by) or self._keys_wait():
            return
        if self.ended_by:
            self._end()
        else:
            await self.action_leave()

    def _keys_wait(self) -> bool:
        """Whether keys wait for the first screen, or for a save to end."""
        front = self.screen
        behind = isinstance(front, BenchScreen) and front.keys_wait()
        return behind or self.keys_ahead.holds_any()

    def _evening(self) -> str:
        """How today went and what comes next time; empty where nothing was done today."""
        known = (s.last_view() for s in reversed(self.screen_stack) if isinstance(s, BenchScreen))
        view = next((view for view in known if view is not None), None)
        if view is None or not view.evening.startswith(TODAY):
            return ""
        return "\n".join(filter(None, (view.evening, view.pace, view.next_time)))

    def _sit_down(
        self,
        before: tuple[str | None, str],
        changed: bool | None,  # noqa: FBT001 - what the window answers
    ) -> None:
        if changed:
            if self.session.setter_id != before[0]:
                self.now.hand_over(line(before[1]))
            for screen in self.screen_stack:
                if isinstance(screen, BenchScreen):
                    screen.show_title()
                    screen.load()
            self._show_what_is_theirs()

    def _try_again(self, again: bool | None) -> None:  # noqa: FBT001 - what the window answers
        if again and isinstance(self.screen, BenchScreen):
            if self.session.setter:
                self.screen.load()
            else:
                self.open_session()

    def _keep(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, BenchScreen):
                screen.keep(sync=True)

    def end_on_signal(self, number: int) -> None:
        """Keep what is typed and end; keys that wait are taken first, where that is soon done."""
        self.ended_by = number
        self._keep()
        if self.held_keys:
            self.set_timer(LOOK_S, partial(self.end_on_signal, number))
        elif self._keys_wait():
            # A window that was closed draws nothing any more, and would hold up what still counts.
            self.delay_update(PATIENCE_S)
        else:
            self._end()

    def _end(self) -> None:
        self._keep()
        self.exit(return_code=128 + self.ended_by)

    def _handle_exception(self, error: Exception) -> None:
        """End in one plain sentence; Textual's own report would print what was being typed.

        What opens while the app ends is not laid out any more, and nobody misses it.
        """
        ends = self.return_code is not None or not self.is_running
        if ends and isinstance(error, NoMatches):
            return
        self._return_code = 1
        if self._exception is None:
            self._exception = error
            self._exception_event.set()
        with contextlib.suppress(Exception):
            self._keep()
        write_log(self.log_file, error)
        if not self._exit_renderables:
            self._exit_renderables.append(Text(BROKEN.format(name=type(error).__name__)))
        self._close_messages_no_wait()


def run_app(make_session: "Callable[[], Session]", logbook: Path) -> int:
    """Open the app until the person leaves, and return the exit code.

    `make_session` is called in a worker after the first paint; it may raise `LogbookUnusable`.
    `logbook` is where its logbook is, or will be.
    """
    from platformdirs import user_log_path

    app = BenchApp(
        BenchSession(make_session),
        log_file=user_log_path("platebook") / "platebook.log",
        sight=FirstSight(logbook),
        looks_after=True,
        settings=KeptSettings(settings_file()),
    )
    app.run()
    return app.return_code or 0
