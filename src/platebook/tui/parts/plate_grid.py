"""The plate with its positions, as it lies on the bench, in a grid.

A hole is filled by how its setting came out, by the signs and colours of `signs`: full for a good
one, half for a slight fault, with the letter of its defect for a failed one, and a free one is
empty. What the letters on it mean stands behind its name, as far as there is room.
"""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget

from platebook.practice.results import NOT_JUDGED
from platebook.reports.text.figures import OUTCOMES
from platebook.tui.parts.signs import OUTCOME_STYLES
from platebook.tui.parts.text import fit, line, stack, txt

if TYPE_CHECKING:
    from platebook.services.plates import PlateCell, PlateView

UNKNOWN = "?"
"""In the hole of what nobody judged, as `services.plates` puts it there."""
HOLE = 5
"""Cells of one position besides its number."""
FREE = " "
LARGE, LARGE_ROWS = 7, 3
"""Cells and lines of one position that is drawn large."""
ROUND, HERE = ("╭───╮", "│", "╰───╯"), ("┏━━━┓", "┃", "┗━━━┛")
"""The rim of a large hole, and of the one in turn, which its shape tells without colour."""


def filled(cell: "PlateCell") -> tuple[str, str]:
    """What is seen in the hole of a position, and its style."""
    if not cell.sign:
        return FREE, "$unknown"
    if cell.outcome in {"good", "slight"}:
        return OUTCOMES[cell.outcome].drawn, OUTCOME_STYLES[cell.outcome]
    return fit(cell.sign, 1), OUTCOME_STYLES[cell.outcome]


def letters_on(plate: "PlateView", *, unknown: str = NOT_JUDGED) -> list[str]:
    """What the letters in the holes mean, each once: "H high"; `unknown` is what ? says, or ""."""
    failed = (c for c in plate.cells if c.sign and c.outcome not in {"good", "slight"})
    means = {c.sign: unknown if c.sign == UNKNOWN else c.result.split(" + ")[0] for c in failed}
    return [f"{sign} {word}" for sign, word in means.items() if word]


class PlateGrid(Widget):
    """Positions in rows, as on the plate, round holes, each filled by how its setting came out.

    `marks` are signs to stand behind positions, such as the ones drawn at random. With `large` each
    hole is as large as a hole can be drawn, where the width allows a row of them; the rim of the
    next one stands out, or of those with a mark where none is next. `unknown` is what a ? in a hole
    says; empty where that is told beside the plate.
    """

    DEFAULT_CSS = "PlateGrid { height: auto; }"

    plate: reactive["PlateView | None"] = reactive(None, layout=True)
    marks: reactive["Mapping[str, str]"] = reactive({})
    large: reactive[bool] = reactive(default=False, layout=True)
    unknown: reactive[str] = reactive(NOT_JUDGED)

    @property
    def across(self) -> int:
        """How many positions stand in a row."""
        return self._across(self._number_width + HOLE, self.content_size.width)

    def _across(self, cells: int, width: int) -> int:
        """How many stand in a row of this width where each takes so many cells."""
        fits = max(width // cells, 1)
        wanted = self.plate.across if self.plate is not None else None
        return min(wanted or fits, fits)

    @property
    def _number_width(self) -> int:
        """Positions are numbers of two digits, as a rule; longer ones are cut at three."""
        cells = self.plate.cells if self.plate is not None else ()
        return min(3, max((2, *(len(cell.position) for cell in cells))))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """The name and the rows of this width, whatever width there was before."""
        del container, viewport
        if self.plate is None:
            return 1
        across = self._across(self._number_width + HOLE, width)
        rows = -(-len(self.plate.cells) // across)
        return 1 + rows * (LARGE_ROWS if self._fits_large(width) else 1)

    def _fits_large(self, width: int) -> bool:
        """Whether holes are drawn large: where as many fit into a row of this width."""
        small = self._across(self._number_width + HOLE, width)
        return self.large and self._across(LARGE, width) == small

    def render(self) -> Content:
        """The plate's name over its positions."""
        if self.plate is None:
            return txt("")
        name = txt(f"Plate {line(self.plate.name)}" if self.plate.name else "Plate", "bold")
        if self.plate.differs:
            name = Content.assemble(name, f", for {line(self.plate.differs)}")
        between = "  "
        for letter in letters_on(self.plate, unknown=self.unknown):
            longer = Content.assemble(name, (f"{between}{letter}", "$muted"))
            if cell_len(longer.plain) <= self.content_size.width:
                name, between = longer, ", "
        across, cells = self.across, self.plate.cells
        if self._fits_large(self.content_size.width):
            drawn = [self._large_row(cells[i : i + across]) for i in range(0, len(cells), across)]
        else:
            drawn = [self._row(cells[i : i + across]) for i in range(0, len(cells), across)]
        return stack(name, *drawn)

    def _row(self, cells: "Sequence[PlateCell]") -> Content:
        return Content("").join(self._cell(cell) for cell in cells)

    def _cell(self, cell: "PlateCell") -> Content:
        number, behind, (within, style) = self._seen(cell)
        if self._upcoming(cell):
            return Content.assemble(
                ("▸", "$accent"), (number, "bold"), (f"({within})", "bold reverse"), behind
            )
        return Content.assemble(" ", (number, "$muted"), (f"({within})", style), behind)

    def _large_row(self, cells: "Sequence[PlateCell]") -> Content:
        """Each hole as a circle of three lines, with its number before it."""
        lines = [Content(""), Content(""), Content("")]
        in_turn = self.plate is not None and self.plate.next_position
        for cell in cells:
            number, behind, (within, style) = self._seen(cell)
            here = self._upcoming(cell) or (bool(behind.strip()) and not in_turn)
            rim = "bold $accent" if here else "$muted"
            top, side, foot = HERE if self._upcoming(cell) else ROUND
            lines[0] += Content.assemble("  ", (top, rim))
            lines[1] += Content.assemble(
                # At its own hole, and not at the one before it.
                (f"{number[:2].strip():>2}", "bold" if here else "$muted"),
                (side, rim),
                (f" {within} ", style),
            ) + Content.styled(side, rim)
            lines[2] += Content.assemble(f" {behind}", (foot, rim))
        return stack(*lines)

    def _upcoming(self, cell: "PlateCell") -> bool:
        return self.plate is not None and cell.position == self.plate.next_position

    def _seen(self, cell: "PlateCell") -> tuple[str, str, tuple[str, str]]:
        """The number, the sign behind it, and what is in the hole with its style."""
        number = fit(cell.position, self._number_width)
        return number, fit(self.marks.get(cell.position, ""), 1), filled(cell)
