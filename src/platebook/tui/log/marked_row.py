"""The row marked in full, beside the list where there is room: all of its words, and its plate."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from platebook.practice.results import verdict
from platebook.tui.parts.plate_grid import PlateGrid
from platebook.tui.parts.signs import outcome_sign
from platebook.tui.parts.text import line, stack, txt
from platebook.tui.parts.widgets import Words
from platebook.values import replace

if TYPE_CHECKING:
    from platebook.services.attempts.log import LogRow
    from platebook.services.plates import PlateView

HERE = "\N{SINGLE LEFT-POINTING ANGLE QUOTATION MARK}"
"""Stands behind the position of the row marked."""
ROOM_FOR_LARGE = 30
"""Lines of a window in which holes are drawn large."""


class MarkedRow(VerticalScroll):
    """Words and plate; it cannot be focused."""

    DEFAULT_CSS = """
    MarkedRow {
        width: 42; height: 1fr; padding: 0 1; border-left: solid $rule;
        scrollbar-size-vertical: 1;
    }
    MarkedRow > Words { height: auto; margin: 0 0 1 0; }
    """

    can_focus = False

    def __init__(self) -> None:
        super().__init__()
        self.row: LogRow | None = None
        self.answered = ""
        """The attempt whose plate was asked for last."""

    def compose(self) -> ComposeResult:
        """What it was, and where it lies."""
        yield Words()
        yield PlateGrid()

    @property
    def lacks_plate(self) -> bool:
        """Whether the plate of the row marked has to be asked for."""
        row = self.row
        return row is not None and bool(row.place) and not self._is_of_the_row()

    def show(self, row: "LogRow | None") -> None:
        """Show this row; its plate stays where it lies on the one shown."""
        self.row = row
        self.query_one(Words).show(in_full(row) if row is not None else Content(""))
        self._draw(self.query_one(PlateGrid).plate if self._is_of_the_row() else None)

    def show_plate(self, plate: "PlateView | None") -> None:
        """Draw this plate of the row marked."""
        self.answered = self.row.attempt_id if self.row is not None else ""
        self._draw(plate)

    def forget_plate(self) -> None:
        """What lies on a plate may have changed."""
        self.answered = ""
        self._draw(None)

    def _draw(self, plate: "PlateView | None") -> None:
        """The plate, with a sign behind the position of the row marked."""
        grid = self.query_one(PlateGrid)
        grid.large = self.app.size.height >= ROOM_FOR_LARGE
        here = self._position(plate) if plate is not None else ""
        grid.marks = {here: HERE} if here else {}
        # Which one comes next is no matter of the log.
        grid.plate = replace(plate, next_position=None) if plate is not None else None

    def _is_of_the_row(self) -> bool:
        """Whether the plate shown is that of the row marked."""
        row, plate = self.row, self.query_one(PlateGrid).plate
        if row is None:
            return False
        return self.answered == row.attempt_id or (
            plate is not None and bool(self._position(plate))
        )

    def _position(self, plate: "PlateView") -> str:
        """Where on this plate the row marked was last; empty where it was not."""
        name = self.row.attempt_id if self.row is not None else ""
        return next((c.position for c in plate.cells if name and c.attempt_id == name), "")


def in_full(row: "LogRow") -> Content:
    """An attempt as the log knows it: when, what came out, of what, where, own columns, note."""
    result = Content.assemble(
        outcome_sign(row.outcome), f" {line(verdict(row.result, row.severity))}"
    )
    sizes = [
        f"{name} {size} mm"
        for name, size in (("stone", row.stone_text), ("bur", row.bur_text))
        if size
    ]
    told = (
        row.setter,
        " · ".join(filter(None, (row.exercise_title, row.grade_title))),
        " · ".join(sizes),
        row.place,
        *(f"{name}: {value}" for name, value in row.own.items() if value),
        row.note,
    )
    return stack(txt(row.began_text, "bold $accent"), result, *(txt(said) for said in told if said))
