"""Drawer: the tools of whoever is at the bench, to put in, to change and to take out."""

from collections.abc import Mapping
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import Input

from platebook.services.attempts.recording import redo, undo
from platebook.services.drawer.drawer import DrawerRow, change, drawer_view, put_in, take_out
from platebook.services.drawer.tool_checks import CHECK_SAYS, check_typed
from platebook.services.drawer.tool_use import ToolUse, tool_uses
from platebook.services.now.now_view import NowView, now
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.drawer_words import drawer_head, first_tools, told_apart, tool_page
from platebook.tui.messages import Answered, Done
from platebook.tui.parts.headline import Headline
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import AskedLine, PickList, Words

WIDE, BROAD = 110, 160
"""From so many columns the tool marked stands beside the list in full, and in much room."""
AROUND, PAGE_LINES = 6, 8
"""Lines around list and tool; with so many left under the list it has the page of the tool too."""
WAITING = "Opening the drawer …"
NOT_TO_CHECK = "Only what measures is checked, and nothing here does."
HOW = (
    "Kind and size, then Enter, such as: bur 1.9 hart; twist drill 0.65; pin 1.95; measuring "
    "caliper"
)


class DrawerScreen(ListScreen[None]):
    """What wants a check as the headline, the tools, the one marked, and a line to type one."""

    PLACE: ClassVar[str] = "drawer"
    OF_A_SETTER = True
    DEFAULT_CSS = """
    DrawerScreen {
        #both { height: 1fr; layout: vertical; }
        PickList { width: 1fr; padding: 0 1; }
        #beside {
            height: auto; padding: 0 0 0 1; background: $surface;
            scrollbar-size-vertical: 1;
        }
        #about { height: auto; padding: 0 1 0 0; }
        &.-wide #both, &.-broad #both { layout: horizontal; }
        &.-wide #beside, &.-broad #beside {
            width: 48; height: 1fr; max-height: 100%;
            background: $background; border-left: solid $rule;
        }
        &.-broad #beside { width: 76; }
        &.-broad PickList { max-width: 90; }
        &.-teaches #both { display: none; }
        &.-empty PickList { display: none; }
        &.-empty #beside {
            width: 1fr; height: 1fr; max-height: 100%; padding: 1 1; border: none;
            background: $background;
        }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - as Textual has it
        (0, "-usual"),
        (WIDE, "-wide"),
        (BROAD, "-broad"),
    ]

    class Loaded(Answered[tuple[DrawerRow, ...]]):
        """The tools."""

    class UsesRead(Answered[Mapping[str, ToolUse]]):
        """What each tool is for and what was done with it."""

    class FirstWanted(Answered[NowView]):
        """What comes next, for the tools to put into an empty drawer."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.rows: tuple[DrawerRow, ...] = ()
        self.uses: Mapping[str, ToolUse] | None = None
        self.changing: str | None = None
        self.checking: str | None = None

    def body(self) -> ComposeResult:
        """What wants a check, the line to type in, the list with the one marked, what was done."""
        yield Headline(WAITING)
        yield AskedLine(id="tool")
        with Container(id="both"):
            yield PickList(tells_more=True)
            with VerticalScroll(id="beside", can_focus=False):
                yield Words(id="about")
        yield Words(id="told")

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        if self.told_to_a_teacher():
            return
        self.ask(partial(self.session.call, drawer_view), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the list."""
        self.query_one("#told", Words).say(txt(sentence))

    @on(Loaded)
    def show_tools(self, event: Loaded) -> None:
        """Show the tools; the mark goes to what came in, else stays on its tool."""
        marked, known = self._marked(), {row.tool_id for row in self.rows}
        came = [row.tool_id for row in event.value if row.tool_id not in known]
        wanted = came[0] if known and came else marked.tool_id if marked else None
        self.rows = event.value
        picks = self.query_one(PickList)
        picks.rows = tuple(
            (f"{row.kind:<12} {row.size:>5}  {told_apart(row)}", row.use) for row in self.rows
        )
        places = [place for place, row in enumerate(self.rows) if row.tool_id == wanted]
        picks.mark(places[0] if places else picks.marked)
        self.query_one(Headline).show(drawer_head(self.rows))
        self.set_class(not self.rows, "-empty")
        unfit = set() if self.rows else {"change", "take_out", "clear"}
        unfit |= set() if any(row.kind == "measuring" for row in self.rows) else {"check"}
        self.offer_all_but(unfit)
        if not self.rows:
            self.ask(partial(self.session.call, now), self.FirstWanted, newest_only=True)
        self.uses = None
        self.show_marked()

    @on(UsesRead)
    def show_uses(self, event: UsesRead) -> None:
        """Show what the tool marked is for."""
        self.uses = event.value
        self.show_marked()

    @on(FirstWanted)
    def show_first_wanted(self, event: FirstWanted) -> None:
        """What to put in first, while nothing is in."""
        if not self.rows:
            first = first_tools(event.value.sizes, event.value.grade_title)
            self.query_one("#about", Words).say(first)

    @on(PickList.Marked)
    def show_marked(self) -> None:
        """The tool marked: all that is known beside the list, or under it where there is room."""
        if not self.rows:
            return
        row, wide = self._marked(), self.size.width >= WIDE
        left = self.size.height - AROUND - len(self.rows)
        if not wide:
            self.query_one("#beside").styles.max_height = max(left, 1)
        else:
            self.query_one("#beside").styles.clear_rule("max_height")
        shown = Content("")
        if row is not None and (wide or left >= PAGE_LINES):
            self._read_uses()
            shown = tool_page(row, (self.uses or {}).get(row.tool_id))
        elif row is not None and row.kind == "measuring":
            shown = stack(*map(txt, row.about))
        self.query_one("#about", Words).say(shown)

    def on_resize(self) -> None:
        """The tool marked stands beside the list, or under it."""
        self.show_marked()

    @on(Done)
    def show_change(self, event: Done) -> None:
        """Say what was done, put the line away, and look again."""
        self._put_away()
        self.tell(event.value)
        self.load()

    @on(Input.Submitted, "#tool")
    def take_tool(self, event: Input.Submitted) -> None:
        """Put the tool in, or change the one marked."""
        if not event.value.strip():
            self._put_away()
        elif self.checking is not None:
            self.ask(partial(self.session.call, check_typed, self.checking, event.value), Done)
        elif self.changing is None:
            self.ask(partial(self.session.call, put_in, event.value), Done)
        else:
            call = partial(self.session.call, change, self.changing, event.value)
            self.ask(call, Done)

    def action_add(self) -> None:
        """Ask for a tool."""
        self._type("", None)

    def action_change(self) -> None:
        """Change the tool marked."""
        row = self._marked()
        if row is not None:
            self._type(row.typed, row.tool_id)

    def action_check(self) -> None:
        """Check the tool marked where it measures, else the first that wants it."""
        measuring = [row for row in self.rows if row.kind == "measuring"]
        row = self._marked()
        if row not in measuring:
            row = next((r for r in measuring if not r.sure), next(iter(measuring), None))
        if row is None:
            self.tell(NOT_TO_CHECK)
            return
        self.query_one(PickList).mark(self.rows.index(row))
        self._type("", None)
        self.checking = row.tool_id
        self.tell(f"{row.name}. {CHECK_SAYS}")

    def action_take_out(self) -> None:
        """Take the tool marked out; undo puts it back."""
        row = self._marked()
        if row is not None:
            self.ask(partial(self.session.call, take_out, row.tool_id), Done)

    def action_undo(self) -> None:
        """Take the last change back."""
        self.ask(partial(self.session.call, undo), Done)

    def action_redo(self) -> None:
        """Put back what was taken back."""
        self.ask(partial(self.session.call, redo), Done)

    def action_clear(self) -> None:
        """Put the line away."""
        self._put_away()
        self.tell("")

    def _read_uses(self) -> None:
        """Ask once for what the tools are for, where there is room to show it."""
        if self.uses is None:
            self.uses = {}
            self.ask(partial(self.session.call, tool_uses), self.UsesRead, newest_only=True)

    def _type(self, text: str, changing: str | None) -> None:
        self.changing, self.checking = changing, None
        self.query_one(AskedLine).ask(text)
        self.tell(HOW)

    def _put_away(self) -> None:
        self.query_one(AskedLine).put_away()

    def _marked(self) -> DrawerRow | None:
        return self.rows[self.query_one(PickList).marked] if self.rows else None
