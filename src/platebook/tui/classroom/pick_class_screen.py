"""Which class: a list of classes, found by typing, shown by Enter."""

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult

from platebook.services.classes.enrolment import ListedClass, list_classes
from platebook.services.classes.terms import dates_in_words
from platebook.services.people.at_the_bench import InView, view_class
from platebook.trade.phrases import count_of
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.text import line, txt
from platebook.tui.parts.widgets import PickList, Words, typed_to_find

HOW = "Type a part of its name; Enter shows the class marked."
WAITING = "Reading the classes …"
NONE_YET = "No class yet: m on the Class screen makes one."
EVERYONE = "Everyone"


class PickClassScreen(ListScreen[bool]):
    """The classes of the logbook, those that run first; True where another one is in view now.

    `with_everyone` offers all people too: not where one class is asked for.
    """

    PLACE: ClassVar[str] = "pick class"
    DEFAULT_CSS = """
    PickClassScreen {
        #typed { height: auto; padding: 0 1; background: $surface; }
        PickList { padding: 0 1; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    class Loaded(Answered[tuple[ListedClass, ...]]):
        """The classes."""

    class Chosen(Answered[InView]):
        """Another class is in view."""

    def __init__(self, session: BenchSession, *, with_everyone: bool = True) -> None:
        super().__init__(session)
        self.listed: tuple[ListedClass, ...] = ()
        self.always: tuple[ListedClass | None, ...] = (None,) if with_everyone else ()
        self.found: tuple[ListedClass | None, ...] = self.always
        self.typed = ""

    def body(self) -> ComposeResult:
        """What is typed, the classes, what to do."""
        yield Headline(WAITING)
        yield Words(id="typed")
        yield PickList()
        yield Words(txt(HOW), id="told")

    def load(self) -> None:
        """Ask again."""
        self.ask(partial(self.session.call, list_classes), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the list."""
        self.query_one("#told", Words).show(txt(sentence))

    @on(Loaded)
    def show_classes(self, event: Loaded) -> None:
        """Show them; where one class is asked for and there is one only, that is the answer."""
        self.listed = event.value
        self.query_one(Headline).show(classes_head(self.listed))
        self.show()
        if not self.always and len(self.listed) == 1:
            self.action_choose()

    def on_key(self, event: events.Key) -> None:
        """A letter finds; Backspace takes one back."""
        typed = typed_to_find(self.typed, event)
        if typed is not None:
            self.typed = typed
            self.show()

    def show(self) -> None:
        """The rows in which all that is typed stands, everyone first."""
        words = self.typed.casefold().split()
        self.found = tuple(
            each
            for each in (*self.always, *self.listed)
            if all(word in " ".join(_row(each)).casefold() for word in words)
        )
        self.query_one("#typed", Words).say(txt(f"find: {self.typed}" if self.typed else ""))
        picks = self.query_one(PickList)
        picks.rows = tuple(map(_row, self.found))
        picks.mark(0 if words else picks.marked)

    @on(Chosen)
    def close(self) -> None:
        """Back to where it was asked from."""
        self.dismiss(result=True)

    def action_choose(self) -> None:
        """Show the class marked."""
        if self.found:
            listed = self.found[self.query_one(PickList).marked]
            class_id = None if listed is None else listed.term.class_id
            self.ask(partial(self.session.call, view_class, class_id), self.Chosen)

    def action_close(self) -> None:
        """Leave it as it is."""
        self.dismiss(result=False)


def classes_head(listed: Sequence[ListedClass]) -> Head:
    """What is asked, and how many classes there are and run."""
    if not listed:
        return Head(txt(NONE_YET))
    running = sum(each.runs for each in listed)
    if running == len(listed):
        runs = "it runs" if running == 1 else "all run"
    else:
        runs = f"{running} of them {'runs' if running == 1 else 'run'}" if running else "none runs"
    far = f"{count_of(len(listed), 'class', 'classes')}, {runs} now"
    return Head(txt("Which class is to be shown?"), txt(far, "$muted"))


def _row(listed: ListedClass | None) -> tuple[str, str]:
    if listed is None:
        return EVERYONE, ""
    people = count_of(listed.members, "person", "people")
    over = "" if listed.runs else ", not now"
    when = dates_in_words(listed.term)
    return ", ".join(filter(None, (line(listed.term.name), when))), f"{people}{over}"
