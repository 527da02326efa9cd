"""A small drawing board of braille dots: fine lines and hatching that need no colour.

One cell holds two by four dots, which are nearly square on a terminal, so a drawing with equal
scales in both directions is to scale.
"""

import math
from collections.abc import Sequence

DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
BLANK = 0x2800

Point = tuple[float, float]


class Sketch:
    """A board of `columns` by `rows` cells, each remembering the style of the last stroke in it."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns = columns
        self.rows = rows
        self._dots = [[0] * columns for _ in range(rows)]
        self._styles = [[""] * columns for _ in range(rows)]

    @property
    def width(self) -> int:
        """Width in dots."""
        return self.columns * 2

    @property
    def height(self) -> int:
        """Height in dots."""
        return self.rows * 4

    def dot(self, x: float, y: float, style: str = "") -> None:
        """One dot; x to the right and y downwards, in dots. Outside the board nothing happens."""
        column, row = math.floor(x) // 2, math.floor(y) // 4
        if 0 <= column < self.columns and 0 <= row < self.rows:
            self._dots[row][column] |= DOTS[math.floor(y) % 4][math.floor(x) % 2]
            self._styles[row][column] = style

    def stroke(self, start: Point, end: Point, style: str = "", *, every: int = 1) -> None:
        """A straight line; `every` 2 or more makes it dotted."""
        steps = max(int(max(abs(end[0] - start[0]), abs(end[1] - start[1]))), 1)
        for step in range(0, steps + 1, every):
            share = step / steps
            self.dot(
                start[0] + (end[0] - start[0]) * share,
                start[1] + (end[1] - start[1]) * share,
                style,
            )

    def outline(self, corners: Sequence[Point], style: str = "") -> None:
        """The edges of a closed shape."""
        for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
            self.stroke(start, end, style)

    def hatch(self, corners: Sequence[Point], style: str = "", *, spacing: int = 4) -> None:
        """Slanted section lines inside a closed shape, as cut metal is drawn."""
        for y in range(self.height):
            edges = crossings(y + 0.5, corners)
            for left, right in zip(edges[::2], edges[1::2], strict=True):
                first = math.ceil(left - 0.5)
                for x in range(first + (-first - y) % spacing, math.ceil(right - 0.5), spacing):
                    self.dot(x, y, style)

    def cells(self) -> list[list[tuple[str, str]]]:
        """All cells as pairs of sign and style, row by row."""
        return [
            [(self._sign(row, column), self._styles[row][column]) for column in range(self.columns)]
            for row in range(self.rows)
        ]

    def _sign(self, row: int, column: int) -> str:
        dots = self._dots[row][column]
        return chr(BLANK + dots) if dots else " "


def crossings(y: float, corners: Sequence[Point]) -> list[float]:
    """Where a level line crosses the edges of a closed shape, from left to right."""
    return sorted(
        (x1 - x0) * (y - y0) / (y1 - y0) + x0
        for (x0, y0), (x1, y1) in zip(corners, [*corners[1:], corners[0]], strict=True)
        if (y0 > y) != (y1 > y)
    )
