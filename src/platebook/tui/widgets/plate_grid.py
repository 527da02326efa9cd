"""The plate with its positions: number and sign of each, the next one marked."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.text import fitted, line, txt

if TYPE_CHECKING:
    from platebook.services.plates import PlateCell, PlateView

CELL = 7
FREE = "·"


class PlateGrid(Widget):
    """Positions in rows, as on the plate; a sign and, where it fits, colour for the result."""

    DEFAULT_CSS = "PlateGrid { height: auto; }"

    plate: reactive["PlateView | None"] = reactive(None, layout=True)

    def render(self) -> Content:
        """The plate's name over its positions."""
        if self.plate is None:
            return txt("")
        name = txt(f"Plate {line(self.plate.name)}" if self.plate.name else "Plate", "bold")
        fits = max(self.size.width // CELL, 1)
        across = min(self.plate.across or fits, fits)
        cells = self.plate.cells
        rows = [cells[i : i + across] for i in range(0, len(cells), across)]
        return Content("\n").join([name, *(self._row(row) for row in rows)])

    def _row(self, cells: "Sequence[PlateCell]") -> Content:
        return Content("").join(self._cell(cell) for cell in cells)

    def _cell(self, cell: "PlateCell") -> Content:
        assert self.plate is not None
        upcoming = cell.position == self.plate.next_position
        text = f"{fitted(cell.position, 3)}{fitted(cell.sign or FREE, 1)}"
        if upcoming:
            return Content.assemble(("▸", "$accent"), (text, "bold reverse"), "  ")
        style = {"": "$muted", "good": "$text-success"}.get(cell.result, "$text-warning")
        return Content.assemble(" ", (text, style), "  ")
