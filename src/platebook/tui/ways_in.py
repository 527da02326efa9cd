"""The ways in: what opens over a page and is closed again, and the list of all commands."""

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Any

from textual import events, on
from textual.app import SystemCommand
from textual.screen import Screen

from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import commands_for, everywhere_at
from platebook.tui.keys.command import DIGITS, key_text, says_nothing
from platebook.tui.messages import Past, SaidByOthers, SheetNamed, ToSeeing
from platebook.tui.parts.text import line
from platebook.tui.places import PAGES
from platebook.tui.running.as_set_app import AsSetApp
from platebook.tui.running.settings import KeptSettings

if TYPE_CHECKING:
    from platebook.tui.classroom.screen import ClassScreen


HELP_SAYS = " F1 says what does."
TOLD_FOR_S = 3.0
"""So long it is shown; another key within that time is told by the same words."""


class WaysIn(AsSetApp, inherit_bindings=False):
    """Windows over the pages; the pages themselves are the app's."""

    def __init__(
        self, session: BenchSession, settings: KeptSettings, seconds: Callable[[], float]
    ) -> None:
        super().__init__(settings, seconds)
        self.session = session
        self.told_s = -TOLD_FOR_S

    def on_key(self, event: events.Key) -> None:
        """Say of a key that no screen took and that means nothing here that it does nothing."""
        if event.key in self.screen.active_bindings:
            return
        now_s = self.seconds()
        if now_s - self.told_s >= TOLD_FOR_S:
            self.told_s = now_s
            sign = event.character if event.is_printable and event.character else ""
            says = HELP_SAYS if isinstance(self.screen, BenchScreen) else ""
            sentence = f"{says_nothing(line(sign) or key_text(event.key))}{says}"
            self.notify(sentence, timeout=TOLD_FOR_S, markup=False)

    def forget_told(self) -> None:
        """Take away what was said of a key; on another page it may mean something."""
        if self.seconds() - self.told_s < TOLD_FOR_S:
            self.told_s = -TOLD_FOR_S
            self.clear_notifications()

    def open_if_waiting(self) -> None:
        """Open the session, where a key typed ahead of the first paint needs it."""

    def news_is_read(self) -> None:
        """What others saw and wrote is shown now."""

    def load_again(self) -> None:
        """Ask again for what the page in front shows; one that is not there yet asks by itself."""
        if isinstance(self.screen, BenchScreen) and self.screen.is_mounted:
            self.screen.load()

    def page_in_front(self) -> BenchScreen[None] | None:
        """The page in front; None where an attempt or a window is, which stays until it is left."""
        screen = self.screen
        return screen if isinstance(screen, BenchScreen) and screen.PLACE in PAGES else None

    def action_sheet(self, typed: str = "") -> None:
        """Bring in a sheet; its name may have been pasted."""
        from platebook.tui.sharing.sheet_screen import SheetScreen

        self.open_if_waiting()
        self.push_screen(SheetScreen(self.session, typed), self._after_sheet)

    @on(SheetNamed)
    def bring_in(self, event: SheetNamed) -> None:
        """Bring in the sheet whose name was pasted; an attempt in front is left first."""
        if self.page_in_front() is not None:
            self.action_sheet(event.typed)

    def _after_sheet(self, sentence: str | None) -> None:
        if isinstance(self.screen, BenchScreen):
            self.screen.load()
            if sentence:
                self.screen.tell(sentence)

    @on(Past)
    def show_past(self, event: Past) -> None:
        """Open the history of an attempt."""
        from platebook.tui.log.history_screen import HistoryScreen

        self.push_screen(HistoryScreen(event.value))

    @on(SaidByOthers)
    def show_said(self, event: SaidByOthers) -> None:
        """Open what others saw and wrote; it is read then."""
        from platebook.tui.log.received_screen import ReceivedScreen

        self.news_is_read()
        self.push_screen(ReceivedScreen(event.received), lambda _: self.load_again())

    @on(ToSeeing)
    def open_seeing(self) -> None:
        """Open the reference plates, from a page that has no attempt in front of it."""
        from platebook.tui.seeing_screen import SeeingScreen

        screen = self.page_in_front()
        if screen is not None:
            self.push_screen(SeeingScreen(self.session), lambda _: screen.load())

    def on_class_screen_judge_plate(self, event: "ClassScreen.JudgePlate") -> None:
        """Open whole plates to be judged, one after the other."""
        from platebook.tui.classroom.plate_looks_screen import PlateLooksScreen

        screen = PlateLooksScreen(self.session, event.plates)
        self.push_screen(screen, lambda _: self.load_again())

    def on_class_screen_what_all_share(self) -> None:
        """Open what the class shares."""
        from platebook.tui.classroom.shared_screen import SharedScreen

        self.push_screen(SharedScreen(self.session))

    def action_share(self) -> None:
        """Exchange logbooks; what came in is shown on the page it was asked from."""
        from platebook.tui.sharing.share_screen import ShareScreen

        screen = self.page_in_front()
        if screen is not None:
            self.open_if_waiting()
            self.push_screen(ShareScreen(self.session), lambda _: screen.load())

    def action_help(self) -> None:
        """What the keys do on this screen."""
        from platebook.tui.help_screen import HelpScreen

        self.forget_told()
        if isinstance(self.screen, BenchScreen):
            self.push_screen(HelpScreen(self.screen.PLACE, self.screen.in_focus()))

    def action_glossary(self) -> None:
        """What words mean, at what is asked at this moment."""
        from platebook.tui.glossary_screen import GlossaryScreen

        self.forget_told()
        screen = self.screen
        if isinstance(screen, BenchScreen):
            asked = screen.in_focus()
            offered = tuple(answer for _, answer in asked.keys) if asked is not None else ()
            self.push_screen(GlossaryScreen(self.session, *screen.word_in_focus(), offered))

    def action_settings(self) -> None:
        """How the screens of this machine are, to be changed."""
        from platebook.tui.settings_screen import SettingsScreen

        if self.page_in_front() is not None:
            self.push_screen(SettingsScreen(self.session, self))

    def action_said(self) -> None:
        """What others saw and wrote and is not read yet; all of it where nothing is new."""
        from platebook.services.from_others import read_news

        screen = self.page_in_front()
        if screen is not None:
            screen.ask(partial(self.session.call, read_news), SaidByOthers)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The command table, as far as it works on this screen and without a digit."""
        place = screen.PLACE if isinstance(screen, BenchScreen) else ""
        for command in (*commands_for(place), *everywhere_at(place)):
            if not set(DIGITS) <= set(command.keys):
                yield SystemCommand(
                    f"{command.title or command.label} ({command.key_text})",
                    command.says,
                    partial(self._run_found, command.action, screen),
                )

    async def _run_found(self, action: str, screen: Screen[Any]) -> None:
        """Do what was found in the list of all commands, on the screen that it was opened from."""
        if isinstance(screen, BenchScreen):
            await screen.run_command(action)
        else:
            await self.run_action(action, screen)
