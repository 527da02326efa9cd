"""An app that is as it was set: its colours, what is unfolded, whether a rest is spoken of."""

import os
from collections.abc import Callable
from typing import Any

from textual import events, on

from platebook.tui.keys.command import key_text
from platebook.tui.messages import Unfolded
from platebook.tui.parts.theme import THEMES
from platebook.tui.running.keys_in_order import InOrderApp
from platebook.tui.running.rest_nudge import SAYS, Stretch
from platebook.tui.running.settings import KeptSettings
from platebook.values import replace

THEME_VARIABLE = "TEXTUAL_THEME"
"""The variable by which an environment asks for colours in every program of this kind."""

REST_KEY = "f10"
NO_REST = "A rest is not spoken of any more; F10 changes that."
REST_AGAIN = "After 25 minutes at a stretch a rest is spoken of again."


class AsSetApp(InOrderApp[None], inherit_bindings=False):
    """Colours and the word about a rest; `seconds` is a clock that only goes on."""

    def __init__(self, settings: KeptSettings, seconds: Callable[[], float]) -> None:
        super().__init__()
        self.settings = settings
        self.seconds = seconds
        self.stretch = Stretch()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = self._first_theme()
        # What is styled first is styled in these colours, so that Textual need not do it twice.
        self.stylesheet.set_variables(self.get_css_variables())
        self._styled_in = self.theme

    def refresh_css(self, animate: bool = True) -> None:  # noqa: FBT001, FBT002 - as Textual has it
        """Style everything anew, unless it is in the colours wanted already, as at the start."""
        if self._styled_in != self.theme:
            self._styled_in = self.theme
            super().refresh_css(animate=animate)

    def _first_theme(self) -> str:
        """The colours set last, else those that the environment asks for, else the first."""
        asked = os.environ.get(THEME_VARIABLE, "")
        known = (
            name for name in (self.settings.now.colours, asked) if name in self.available_themes
        )
        return next(known, THEMES[0].name)

    async def on_event(self, event: events.Event) -> None:
        """Time at the bench goes on with each key; after a long stretch a rest is spoken of."""
        await super().on_event(event)
        if isinstance(event, events.Key) and self.stretch.key(self.seconds()):
            self._speak_of_rest()

    def action_next_theme(self) -> None:
        """The next of the three sets of colours."""
        names = [theme.name for theme in THEMES]
        place = names.index(self.theme) + 1 if self.theme in names else 0
        self.theme = names[place % len(names)]
        self.keep_set(colours=self.theme)

    def action_no_rest(self) -> None:
        """Say no more when to rest, or say it again."""
        self.keep_set(rest=not self.settings.now.rest)
        self.notify(REST_AGAIN if self.settings.now.rest else NO_REST)

    @on(Unfolded)
    def remember_unfolded(self, event: Unfolded) -> None:
        """It stays so at the next start."""
        self.keep_set(method=event.method)

    def _speak_of_rest(self) -> None:
        if self.settings.now.rest:
            self.notify(SAYS.format(key=key_text(REST_KEY)), timeout=15)

    def keep_set(self, **values: Any) -> None:
        """These values of the settings from now on, and remembered."""
        self.settings.keep(replace(self.settings.now, **values))
