"""The first line of every screen: where you are, who is at the bench, what is invented."""

from rich.cells import cell_len
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.text import fitted, line

INVENTED = " INVENTED CLASS "


class TitleLine(Widget):
    """Program and place on the left, the setter on the right, and the mark of invented data."""

    DEFAULT_CSS = """
    TitleLine { height: 1; background: $panel; color: $foreground; }
    """

    who: reactive[str] = reactive("")
    invented: reactive[bool] = reactive(default=False)

    def __init__(self, place: str) -> None:
        super().__init__()
        self.place = place

    def render(self) -> Content:
        """The line, in exactly the width of the screen."""
        mark = INVENTED if self.invented else ""
        left = f" platebook  {self.place} "
        room = self.size.width - cell_len(left) - cell_len(mark) - 1
        who = fitted(self.who, min(cell_len(line(self.who)), max(room, 0)))
        gap = " " * max(room - cell_len(who), 0)
        return Content.assemble(
            (" platebook  ", "$muted"),
            (f"{self.place} ", "bold $accent"),
            gap,
            who,
            " ",
            (mark, "reverse bold"),
        )
