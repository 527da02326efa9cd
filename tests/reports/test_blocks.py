"""The section in filled cells: the sign that fits, to scale, and what is magnified."""

import pytest
from tests.reports.sections import CASES, sheet_for

from platebook.reports.blocks import HIGH, WIDE, Cell, section_blocks, whole
from platebook.reports.section_insets import gaps_of
from platebook.reports.section_text import around
from platebook.trade.section import Section, Shape, section_of
from platebook.trade.setup_sheet import SetUpSheet

BLOCK_ELEMENTS = range(0x2580, 0x25A0)
"""The Unicode Standard, block Block Elements."""


def a_box(left: float, top: float, right: float, bottom: float) -> Section:
    """A section that is one box of metal in a window of 1 by 2."""
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    shape = Shape(name="sheet left", points=corners)
    return Section(shapes=(shape,), dimensions=(), states=(), line="")


@pytest.mark.parametrize(
    ("box", "cell"),
    [
        ((0, 0, 1, 2), (" ", "metal", "metal")),
        ((0, 1, 1, 2), ("▄", "metal", "")),
        ((0, 0, 1, 1), ("▄", "", "metal")),
        ((0, 0, 0.5, 2), ("▌", "metal", "")),
        ((0, 0, 0.25, 2), ("▎", "metal", "")),
        ((0, 1.75, 1, 2), ("▁", "metal", "")),
        ((0, 0, 0.5, 1), ("▘", "metal", "")),
        ((0.5, 1, 1, 2), ("▗", "metal", "")),
    ],
)
def test_the_sign_that_fits_is_taken(box: tuple[float, ...], cell: Cell) -> None:
    """Halves, eighths and quarters as the Unicode Standard names them (U+2580 to U+259F)."""
    assert section_blocks(a_box(*box), 1, 1, (0, 0, 1, 2)) == [[cell]]


def test_the_picture_is_to_scale() -> None:
    """As many samples across as down for one millimetre."""
    section = section_of(sheet_for())
    left, top, right, bottom = whole(section)
    rows = section_blocks(section, 60, 40)
    filled = [
        (x, y)
        for y, row in enumerate(rows)
        for x, (_, front, back) in enumerate(row)
        if front or back
    ]
    across = (max(x for x, _ in filled) - min(x for x, _ in filled) + 1) * WIDE
    down = (max(y for _, y in filled) - min(y for _, y in filled) + 1) * HIGH
    assert across / (right - left) == pytest.approx(down / (bottom - top), rel=0.08)


@pytest.mark.parametrize("sizes", CASES.values(), ids=CASES)
def test_every_sign_is_a_block_or_nothing(sizes: SetUpSheet) -> None:
    """Fonts have them; and stone and metal are both to be seen."""
    rows = section_blocks(section_of(sizes), 38, 10)
    signs = {sign for row in rows for sign, _, _ in row}
    assert all(sign == " " or ord(sign) in BLOCK_ELEMENTS for sign in signs)
    assert {"metal", "stone"} <= {back for row in rows for _, _, back in row}


def test_a_gap_is_magnified_to_a_fifth_of_its_view() -> None:
    """The middle of the view is the middle of the gap."""
    (gap, *_) = gaps_of(section_of(sheet_for()))
    left, top, right, bottom = around(gap)
    assert right - left == pytest.approx(5 * abs(gap.mm))
    assert bottom - top == pytest.approx(right - left)
    assert (left + right) / 2 == pytest.approx((gap.start[0] + gap.end[0]) / 2)
