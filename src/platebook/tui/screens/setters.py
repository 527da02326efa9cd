"""Who is at the bench: choose someone of the logbook, or add a person."""

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Input

from platebook.services.roster import Listed, listed, seat, seat_new
from platebook.tui.bench_session import BenchSession
from platebook.tui.frame import BenchScreen
from platebook.tui.text import line, txt
from platebook.tui.widgets.ordered_input import OrderedInput
from platebook.tui.widgets.pick_list import PickList
from platebook.tui.widgets.words import Words

HOW = "Enter: this person is at the bench. a adds a person."


class SettersScreen(BenchScreen[bool]):
    """The people of the logbook; True where someone else is at the bench now."""

    PLACE: ClassVar[str] = "setters"
    DEFAULT_CSS = """
    SettersScreen {
        PickList { padding: 0 1; }
        #name { display: none; height: 1; border: none; padding: 0 1; background: $surface; }
        #name.asked { display: block; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    class Loaded(Message):
        """The people."""

        def __init__(self, people: tuple[Listed, ...]) -> None:
            super().__init__()
            self.people = people

    class Seated(Message):
        """Someone sits at the bench."""

        def __init__(self, nothing: None) -> None:
            super().__init__()
            del nothing

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.people: tuple[Listed, ...] = ()

    def body(self) -> ComposeResult:
        """A line for a name, the list, and what was done."""
        yield OrderedInput(placeholder="name of the person", compact=True, id="name")
        yield PickList()
        yield Words(txt(HOW), id="told")

    def on_mount(self) -> None:
        """Ask who there is."""
        super().on_mount()
        self.load()

    def load(self) -> None:
        """Ask again."""
        self.ask(partial(self.session.call, listed), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the list."""
        self.query_one("#told", Words).show(txt(sentence))

    @on(Loaded)
    def show_people(self, event: Loaded) -> None:
        """Show everyone, whoever is at the bench marked."""
        self.people = event.people
        picks = self.query_one(PickList)
        picks.rows = tuple(_row(one) for one in event.people)
        names = [line(one.setter.name) for one in event.people]
        here = line(self.session.setter)
        picks.mark(names.index(here) if here in names else 0)

    @on(Seated)
    def close(self) -> None:
        """Back to where it was asked from."""
        self.dismiss(result=True)

    @on(Input.Submitted, "#name")
    def add_person(self, event: Input.Submitted) -> None:
        """Add the person and let them sit down."""
        self.ask(partial(self.session.sit_down, seat_new, event.value), self.Seated)

    def action_choose(self) -> None:
        """Let the person marked sit down."""
        if self.people:
            one = self.people[self.query_one(PickList).marked]
            call = partial(self.session.sit_down, seat, one.setter.setter_id or "")
            self.ask(call, self.Seated)

    def action_add(self) -> None:
        """Ask for a name."""
        name = self.query_one("#name", Input)
        name.add_class("asked")
        name.focus()

    def action_close(self) -> None:
        """Leave it as it is."""
        self.dismiss(result=False)

    def action_move(self, by: int) -> None:
        """A row up or down."""
        self.query_one(PickList).move(by)


def _row(one: Listed) -> tuple[str, str]:
    group = f", {one.setter.group}" if one.setter.group else ""
    count = f"{one.attempts} attempt{'' if one.attempts == 1 else 's'}"
    return f"{one.setter.name}{group}", count
