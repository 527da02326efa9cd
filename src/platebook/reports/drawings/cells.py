"""Drawing in a terminal's cells: braille dots for lines, block signs for filled colours.

One cell holds two by four dots, which are nearly square on a terminal, so a drawing with equal
scales in both directions is to scale.

A cell is sampled 8 by 16 times, which are square on a terminal; of the Unicode block elements
(U+2580 to U+259F) the one that leaves fewest samples wrong is taken, with the two materials on
either side of its edge. Whoever shows it gives each material its colour.
"""

import functools
import math
from collections.abc import Callable, Mapping, Sequence

from platebook.trade.geometry.section import Section

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

    def clear(self, corners: Sequence[Point]) -> None:
        """Take away what was drawn inside a closed shape, as something in front of it hides it."""
        for y in range(self.height):
            edges = crossings(y + 0.5, corners)
            for left, right in zip(edges[::2], edges[1::2], strict=True):
                first, last = max(math.ceil(left - 0.5), 0), min(math.ceil(right - 0.5), self.width)
                for x in range(first, last):
                    self._dots[y // 4][x // 2] &= ~DOTS[y % 4][x % 2]

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


WIDE, HIGH = 8, 16
MATERIALS = ("", "metal", "stone")
"""Nothing, the sheet, the stone."""

Cell = tuple[str, str, str]
"""A sign, the material that it shows, and the material around it."""

Window = tuple[float, float, float, float]
"""Left, top, right and bottom of what is shown, in millimetres."""


def section_blocks(
    section: Section, columns: int, rows: int, window: Window | None = None
) -> list[list[Cell]]:
    """The section in this many cells, equal scales in both directions; all of it or a window."""
    samples = _sampled(section, columns, rows, window or whole(section))
    return [
        [_fitted(samples, column * WIDE, row * HIGH) for column in range(columns)]
        for row in range(rows)
    ]


def whole(section: Section) -> Window:
    """The window that holds all of a section."""
    corners = [point for shape in section.shapes for point in shape.points]
    across, down = [x for x, _ in corners], [y for _, y in corners]
    return min(across), min(down), max(across), max(down)


def fitted_into(columns: int, rows: int, window: Window) -> tuple[float, float, float]:
    """Samples a millimetre, and where the section's origin lies in this many cells, in samples."""
    left, top, right, bottom = window
    width, height = columns * WIDE, rows * HIGH
    scale = min(width / (right - left), height / (bottom - top))
    from_left = (width - (right - left) * scale) / 2 - left * scale
    from_top = (height - (bottom - top) * scale) / 2 - top * scale
    return scale, from_left, from_top


def _sampled(section: Section, columns: int, rows: int, window: Window) -> list[bytearray]:
    """The material at each sample: an index into MATERIALS, line by line."""
    width, height = columns * WIDE, rows * HIGH
    scale, from_left, from_top = fitted_into(columns, rows, window)
    lines = [bytearray(width) for _ in range(height)]
    for shape in section.shapes:
        material = MATERIALS.index("stone" if shape.name == "stone" else "metal")
        for number, line in enumerate(lines):
            edges = crossings((number + 0.5 - from_top) / scale, shape.points)
            for start, end in zip(edges[::2], edges[1::2], strict=True):
                first, last = (_within(x * scale + from_left, width) for x in (start, end))
                line[first:last] = bytes([material]) * (last - first)
    return lines


def _within(place: float, width: int) -> int:
    return min(max(round(place), 0), width)


def _fitted(samples: list[bytearray], x: int, y: int) -> Cell:
    cell = b"".join(bytes(line[x : x + WIDE]) for line in samples[y : y + HIGH])
    if cell == cell[:1] * len(cell):
        return " ", MATERIALS[cell[0]], MATERIALS[cell[0]]
    found = [(m, _mask(cell, m), cell.count(m)) for m in sorted(set(cell))]
    best: tuple[int, Cell] = (-1, (" ", "", ""))
    for sign, glyph in _glyphs().items():
        front = back = most_inside = most_around = 0
        for material, mask, total in found:
            inside = (mask & glyph).bit_count()
            if inside >= most_inside:
                front, most_inside = material, inside
            if total - inside >= most_around:
                back, most_around = material, total - inside
        if most_inside + most_around > best[0]:
            best = most_inside + most_around, (sign, MATERIALS[front], MATERIALS[back])
    return best[1]


def _mask(cell: bytes, material: int) -> int:
    """Which samples are of this material, as bits, the first one lowest."""
    return int(cell[::-1].translate(_IS[material]), 2)


_IS = [bytes(b"01"[kind == material] for kind in range(256)) for material in range(len(MATERIALS))]
"""For each material a table that makes 1 of it and 0 of all others."""


@functools.cache
def _glyphs() -> Mapping[str, int]:
    """Which samples each block sign covers, as bits."""

    def lower(eighths: int) -> Callable[[int, int], bool]:
        return lambda _, y: y >= HIGH - eighths * HIGH // 8

    def left(eighths: int) -> Callable[[int, int], bool]:
        return lambda x, _: x < eighths * WIDE // 8

    def quarters(named: str) -> Callable[[int, int], bool]:
        return lambda x, y: ("ab" if y < HIGH // 2 else "cd")[x >= WIDE // 2] in named

    covers: dict[str, Callable[[int, int], bool]] = {}
    covers |= {sign: lower(n) for n, sign in enumerate("▁▂▃▄▅▆▇", 1)}
    covers |= {sign: left(n) for n, sign in enumerate("▏▎▍▌▋▊▉", 1)}
    covers |= {
        sign: quarters(named)
        for sign, named in zip("▘▝▖▗▚", ("a", "b", "c", "d", "ad"), strict=True)
    }
    return {
        sign: sum(1 << (y * WIDE + x) for y in range(HIGH) for x in range(WIDE) if covered(x, y))
        for sign, covered in covers.items()
    }
