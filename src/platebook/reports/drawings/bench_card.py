"""The card at the bench on paper: tools, depth to cut, trial height, section, ways out, cautions.

One card fills a page of its own; a plate's cards, one for each size of stone on it, share one.
Letters are large enough to be read through a magnifier at arm's length.
"""

import math
from collections.abc import Sequence

from platebook.reports.drawings.cells import whole
from platebook.reports.drawings.section_marks import verdict
from platebook.reports.drawings.section_shapes import HATCH, draw_shapes
from platebook.reports.drawings.svg import (
    ALARM,
    INK,
    MEDIUM,
    MUTED,
    THIN,
    Node,
    Point,
    figure,
    group,
    hatching,
    line,
    page,
    polygon,
    wide,
    write,
    written,
)
from platebook.reports.text.figures import folded, millimetres
from platebook.reports.text.set_up_rows import SetUpRow, set_up_rows
from platebook.trade.geometry.section import Across, Section, section_of
from platebook.trade.setup_sheet import SetUpSheet
from platebook.values import Value

MARGIN = 8.0
INSIDE = "To have the point inside:"
ACROSS = 2
A4_MM = (210.0, 297.0)


class _Style(Value):
    """A card's measures on paper: its width, the size of its letters, its line's height."""

    width: float
    letters: float

    @property
    def step(self) -> float:
        return 1.5 * self.letters

    @property
    def columns(self) -> tuple[float, float]:
        """Where sizes end and remarks begin, from the card's left edge."""
        return 11.0 * self.letters, 11.8 * self.letters

    @property
    def drawing(self) -> float:
        """How wide the section's place on the right is."""
        return 0.3 * self.width

    def fits(self, room: float) -> int:
        """How many letters stand in so much room."""
        return max(math.floor(room / wide("n", self.letters)), 12)


SINGLE = _Style(width=A4_MM[0] - 2 * MARGIN, letters=4.2)
SHARED = _Style(width=(A4_MM[0] - (ACROSS + 1) * MARGIN) / ACROSS, letters=2.4)


def card_svg(sizes: SetUpSheet, *, title: str = "") -> str:
    """One stone's card as the text of an SVG file; the page is as high as the card asks."""
    return cards_svg([(title or _title(sizes), sizes)])


def cards_svg(cards: Sequence[tuple[str, SetUpSheet]]) -> str:
    """Cards on one page, two in a row where there are several; each has its title."""
    style = SINGLE if len(cards) == 1 else SHARED
    across = 1 if len(cards) == 1 else ACROSS
    rows = [cards[place : place + across] for place in range(0, len(cards), across)]
    heights = [max(_height(style, sizes) for _, sizes in row) for row in rows]
    high = sum(heights) + (len(rows) + 1) * MARGIN
    words = "; ".join(title for title, _ in cards)
    root = page(A4_MM[0], high, title=words, description=f"What to take and how deep: {words}.")
    top = MARGIN
    for number, (row, height) in enumerate(zip(rows, heights, strict=True)):
        for place, (title, sizes) in enumerate(row):
            corner = (MARGIN + place * (style.width + MARGIN), top)
            frame = (corner, height)
            _card(root, style, frame, (title, sizes), name=f"card-{number}-{place}")
        top += height + MARGIN
    return written(root)


def _title(sizes: SetUpSheet) -> str:
    material = f" {sizes.stone.material}" if sizes.stone.material else ""
    metal = f" in {sizes.sheet.metal}" if sizes.sheet.metal else ""
    return f"{millimetres(sizes.stone.diameter_mm)} mm{material}{metal}, {sizes.seat.method}"


def _texts(style: _Style, sizes: SetUpSheet) -> list[tuple[str, bool]]:
    """What stands under tools and section, line by line; whether a line warns."""
    letters = style.fits(style.width - 2 * style.letters)
    said: list[tuple[str, bool]] = []
    for sentence in sizes.hand.what_to_do[1:]:
        said += [(text, False) for text in folded(sentence, letters)]
    if sizes.sheet.ways_out:
        said.append((INSIDE, False))
    for way in sizes.sheet.ways_out:
        said += [(text, False) for text in folded(f"- {way.sentence}", letters)]
    for caution in sizes.cautions:
        said += [(text, True) for text in folded(f"! {caution}", letters)]
    return said


def _remarks(style: _Style, sizes: SetUpSheet) -> list[tuple[SetUpRow, list[str]]]:
    """The rows with their remarks folded beside the section."""
    room = style.width - style.columns[1] - style.drawing - 2 * style.letters
    return [(row, folded(row.whole, style.fits(room)) or [""]) for row in set_up_rows(sizes)]


def _head(style: _Style, sizes: SetUpSheet) -> float:
    """How much the tools and the section take, under the title."""
    lines = sum(len(remark) for _, remark in _remarks(style, sizes))
    sections = 2 if sizes.curve is not None else 1
    return max(lines * style.step, sections * 0.62 * style.drawing)


def _height(style: _Style, sizes: SetUpSheet) -> float:
    texts = len(_texts(style, sizes)) + 1
    return 2.2 * style.step + _head(style, sizes) + texts * style.step + style.letters


def _card(
    root: Node,
    style: _Style,
    frame: tuple[Point, float],
    shown: tuple[str, SetUpSheet],
    *,
    name: str,
) -> None:
    (x, y), height = frame
    title, sizes = shown
    right = x + style.width
    corners = [(x, y), (right, y), (right, y + height), (x, y + height)]
    polygon(root, corners, fill="none", stroke=MUTED, stroke_width=figure(MEDIUM))
    inset = x + style.letters
    write(root, (inset, y + 1.2 * style.step), title, size=1.15 * style.letters, bold=True)
    down = y + 2.2 * style.step
    ends, begins = style.columns
    for row, remark in _remarks(style, sizes):
        bold = not row.head
        write(root, (inset, down), row.name, size=style.letters, colour=MUTED)
        write(root, (x + ends, down), row.size, size=style.letters, anchor="end", bold=bold)
        for words in remark:
            write(root, (x + begins, down), words, size=style.letters)
            down += style.step
    beside = (right - style.drawing - style.letters, y + 1.6 * style.step)
    _sections(root, style, beside, sizes, name)
    down = y + 2.2 * style.step + _head(style, sizes)
    line(root, (inset, down - style.letters), (right - style.letters, down - style.letters))
    for words, warns in _texts(style, sizes):
        colour = ALARM if warns else INK
        write(root, (inset, down + 0.4 * style.step), words, size=style.letters, colour=colour)
        down += style.step


def _sections(root: Node, style: _Style, corner: Point, sizes: SetUpSheet, name: str) -> None:
    """The section; of curved metal one along it and one across."""
    cuts: tuple[Across, ...] = ("along", "across") if sizes.curve is not None else ("across",)
    x, y = corner
    for cut in cuts:
        section = section_of(sizes, cut=cut)
        high = 0.5 * style.drawing
        _drawn(root, section, (x, y, style.drawing, high), f"{name}-{cut}")
        words = verdict(section) if len(cuts) == 1 else cut
        write(root, (x, y + high + style.letters), words, size=0.85 * style.letters)
        y += 0.62 * style.drawing


def _drawn(
    root: Node, section: Section, place: tuple[float, float, float, float], name: str
) -> None:
    """The shapes of a section, as large as its place lets them be."""
    left, high, right, low = whole(section)
    x, y, wide_mm, high_mm = place
    scale = min(wide_mm / (right - left), high_mm / (low - high))
    fill = hatching(root, f"{name}-metal", spacing=HATCH / scale, width=THIN / scale)
    across = x + wide_mm / 2 - (left + right) / 2 * scale
    transform = f"translate({figure(across)} {figure(y - high * scale)}) scale({figure(scale)})"
    draw_shapes(group(root, id=name, transform=transform), section, fill=fill, scale=scale)
