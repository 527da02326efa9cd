"""The seat drawn to scale: sheet hatched as cut metal, stone in outline, table level with it.

Fine braille lines carry it, so it says the same without colour; a line of text below says it in
numbers.
"""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.text import stacked, txt
from platebook.tui.widgets.sketch import Point, Sketch

if TYPE_CHECKING:
    from platebook.trade.setup_sheet import SetUpSheet

METAL_STYLE = "$metal"
STONE_STYLE = "$stone"
SIDE_ROOM = 0.35
LEAST_WIDTH = 16
LEAST_HEIGHT = 5


class SeatPicture(Widget):
    """The section of sheet, seat and stone for the set-up sheet shown."""

    DEFAULT_CSS = "SeatPicture { height: 1fr; min-height: 5; }"

    sizes: reactive["SetUpSheet | None"] = reactive(None)

    def render(self) -> Content:
        """The drawing and its line of text."""
        width, height = self.content_size
        if self.sizes is None:
            return txt("")
        caption = txt(caption_of(self.sizes), "$muted")
        if width < LEAST_WIDTH or height < LEAST_HEIGHT:
            return caption
        below = len(caption.wrap(width)) if hasattr(caption, "wrap") else 1
        return stacked(drawn(self.sizes, width, max(height - below, 3)), caption)


def caption_of(sizes: "SetUpSheet") -> str:
    """What the drawing shows, in numbers."""
    stone, thickness = sizes.stone.diameter_mm, sizes.sheet.thickness_mm
    point = sizes.sheet.culet_clearance_mm
    where = f"point {point:.2f} inside" if point >= 0 else f"point {-point:.2f} out"
    return f"{stone:.2f} in {thickness:.2f}: {where}"


def drawn(sizes: "SetUpSheet", columns: int, rows: int) -> Content:
    """The section in this many cells, equal scales in both directions."""
    board = Sketch(columns, rows)
    stone = stone_corners(sizes)
    half = sizes.stone.diameter_mm * (0.5 + SIDE_ROOM)
    deepest = max(sizes.sheet.thickness_mm, *(y for _, y in stone))
    scale = min((board.width - 2) / (2 * half), (board.height - 2) / deepest)
    top = (board.height - deepest * scale) / 2

    def placed(corners: list[Point]) -> list[Point]:
        return [(board.width / 2 + x * scale, top + y * scale) for x, y in corners]

    for side in (1, -1):
        metal = placed([(side * x, y) for x, y in metal_corners(sizes, half)])
        board.hatch(metal, METAL_STYLE)
        board.outline(metal, METAL_STYLE)
    board.outline(placed(stone), STONE_STYLE)
    _, girdle, *_ = placed([(0, 0), (-sizes.stone.diameter_mm / 2, sizes.stone.crown_mm)])
    _, other, *_ = placed([(0, 0), (sizes.stone.diameter_mm / 2, sizes.stone.crown_mm)])
    board.stroke(girdle, other, STONE_STYLE, every=3)
    return Content("\n").join(
        Content.assemble(*((sign, style) for sign, style in row)) for row in board.cells()
    )


def stone_corners(sizes: "SetUpSheet") -> list[Point]:
    """The stone's outline in millimetres, table level with the sheet, y downwards."""
    stone = sizes.stone
    radius, table = stone.diameter_mm / 2, stone.table_mm / 2
    lower = stone.crown_mm + stone.girdle_mm
    return [
        (-table, 0.0),
        (table, 0.0),
        (radius, stone.crown_mm),
        (radius, lower),
        (0.0, stone.depth_mm),
        (-radius, lower),
        (-radius, stone.crown_mm),
    ]


def metal_corners(sizes: "SetUpSheet", half: float) -> list[Point]:
    """The right half of the sheet around the seat: wall, ledge at 45°, pilot hole, back."""
    seat = (sizes.seat.diameter_low_mm + sizes.seat.diameter_high_mm) / 4
    thickness = sizes.sheet.thickness_mm
    ledge = min(sizes.seat.depth_mm, thickness)
    pilot = min(sizes.pilot_drill.choose_mm / 2, seat)
    drop = min(seat - pilot, thickness - ledge)
    corners = [(half, 0.0), (seat, 0.0), (seat, ledge), (seat - drop, ledge + drop)]
    if ledge + drop < thickness:
        corners.append((pilot, thickness))
    return [*corners, (half, thickness)]
