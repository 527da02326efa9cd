"""A new class: its name, its days, its people from a list or pasted; who may be two is asked."""

from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Input

from platebook.services.classes.enrolment import make_class_typed
from platebook.services.classes.listed_names import (
    SOMEBODY_NEW,
    Listed,
    names_from,
    pasted_names,
    read_names,
)
from platebook.services.files import typed_path
from platebook.trade.phrases import count_of
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import Headline
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import OrderedInput, Words

LINES = (
    ("name", "name", "such as Thursday"),
    ("begins", "first day", "such as 2026-01-08; empty: today"),
    ("ends", "last day", "empty: open"),
    ("people", "people", "paste names, type them with commas, or name a file with the list"),
)
"""Each line's id, what stands before it, and what stands in it until something is typed."""
WHAT = "A new class: its name, its days, and who is in it"
HOW = "Enter goes on, and after the last line makes the class; Esc makes none."
LISTS = (".csv", ".tsv", ".txt", ".xlsx")


class NewClassScreen(BenchScreen[str]):
    """Four lines to type; it answers with what was made, in a sentence, None for nothing."""

    PLACE: ClassVar[str] = "new class"
    DEFAULT_CSS = """
    NewClassScreen {
        VerticalScroll { height: 1fr; padding: 1 2; }
        VerticalScroll > Words { height: auto; margin: 0 0 1 0; }
        VerticalScroll > Horizontal { height: 1; margin: 0 0 1 0; }
        VerticalScroll > Horizontal > Words { width: 11; color: $text-muted; }
        Input { width: 1fr; border: none; background: $surface; height: 1; padding: 0 1; }
    }
    """

    class Read(Answered[Listed]):
        """What the list means."""

    class Made(Answered[str]):
        """The class is made."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.pasted: tuple[str, ...] = ()
        self.answers: dict[str, str] = {}
        self.listed = Listed()

    def body(self) -> ComposeResult:
        """The lines, what was pasted or is asked, what to do."""
        yield Headline(WHAT)
        with VerticalScroll(can_focus=False):
            for name, label, words in LINES:
                with Horizontal():
                    yield Words(txt(label))
                    yield OrderedInput(placeholder=words, compact=True, id=name)
            yield Words(id="asked")
            yield Words(txt(HOW), id="told")

    def start(self) -> None:
        """Ask for the name first."""
        self.query_one("#name").focus()

    def tell(self, sentence: str) -> None:
        """Say one sentence below."""
        self.query_one("#told", Words).show(txt(sentence))

    @on(events.Paste)
    def take_pasted(self, event: events.Paste) -> None:
        """Names that were pasted over several lines are the list."""
        if len(event.text.strip().splitlines()) > 1:
            event.stop()
            event.prevent_default()
            self._take(event.text)

    def _take(self, text: str) -> None:
        self.pasted = pasted_names(text.encode("utf-8"))
        self.query_one("#people", Input).value = ""
        names = ", ".join(self.pasted[:6])
        more = f" and {len(self.pasted) - 6} more" if len(self.pasted) > 6 else ""
        self.query_one("#asked", Words).show(
            txt(f"{count_of(len(self.pasted), 'name')}: {names}{more}")
        )

    @on(Input.Submitted)
    def action_go_on(self) -> None:
        """The next line; after the last one, make the class."""
        ids = [name for name, *_ in LINES]
        here = self.focused.id if self.focused is not None else None
        if here in ids[:-1]:
            self.query_one(f"#{ids[ids.index(here) + 1]}").focus()
        elif not self.listed.doubles:
            self._read()

    def _read(self) -> None:
        typed = self.query_one("#people", Input).value.strip().strip("'\"")
        session, pasted, answers = self.session, self.pasted, dict(self.answers)

        def read() -> Listed:
            names = pasted
            if typed.casefold().endswith(LISTS):
                names = (*names, *names_from(typed_path(typed)))
            elif typed:
                names = (*names, *(name.strip() for name in typed.split(",")))
            return session.call(read_names, names, answers)

        self.ask(read, self.Read)

    @on(Read)
    def ask_or_make(self, event: Read) -> None:
        """Ask about the first name that may be somebody's who is there; else make the class."""
        self.listed = event.value
        if self.listed.doubles:
            self.set_focus(None)
            double = self.listed.doubles[0]
            choices = [
                txt(f" {number} {known.sentence}")
                for number, known in enumerate(double.candidates, 1)
            ]
            left = len(self.listed.doubles)
            asked = f"{double.typed}: who is this? ({left} to ask)"
            parts = (txt(asked, "bold"), *choices, txt(" 0 somebody new"))
            self.query_one("#asked", Words).show(stack(*parts))
            return
        typed = {name: self.query_one(f"#{name}", Input).value for name, *_ in LINES[:-1]}
        call = partial(self.session.call, make_class_typed, typed, self.listed)
        self.ask(call, self.Made)

    def on_key(self, event: events.Key) -> None:
        """A digit says who a name of the list is."""
        sign = event.character or ""
        if not self.listed.doubles or not sign.isdecimal():
            return
        event.stop()
        event.prevent_default()
        double, place = self.listed.doubles[0], int(sign)
        if place <= len(double.candidates):
            chosen = double.candidates[place - 1].setter_id if place else SOMEBODY_NEW
            self.answers[double.typed] = chosen
            self.listed = Listed()
            self._read()

    @on(Made)
    def close(self, event: Made) -> None:
        """Back to the class, which is in view now."""
        self.dismiss(event.value)

    def action_close(self) -> None:
        """Make no class."""
        self.dismiss(None)
