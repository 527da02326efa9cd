"""The plate with its positions, as it lies on the bench."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.parts.text import fit, line, txt

if TYPE_CHECKING:
    from platebook.services.plates import PlateCell, PlateView

HOLE = 5
"""Cells of one position besides its number."""
FREE = " "
GOOD, GOOD_HOLE = "+", "●"


class PlateGrid(Widget):
    """Positions in rows, as on the plate: round holes, each filled by how its setting came out.

    A good one is full, a failed one holds the letter of its defect, and a free one is empty.

    `marks` are signs to stand behind positions, such as the ones drawn at random.
    """

    DEFAULT_CSS = "PlateGrid { height: auto; }"

    plate: reactive["PlateView | None"] = reactive(None, layout=True)
    marks: reactive["Mapping[str, str]"] = reactive({})

    @property
    def across(self) -> int:
        """How many positions stand in a row."""
        fits = max(self.size.width // (self._number_width + HOLE), 1)
        wanted = self.plate.across if self.plate is not None else None
        return min(wanted or fits, fits)

    @property
    def _number_width(self) -> int:
        """Positions are numbers of two digits, as a rule; longer ones are cut at three."""
        cells = self.plate.cells if self.plate is not None else ()
        return min(3, max((2, *(len(cell.position) for cell in cells))))

    def render(self) -> Content:
        """The plate's name over its positions."""
        if self.plate is None:
            return txt("")
        name = txt(f"Plate {line(self.plate.name)}" if self.plate.name else "Plate", "bold")
        across, cells = self.across, self.plate.cells
        rows = [cells[i : i + across] for i in range(0, len(cells), across)]
        return Content("\n").join([name, *(self._row(row) for row in rows)])

    def _row(self, cells: "Sequence[PlateCell]") -> Content:
        return Content("").join(self._cell(cell) for cell in cells)

    def _cell(self, cell: "PlateCell") -> Content:
        assert self.plate is not None
        upcoming = cell.position == self.plate.next_position
        number, behind = (
            fit(cell.position, self._number_width),
            fit(self.marks.get(cell.position, ""), 1),
        )
        within = GOOD_HOLE if cell.sign == GOOD else fit(cell.sign or FREE, 1)
        if upcoming:
            return Content.assemble(
                ("▸", "$accent"), (number, "bold"), (f"({within})", "bold reverse"), behind
            )
        style = {"": "$muted", "good": "$text-success"}.get(cell.result, "bold $text-warning")
        return Content.assemble(" ", (number, "$muted"), (f"({within})", style), behind)
