"""Text poured into columns, for windows that have more width than one line of text wants."""

from collections.abc import Sequence

from textual.content import Content

from platebook.tui.parts.text import held_together, stack
from platebook.values import Value

GAP = 4
"""Blank cells between two columns."""
LEAST, MOST = 50, 68
"""A column narrower than the first breaks keys and sentences; one wider is hard to read."""


class Columns(Value):
    """So many columns, each `width` cells wide."""

    count: int
    width: int

    @property
    def cells(self) -> int:
        """How wide all of them are, with what lies between."""
        return self.count * self.width + (self.count - 1) * GAP


def columns_in(cells: int) -> list[Columns]:
    """What a window of so many cells has room for, the fewest columns first; one always."""
    most = max((cells + GAP) // (LEAST + GAP), 1)
    return [
        Columns(count, min((cells - (count - 1) * GAP) // count, MOST))
        for count in range(1, most + 1)
    ]


def poured(blocks: Sequence[Content], columns: Columns) -> list[Content]:
    """The blocks in so many columns, none of them torn, all about as high as each other.

    A blank block is no more than a gap: it begins no column. Fewer columns come out where the last
    ones would be empty.
    """
    held = [stack(*held_together(block, columns.width).wrap(columns.width)) for block in blocks]
    heights = [_lines(block) for block in held]
    height = max(-(-sum(heights) // columns.count), *heights, 1)
    while len(filled := _filled(held, height)) > columns.count:
        height += 1
    return [stack(*column) for column in filled]


def _filled(blocks: Sequence[Content], height: int) -> list[list[Content]]:
    """As many columns of this height as the blocks take."""
    filled: list[list[Content]] = [[]]
    for block in blocks:
        if sum(map(_lines, filled[-1])) + _lines(block) > height and filled[-1]:
            filled.append([])
        if filled[-1] or block.plain or len(filled) == 1:
            filled[-1].append(block)
    return [column for column in filled if column] or [[]]


def _lines(content: Content) -> int:
    return content.plain.count("\n") + 1
