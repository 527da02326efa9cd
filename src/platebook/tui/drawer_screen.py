"""Drawer: the tools of whoever is at the bench, to put in, to change and to take out."""

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from platebook.services.attempts.recording import undo
from platebook.services.drawer.drawer import DrawerRow, change, drawer_view, put_in, take_out
from platebook.tui.base_screen import Answered, Done, ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.parts.text import txt
from platebook.tui.parts.widgets import OrderedInput, PickList, Words

EMPTY = "The drawer is empty: a puts a tool in. Sizes then come from your own tools first."
HOW = "Kind and size, such as: bur 1.9 hart; twist drill 0.65; pin 1.95; measuring caliper"


class DrawerScreen(ListScreen[None]):
    """The list of tools, and a line to type one."""

    PLACE: ClassVar[str] = "drawer"
    DEFAULT_CSS = """
    DrawerScreen {
        PickList { padding: 0 1; }
        #tool { display: none; height: 1; border: none; padding: 0 1; background: $surface; }
        #tool.asked { display: block; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    class Loaded(Answered[tuple[DrawerRow, ...]]):
        """The tools."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.rows: tuple[DrawerRow, ...] = ()
        self.changing: str | None = None

    def body(self) -> ComposeResult:
        """The list, the line to type in, and what was done."""
        yield OrderedInput(compact=True, select_on_focus=False, id="tool")
        yield PickList()
        yield Words(id="told")

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        self.ask(partial(self.session.call, drawer_view), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the list."""
        self.query_one("#told", Words).show(txt(sentence))

    @on(Loaded)
    def show_tools(self, event: Loaded) -> None:
        """Show the tools; the mark goes to what came in, else stays on its tool."""
        marked, known = self._marked(), {row.tool_id for row in self.rows}
        came = [row.tool_id for row in event.value if row.tool_id not in known]
        wanted = came[0] if known and came else marked.tool_id if marked else None
        self.rows = event.value
        picks = self.query_one(PickList)
        picks.rows = tuple(
            (f"{row.kind:<12} {row.size:>5}  {row.name}", row.use) for row in self.rows
        )
        places = [place for place, row in enumerate(self.rows) if row.tool_id == wanted]
        picks.mark(places[0] if places else picks.marked)
        if not self.rows:
            self.tell(EMPTY)

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

    def action_take_out(self) -> None:
        """Take the tool marked out; undo puts it back."""
        row = self._marked()
        if row is not None:
            self.ask(partial(self.session.call, take_out, row.tool_id), Done)

    def action_undo(self) -> None:
        """Take the last change back."""
        self.ask(partial(self.session.call, undo), Done)

    def action_clear(self) -> None:
        """Put the line away."""
        self._put_away()
        self.tell("")

    def _type(self, text: str, changing: str | None) -> None:
        self.changing = changing
        tool = self.query_one("#tool", Input)
        tool.value = text
        tool.cursor_position = len(text)
        tool.add_class("asked")
        tool.focus()
        self.tell(HOW)

    def _put_away(self) -> None:
        self.query_one("#tool").remove_class("asked")
        self.set_focus(None)

    def _marked(self) -> DrawerRow | None:
        return self.rows[self.query_one(PickList).marked] if self.rows else None
