"""The seat drawn to scale: sheet hatched as cut metal, stone in outline, with a line in numbers.

Fine braille lines carry it, so it says the same without colour.
"""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.text import stacked, txt

if TYPE_CHECKING:
    from platebook.trade.section import Section
    from platebook.trade.setup_sheet import SetUpSheet

STYLES = {"metal": "$metal", "stone": "$stone"}
LEAST_WIDTH = 16
LEAST_HEIGHT = 6


class SeatPicture(Widget):
    """The section of sheet, seat and stone for the set-up sheet shown."""

    DEFAULT_CSS = "SeatPicture { height: 1fr; min-height: 5; }"

    sizes: reactive["SetUpSheet | None"] = reactive(None)

    def __init__(self) -> None:
        super().__init__()
        self._drawn_for: tuple[object, ...] = ()
        self._drawn = Content("")

    def render(self) -> Content:
        """The drawing with its line of text, or the line alone where there is no room."""
        width, height = self.content_size
        if self.sizes is None or width == 0:
            return Content("")
        wanted = (self.sizes, width, height)
        if wanted != self._drawn_for:
            self._drawn, self._drawn_for = pictured(self.sizes, width, height), wanted
        return self._drawn


def pictured(sizes: "SetUpSheet", width: int, height: int) -> Content:
    """The section and its line in exactly this room."""
    from platebook.trade.section import section_of

    section = section_of(sizes)
    says = txt(section.line, "$muted")
    rows = height - len(says.wrap(width))
    if width < LEAST_WIDTH or rows < LEAST_HEIGHT - 1:
        return says
    return stacked(drawn(section, width, rows), says)


def drawn(section: "Section", columns: int, rows: int) -> Content:
    """The section in this many cells, equal scales in both directions."""
    from platebook.reports.section_text import section_sketch

    board = section_sketch(section, columns, rows, STYLES)
    return Content("\n").join(
        Content.assemble(*((sign, style) for sign, style in row)) for row in board.cells()
    )
