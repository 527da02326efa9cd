"""The register of the class in view: who came on each evening, and who has been missing."""

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from platebook.reports.text.figures import GAP
from platebook.reports.text.register_text import (
    CAME,
    MISSED,
    RegisterLine,
    missing_names,
    newest_words,
    register_lines,
)
from platebook.services.classes.register import ClassRegister, class_register
from platebook.tui.base_screen import BenchScreen
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.signs import EVENING_STYLES
from platebook.tui.parts.text import line, stack, txt
from platebook.tui.parts.widgets import Words

WAITING = "Reading who came …"
PAGE = 8
SIGN_STYLES = {CAME: EVENING_STYLES["came"], MISSED: EVENING_STYLES["missed"]}
_BESIDE = 4
"""Cells that padding and the scroll bar take."""


class RegisterScreen(BenchScreen[None]):
    """A line a person with a sign an evening; as many evenings as the screen is wide."""

    PLACE: ClassVar[str] = "register"
    DEFAULT_CSS = """
    RegisterScreen {
        #people { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
        #people > Words { height: auto; }
    }
    """

    class Loaded(Answered[ClassRegister]):
        """Who came."""

    def body(self) -> ComposeResult:
        """Which class and which evenings, then its people."""
        yield Headline(WAITING)
        with VerticalScroll(id="people", can_focus=False):
            yield Words(id="words")

    def load(self) -> None:
        """Ask again."""
        self.ask(partial(self.session.call, class_register), self.Loaded)

    def tell(self, sentence: str) -> None:
        """Say one sentence in the place of the headline."""
        self.query_one(Headline).say(sentence)

    @on(Loaded)
    def show_register(self, event: Loaded) -> None:
        """Show the evenings and the people."""
        kept = event.value
        first, *lines = register_lines(kept.called, kept.register, self.size.width - _BESIDE)
        # The line above has the name of the class.
        title = first.text.removeprefix(f"{kept.called}: ")
        missing = missing_names(kept.register)
        told = txt(f"{missing}." if missing else "", "$text-warning")
        newest = txt(newest_words(kept.called, kept.register))
        self.query_one(Headline).show(Head(newest, txt(title, "$muted"), told))
        self.query_one("#words", Words).show(stack(*map(_in_place, lines)))

    def action_close(self) -> None:
        """Go back to the class."""
        self.dismiss()

    def action_page(self, by: int) -> None:
        """A page up or down."""
        self.query_one("#people", VerticalScroll).scroll_relative(y=by * PAGE, animate=False)


def _in_place(told: RegisterLine) -> Content:
    """A line with the blanks that it begins with: signs stand under their month, in colour."""
    text = told.before if told.signs else told.text
    blank = " " * (len(text) - len(text.lstrip()))
    behind = " " * (len(text) - len(text.rstrip())) if text.strip() else ""
    signs = ((sign, SIGN_STYLES.get(sign, "")) for sign in told.signs)
    after = [GAP * " ", line(told.behind)] if told.behind else []
    return Content.assemble(blank, line(text), behind, *signs, *after)
