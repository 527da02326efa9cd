"""Who is at the bench, and the first start: a name, a course and a few tools."""

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input

from platebook.reports.text.figures import count_of
from platebook.services.setters import (
    FirstOffers,
    ListedSetter,
    Seats,
    begin,
    list_setters,
    switch_setter,
    switch_to_new,
    turn_seats,
)
from platebook.tui.base_screen import SHEETS, Answered, BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.text import line, stack, txt
from platebook.tui.widgets import OrderedInput, PickList, Words

if TYPE_CHECKING:
    from platebook.trade.records import Tool


HOW = (
    "Enter: this person is at the bench. a adds a person. s: whether somebody prepares seats for "
    "the one marked to practise in, or nobody."
)


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

    class Loaded(Answered[tuple[ListedSetter, ...]]):
        """The people."""

    class Seated(Answered[None]):
        """Someone sits at the bench."""

    class Turned(Answered[str]):
        """Who prepares seats is said anew."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.people: tuple[ListedSetter, ...] = ()
        self.turned = False

    def body(self) -> ComposeResult:
        """A line for a name, the list, and what was done."""
        yield OrderedInput(placeholder="name of the person", compact=True, id="name")
        yield PickList()
        yield Words(txt(HOW), id="told")

    def load(self) -> None:
        """Ask again."""
        self.ask(partial(self.session.call, list_setters), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the list."""
        self.query_one("#told", Words).show(txt(sentence))

    @on(Loaded)
    def show_people(self, event: Loaded) -> None:
        """Show everyone, whoever is at the bench marked."""
        self.people = event.value
        picks = self.query_one(PickList)
        picks.rows = tuple(map(_row, self.people))
        names = [line(person.setter.name) for person in self.people]
        here = line(self.session.setter)
        picks.mark(names.index(here) if here in names else 0)

    @on(Turned)
    def tell_whose_seats(self, event: Turned) -> None:
        """Say it; Now is worked out anew when this is closed."""
        self.turned = True
        self.tell(event.value)

    @on(Seated)
    def close(self) -> None:
        """Back to where it was asked from."""
        self.dismiss(result=True)

    @on(Input.Submitted, "#name")
    def add_person(self, event: Input.Submitted) -> None:
        """Add the person and let them sit down."""
        self.ask(partial(self.session.sit_down, switch_to_new, event.value), self.Seated)

    def action_choose(self) -> None:
        """Let the person marked sit down."""
        if self.people:
            setter = self.people[self.query_one(PickList).marked].setter
            call = partial(self.session.sit_down, switch_setter, setter.setter_id or "")
            self.ask(call, self.Seated)

    def action_add(self) -> None:
        """Ask for a name."""
        name = self.query_one("#name", Input)
        name.add_class("asked")
        name.focus()

    def action_seats(self) -> None:
        """Whether somebody prepares seats for the person marked, or nobody."""
        if self.people:
            setter = self.people[self.query_one(PickList).marked].setter
            self.ask(partial(self.session.call, turn_seats, setter.setter_id or ""), self.Turned)

    def action_close(self) -> None:
        """Leave it as it is."""
        self.dismiss(result=self.turned)

    def action_move(self, by: int) -> None:
        """A row up or down."""
        self.query_one(PickList).move(by)


def _row(person: ListedSetter) -> tuple[str, str]:
    setter = person.setter
    group = f", {setter.group}" if setter.group else ""
    return f"{setter.name}{group}", count_of(person.attempts, "attempt")


STEPS = ("name", "seats", "course", "tools")
SEATS: tuple[tuple[Seats, str], ...] = (
    ("given", "A teacher or a friend does: the first evening burnishes stones into given seats."),
    ("own", "Nobody: the first evening closes empty seats of my own, and no stone is lost."),
)
SAFETY = (
    "Practise with eye protection on. The workshop's own rules, local law and a qualified "
    "teacher come first."
)
WAYS_ON = "Enter goes on. Esc starts at once."
WITH_A_SHEET = " Ctrl+O begins with a sheet you have."
ROW_KEYS = "123456789abcdefghijklmnopqrstuvwxyz"


class FirstRunScreen(BenchScreen[str]):
    """Four questions; Enter goes on with what stands, Esc starts at once.

    It answers with the sheet to begin with: its name where one was pasted for a name, "" where one
    was asked for, None for none.
    """

    PLACE: ClassVar[str] = "first run"
    DEFAULT_CSS = """
    FirstRunScreen {
        VerticalScroll { height: 1fr; padding: 1 2; }
        Words { height: auto; margin: 0 0 1 0; }
        #name { border: none; background: $surface; height: 1; padding: 0 1; margin: 0 0 1 0; }
    }
    """

    class Begun(Answered[None]):
        """The first setter is set up."""

    def __init__(self, session: BenchSession, offers: FirstOffers) -> None:
        super().__init__(session)
        self.step = 0
        self.courses, self.tools = offers.courses, offers.tools
        self.course = 0
        self.seats = 0
        self.owned = set(range(len(self.tools)))
        self.sheet: str | None = None

    def body(self) -> ComposeResult:
        """One question at a time."""
        with VerticalScroll(can_focus=False):
            yield Words(id="question")
            yield OrderedInput(placeholder="your name", compact=True, id="name")
            yield Words(id="offers")
            yield Words(id="ways")

    def start(self) -> None:
        """Ask for the name first; all tools offered are ticked."""
        self.query_one("#name").focus()
        self.show()

    def tell(self, sentence: str) -> None:
        """Say one sentence in place of the ways on."""
        self.query_one("#ways", Words).show(txt(sentence))

    @on(Begun)
    def close(self) -> None:
        """On to Now, or to a sheet."""
        self.dismiss(self.sheet)

    def on_key(self, event: events.Key) -> None:
        """Choose the course, or tick tools, by the key in front of it."""
        place = ROW_KEYS.find(event.character or " ")
        if STEPS[self.step] == "course" and 0 <= place < len(self.courses):
            self.course = place
        elif STEPS[self.step] == "seats" and 0 <= place < len(SEATS):
            self.seats = place
        elif STEPS[self.step] == "tools" and 0 <= place < len(self.tools):
            self.owned ^= {place}
        else:
            return
        event.stop()
        event.prevent_default()
        self.show()

    @on(Input.Submitted)
    def action_go_on(self) -> None:
        """The next question; after the last one, and for a sheet, set up at once."""
        sheet = self.query_one("#name", Input).value.strip().casefold().endswith(SHEETS)
        if self.step < len(STEPS) - 1 and not sheet:
            self.step += 1
            self.set_focus(None)
            self.show()
        else:
            self.action_skip()

    def action_back(self) -> None:
        """The question before."""
        if self.step > 0:
            self.step -= 1
            self.show()
            if self.step == 0:
                self.query_one("#name").focus()

    def show(self) -> None:
        """Show the question of the moment."""
        step = STEPS[self.step]
        self.query_one("#name").display = step == "name"
        questions = {
            "name": "Who is at the bench?",
            "seats": "Who prepares seats for you to practise in?",
            "course": "Which course? The first is the usual one.",
            "tools": "Which of these are in your drawer? More can be added later.",
        }
        head = [txt("platebook, a practice log for flush setting", "bold $accent"), txt("")]
        self._update("question", stack(*head, txt(questions[step], "bold")))
        offers = {
            "name": txt(SAFETY),
            "seats": self._seats(),
            "course": self._courses(),
            "tools": self._tools(),
        }
        self._update("offers", offers[step])
        digit, key = "A digit chooses. ", "A key ticks or unticks. "
        chooses = {"name": "", "seats": digit, "course": digit, "tools": key}
        self._update(
            "ways", txt(f"{chooses[step]}{WAYS_ON}{WITH_A_SHEET if step == 'name' else ''}")
        )

    def _seats(self) -> Content:
        return stack(
            *(
                _choice(place, words, chosen=place == self.seats)
                for place, (_, words) in enumerate(SEATS)
            )
        )

    def _courses(self) -> Content:
        return stack(
            *(
                stack(
                    _choice(place, course.title, chosen=place == self.course),
                    txt(f"      {course.about}", "$muted"),
                )
                for place, course in enumerate(self.courses)
            )
        )

    def _tools(self) -> Content:
        return stack(
            *(
                _choice(place, _name(tool), chosen=place in self.owned)
                for place, tool in enumerate(self.tools)
            )
        )

    def action_sheet(self) -> None:
        """Start at once with what stands, and with a sheet."""
        self.sheet = ""
        self.action_skip()

    def action_skip(self) -> None:
        """Start at once with what stands; the name of a sheet is no person's."""
        name = self.query_one("#name", Input).value.strip()
        if name.casefold().endswith(SHEETS):
            self.sheet, name = name, ""
        course = self.courses[self.course].id if self.courses else None
        tools = [tool for place, tool in enumerate(self.tools) if place in self.owned]
        call = partial(
            self.session.sit_down,
            begin,
            name=name,
            course_id=course,
            tools=tools,
            seats=SEATS[self.seats][0] if self.step else None,
        )
        self.ask(call, self.Begun)

    def _update(self, part: str, content: Content) -> None:
        self.query_one(f"#{part}", Words).show(content)


def _choice(place: int, text: str, *, chosen: bool) -> Content:
    return Content.assemble(
        (f" {ROW_KEYS[place]} ", "bold $accent"),
        "[x] " if chosen else "[ ] ",
        (line(text), "bold" if chosen else ""),
    )


def _name(tool: "Tool") -> str:
    if tool.name:
        return tool.name
    size = f"{tool.size_mm:.2f} mm" if tool.size_mm else ""
    return " ".join(part for part in (size, tool.shape or "", tool.kind) if part)
