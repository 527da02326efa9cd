"""The first start: a name, who prepares seats, a course and a few tools; or who teaches."""

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input

from platebook.practice.text import LONGEST_LINE
from platebook.services.people.setters import FirstOffers, Seats, begin
from platebook.services.people.teachers import begin_teaching
from platebook.services.sharing.start_files import SUFFIX as START_FILE
from platebook.services.sharing.start_files import begin_with_file
from platebook.tui.base_screen import SHEETS, BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import foot_commands
from platebook.tui.messages import Answered
from platebook.tui.parts.text import MARK, held_together, stack, txt
from platebook.tui.parts.widgets import KeyLine, OrderedInput, Words
from platebook.tui.running.keys_ahead import Typed

if TYPE_CHECKING:
    from platebook.trade.records import Tool


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
WITH_A_SHEET = " Ctrl+O begins with a spreadsheet, {role}."
ROLE_NEXT = {
    "sets": "Ctrl+T says that you teach",
    "teaches": "Ctrl+T again says that you set as well",
    "both": "Ctrl+T again says that you set and do not teach",
}
"""What the next Ctrl+T says, by what was said so far."""
ROLES = ("sets", "teaches", "both")
"""What somebody does here, in the order in which Ctrl+T goes through them."""
ROLE_IN_WORDS = {
    "sets": "",
    "teaches": "You teach: you sign looks by this name, and have no exercises of your own.",
    "both": "You teach, and set as well: b changes between the two.",
}
AHEAD_OF_YOU = "Then three questions, each with an answer you can leave as it is:"
ASKED_NEXT = (
    ("given seats", "who prepares seats for you to practise in"),
    ("course", "which course; it can be another one later"),
    ("tools", "what lies in your drawer, so that the sizes are of tools you have"),
)
AND_THEN = (
    "And then the first exercise, with the sizes to take and what is good. Each try is logged in a "
    "few keys, and the next exercise follows from how they came out."
)
KEPT_HERE = "All of it stays on this machine until you share it."
WITH_A_FILE = "A start file from your teacher: paste its name, or drop it here."
MOVES = {"up": -1, "down": 1}
TYPED_ENTER = ("enter", "ctrl+j")
ALL_OR_NONE = "0"
"""Unticks every tool, or ticks them all where none is."""
EXAMPLES = "Which of these examples lie in your drawer? Tick only what you have."
EMPTY_DRAWER = "None is ticked: the drawer starts empty, and the sizes say what to buy."
SO_MANY = "These go into your drawer; more can be added later."
ROW_KEYS = "123456789abcdefghijklmnopqrstuvwxyz"


INDENT, AROUND = 7, 5
"""Cells of an answer's key and box; those of the page's edges and its scrollbar."""


class FirstRunScreen(BenchScreen[str]):
    """Four questions; Enter goes on with what stands, Esc starts at once.

    It answers with the sheet to begin with: its name where one was pasted for a name, "" where one
    was asked for, None for none.
    """

    PLACE: ClassVar[str] = "first run"
    DEFAULT_CSS = """
    FirstRunScreen {
        VerticalScroll { height: 1fr; padding: 1 0 1 2; scrollbar-size-vertical: 1; }
        Words { height: auto; margin: 0 2 1 0; }
        #ahead { display: none; margin: 2 2 0 0; }
        &.-tall #ahead { display: block; }
        #name { border: none; background: $surface; height: 1; padding: 0 1; margin: 0 2 1 0; }
    }
    """

    VERTICAL_BREAKPOINTS = [(0, "-low"), (30, "-tall")]  # noqa: RUF012 - as Textual has it

    class Begun(Answered[None]):
        """The first setter is set up."""

    def __init__(self, session: BenchSession, offers: FirstOffers) -> None:
        super().__init__(session)
        self.step = self.furthest = 0
        self.courses, self.tools = offers.courses, offers.tools
        self.course = 0
        self.seats = 0
        self.owned: set[int] = set()
        self.tool = 0
        self.sheet: str | None = None
        self.role = 0

    def body(self) -> ComposeResult:
        """One question at a time."""
        with VerticalScroll(can_focus=False):
            yield Words(id="question")
            yield OrderedInput(placeholder="your name", compact=True, id="name")
            yield Words(id="ways")
            yield Words(id="offers")
            yield Words(id="ahead")

    def start(self) -> None:
        """Ask for the name first; of the tools offered none is ticked, for nobody has said so."""
        # Not `focus()`, which takes the focus later: a name typed ahead may be past by then, and
        # what is typed to the next question would go on into the name.
        self.set_focus(self.query_one("#name"))
        self.show()

    def tell(self, sentence: str) -> None:
        """Say one sentence in place of the ways on."""
        self.query_one("#ways", Words).show(txt(sentence))

    @on(Begun)
    def close(self) -> None:
        """On to Now, or to a sheet."""
        self.dismiss(self.sheet)

    def on_resize(self) -> None:
        """The answers are folded to the new width."""
        self._show_offers()

    def on_key(self, event: events.Key) -> None:
        """Choose the course, or tick tools, by the key in front of it."""
        place = ROW_KEYS.find(event.character or " ")
        if STEPS[self.step] == "course" and 0 <= place < len(self.courses):
            self.course = place
        elif STEPS[self.step] == "seats" and 0 <= place < len(SEATS):
            self.seats = place
        elif STEPS[self.step] == "tools" and 0 <= place < len(self.tools):
            self.owned ^= {place}
            self.tool = place
        elif STEPS[self.step] == "tools" and event.character == ALL_OR_NONE:
            self.owned = set() if self.owned else set(range(len(self.tools)))
        else:
            return
        event.stop()
        event.prevent_default()
        self.show()

    def action_move(self, by: int) -> None:
        """The answer above or below: chosen at once, or marked among the tools."""
        match STEPS[self.step]:
            case "course":
                self.course = _near(self.course + by, len(self.courses))
            case "seats":
                self.seats = _near(self.seats + by, len(SEATS))
            case "tools":
                self.tool = _near(self.tool + by, len(self.tools))
        self.show()

    def action_tick(self) -> None:
        """Tick or untick the tool marked."""
        if STEPS[self.step] == "tools" and self.tools:
            self.owned ^= {self.tool}
            self.show()

    def take_typed(self, typed: Iterable[Typed]) -> None:
        """Take what was typed before these questions stood here, until all is set up.

        It does not go by the input's own queue, of which nobody knows when it is through.
        """
        name = self.query_one("#name", Input)
        for event in typed:
            asked, before = STEPS[self.step], self.step
            if isinstance(event, events.Paste):
                if asked == "name":
                    name.insert_text_at_cursor(event.text.partition("\n")[0])
            elif event.key == "escape":
                self.action_skip()
                return
            elif event.key in TYPED_ENTER:
                self.action_go_on()
                if self.step == before:
                    return
            elif asked != "name":
                self._answer_typed(event)
            elif event.key == "backspace":
                name.action_delete_left()
            else:
                name.insert_text_at_cursor(event.character or "")

    def _answer_typed(self, event: events.Key) -> None:
        if event.key in MOVES:
            self.action_move(MOVES[event.key])
        elif event.key == "space":
            self.action_tick()
        else:
            self.on_key(event)

    @on(Input.Changed)
    async def explain(self, event: Input.Changed) -> None:
        """A name does not begin with a question mark: it asks for help."""
        if event.value == "?":
            self.query_one("#name", Input).value = ""
            await self.run_action("app.help")

    @on(Input.Submitted)
    def action_go_on(self) -> None:
        """The next question; after the last one, and for a sheet, set up at once.

        Who only teaches, or has a start file, has one question.
        """
        sheet = self.query_one("#name", Input).value.strip().casefold().endswith(SHEETS)
        at_once = sheet or ROLES[self.role] == "teaches" or self._file()
        if self.step < len(STEPS) - 1 and not at_once:
            self.step += 1
            self.furthest = max(self.furthest, self.step)
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
            "tools": EXAMPLES,
        }
        head = [txt("platebook, a practice log for flush setting", "bold $accent"), txt("")]
        self._update("question", stack(*head, txt(questions[step], "bold")))
        self._show_offers()
        self._update("ahead", self._ahead())
        shown = foot_commands(self.PLACE)
        self.query_one(KeyLine).commands = tuple(
            c for c in shown if c.action != ("teach" if self.step else "back")
        )
        digit = "A digit or ↑↓ chooses. "
        key = f"A key ticks or unticks, Space the one marked, {ALL_OR_NONE} all of them. "
        with_a_sheet = WITH_A_SHEET.format(role=ROLE_NEXT[ROLES[self.role]])
        chooses = {"name": "", "seats": digit, "course": digit, "tools": key}
        self._update(
            "ways", txt(f"{chooses[step]}{WAYS_ON}{with_a_sheet if step == 'name' else ''}")
        )

    def _show_offers(self) -> None:
        """The answers to the question of the moment, or what is said before the first one."""
        offers = {
            "name": self._first,
            "seats": self._seats,
            "course": self._courses,
            "tools": self._tools,
        }
        self._update("offers", offers[STEPS[self.step]]())

    def _ahead(self) -> Content:
        """What comes next, for who begins to set: there is room for it in a tall window."""
        if STEPS[self.step] != "name" or ROLES[self.role] != "sets":
            return txt("")
        width = max(len(about) for about, _ in ASKED_NEXT)
        rows = [
            Content.assemble((f"  {about:<{width}}  ", "$accent"), said)
            for about, said in ASKED_NEXT
        ]
        return stack(
            txt(AHEAD_OF_YOU, "bold"), *rows, txt(""), txt(AND_THEN), txt(""), txt(KEPT_HERE)
        )

    def _first(self) -> Content:
        said = ROLE_IN_WORDS[ROLES[self.role]]
        role = [txt(said, "bold"), txt("")] if said else []
        return stack(*role, txt(SAFETY), txt(""), txt(WITH_A_FILE, "$muted"))

    def _seats(self) -> Content:
        return stack(
            *(
                _choice(place, words, chosen=place == self.seats, room=self._room())
                for place, (_, words) in enumerate(SEATS)
            )
        )

    def _room(self) -> int:
        """Cells behind the key and the box of an answer."""
        return max(self.size.width - AROUND - INDENT, 1)

    def _courses(self) -> Content:
        return stack(
            *(
                stack(
                    _choice(place, course.title, chosen=place == self.course),
                    *_hung(course.about, self._room(), "$muted"),
                )
                for place, course in enumerate(self.courses)
            )
        )

    def _tools(self) -> Content:
        rows = (
            _choice(place, _name(tool), chosen=place in self.owned, marked=place == self.tool)
            for place, tool in enumerate(self.tools)
        )
        return stack(*rows, txt(""), txt(SO_MANY if self.owned else EMPTY_DRAWER, "$muted"))

    def action_sheet(self) -> None:
        """Start at once with what stands, and with a sheet."""
        self.sheet = ""
        self.action_skip()

    def action_teach(self) -> None:
        """Say that one teaches; again: that one sets as well; again: that one practises."""
        if STEPS[self.step] == "name":
            self.role = (self.role + 1) % len(ROLES)
            self.show()

    def _file(self) -> str:
        """The start file whose name was pasted for a name; empty for none."""
        typed = self.query_one("#name", Input).value.strip()
        return typed if typed.strip("'\"").casefold().endswith(START_FILE) else ""

    def action_skip(self) -> None:
        """Start at once with what stands; the name of a sheet or a start file is no person's."""
        if file := self._file():
            self.ask(partial(self.session.sit_down, begin_with_file, file), self.Begun)
            return
        name = self.query_one("#name", Input).value.strip()
        if ROLES[self.role] == "sets" and name.casefold().endswith(SHEETS):
            self.sheet, name = name, ""
        course = self.courses[self.course].id if self.courses else None
        # Nobody owns a tool that they were not asked about.
        asked = STEPS[self.furthest] == "tools"
        tools = [tool for place, tool in enumerate(self.tools) if asked and place in self.owned]
        if ROLES[self.role] != "sets":
            both = ROLES[self.role] == "both"
            teach = partial(self.session.sit_down, begin_teaching, name=name, also_sets=both)
            self.ask(partial(teach, course_id=course), self.Begun)
            return
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


def _near(place: int, of: int) -> int:
    return min(max(place, 0), max(of - 1, 0))


def _choice(
    place: int, text: str, *, chosen: bool, marked: bool = False, room: int = LONGEST_LINE
) -> Content:
    """An answer behind its key and its box."""
    first, *others = _hung(text, room, "bold" if chosen else "")
    key = f"{MARK if marked else ' '}{ROW_KEYS[place]} "
    box = "[x] " if chosen else "[ ] "
    return stack(Content.assemble((key, "bold $accent"), box, first[INDENT:]), *others)


def _hung(text: str, room: int, style: str) -> list[Content]:
    """Lines of so much room, as far in as an answer stands behind its key and its box."""
    parts = held_together(txt(text), room).wrap(room)
    return [Content.assemble(" " * INDENT, (part.plain.strip(), style)) for part in parts]


def _name(tool: "Tool") -> str:
    if tool.name:
        return tool.name
    size = f"{tool.size_mm:.2f} mm" if tool.size_mm else ""
    return " ".join(part for part in (size, tool.shape or "", tool.kind) if part)
