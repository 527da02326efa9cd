"""First start: a name, a course and a few tools, each with a sensible choice offered."""

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Input

from platebook.services.first_run import FirstOffers, begin
from platebook.tui.bench_session import BenchSession
from platebook.tui.frame import BenchScreen
from platebook.tui.text import line, stacked, txt
from platebook.tui.widgets.ordered_input import OrderedInput
from platebook.tui.widgets.words import Words

if TYPE_CHECKING:
    from platebook.trade.drawer import Tool

STEPS = ("name", "course", "tools")
SAFETY = (
    "Practise with eye protection on. The workshop's own rules, local law and a qualified "
    "teacher come first."
)
ROW_KEYS = "123456789abcdefghijklmnopqrstuvwxyz"


class FirstRunScreen(BenchScreen[None]):
    """Three questions; Enter goes on with what stands, Esc starts at once."""

    PLACE: ClassVar[str] = "first run"
    DEFAULT_CSS = """
    FirstRunScreen {
        VerticalScroll { height: 1fr; padding: 1 2; }
        Words { height: auto; margin: 0 0 1 0; }
        #name { border: none; background: $surface; height: 1; padding: 0 1; margin: 0 0 1 0; }
    }
    """

    class Begun(Message):
        """The first setter is set up."""

        def __init__(self, nothing: None) -> None:
            super().__init__()
            del nothing

    def __init__(self, session: BenchSession, offers: FirstOffers) -> None:
        super().__init__(session)
        self.step = 0
        self.courses, self.tools = offers.courses, offers.tools
        self.course = 0
        self.owned = set(range(len(self.tools)))

    def body(self) -> ComposeResult:
        """One question at a time."""
        scroll = VerticalScroll()
        scroll.can_focus = False
        with scroll:
            yield Words(id="question")
            yield OrderedInput(placeholder="your name", compact=True, id="name")
            yield Words(id="offers")
            yield Words(id="ways")

    def on_mount(self) -> None:
        """Ask for the name first; all tools offered are ticked."""
        super().on_mount()
        self.query_one("#name").focus()
        self.show()

    def tell(self, sentence: str) -> None:
        """Say one sentence in place of the ways on."""
        self.query_one("#ways", Words).show(txt(sentence))

    @on(Begun)
    def close(self) -> None:
        """On to Now."""
        self.dismiss(None)

    @on(Input.Submitted)
    def take_name(self) -> None:
        """Go on from the name."""
        self.action_go_on()

    def on_key(self, event: events.Key) -> None:
        """Choose the course, or tick tools, by the key in front of it."""
        place = ROW_KEYS.find(event.character or " ")
        if STEPS[self.step] == "course" and 0 <= place < len(self.courses):
            self.course = place
        elif STEPS[self.step] == "tools" and 0 <= place < len(self.tools):
            self.owned ^= {place}
        else:
            return
        event.stop()
        event.prevent_default()
        self.show()

    def action_go_on(self) -> None:
        """The next question; after the last one, set up."""
        if self.step < len(STEPS) - 1:
            self.step += 1
            self.set_focus(None)
            self.show()
        else:
            self._begin()

    def action_back(self) -> None:
        """The question before."""
        if self.step > 0:
            self.step -= 1
            self.show()
            if self.step == 0:
                self.query_one("#name").focus()

    def action_skip(self) -> None:
        """Start at once with what stands."""
        self._begin()

    def show(self) -> None:
        """Show the question of the moment."""
        step = STEPS[self.step]
        self.query_one("#name").display = step == "name"
        questions = {
            "name": "Who is at the bench?",
            "course": "Which course? The first is the usual one.",
            "tools": "Which of these are in your drawer? More can be added later.",
        }
        head = [txt("platebook, a practice log for flush setting", "bold $accent"), txt("")]
        self._update("question", stacked(*head, txt(questions[step], "bold")))
        offers = {"name": txt(SAFETY), "course": self._courses(), "tools": self._tools()}
        self._update("offers", offers[step])
        chooses = {"name": "", "course": "A digit chooses. ", "tools": "A key ticks or unticks. "}
        self._update("ways", txt(f"{chooses[step]}Enter goes on. Esc starts at once."))

    def _courses(self) -> Content:
        return stacked(
            *(
                stacked(
                    _choice(place, course.title, chosen=place == self.course),
                    txt(f"      {course.about}", "$muted"),
                )
                for place, course in enumerate(self.courses)
            )
        )

    def _tools(self) -> Content:
        return stacked(
            *(
                _choice(place, _name(tool), chosen=place in self.owned)
                for place, tool in enumerate(self.tools)
            )
        )

    def _begin(self) -> None:
        name = self.query_one("#name", Input).value.strip()
        course = self.courses[self.course].id if self.courses else None
        tools = [tool for place, tool in enumerate(self.tools) if place in self.owned]
        call = partial(self.session.sit_down, begin, name=name, course_id=course, tools=tools)
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
