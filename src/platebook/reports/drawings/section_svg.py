"""The seat and stone in section as SVG for paper: exact geometry with its sizes written on it.

The page is measured in millimetres; the shapes keep their own millimetres inside a group that is
scaled by a whole number, which the page names.
"""

import textwrap

from platebook.reports.drawings.cells import whole
from platebook.reports.drawings.section_marks import (
    LEVEL_MM,
    alarm,
    faults_of,
    gaps_of,
    label,
    middle,
    verdict,
)
from platebook.reports.drawings.section_names import names_at
from platebook.reports.drawings.section_shapes import HATCH, SIDE, draw_insets, draw_shapes
from platebook.reports.drawings.svg import (
    ALARM,
    HEAVY,
    INK,
    MEDIUM,
    MUTED,
    THIN,
    Anchor,
    Node,
    Point,
    figure,
    group,
    hatching,
    line,
    measure,
    page,
    polygon,
    wide,
    write,
    written,
)
from platebook.trade.geometry.section import Across, Dimension, Section, section_of
from platebook.trade.setup_sheet import SetUpSheet

WIDTH = 190.0
MARGIN = 10.0
ROOM = (88.0, 90.0)
SCALES = (100, 80, 60, 50, 40, 30, 25, 20, 15, 10, 8, 5, 4, 3, 2)
TOP = 40.0
STEP = 5.6
LETTERS = 80

NAMED_IN = (40, 14)
"""The cells in which places for the names of the parts are looked for."""
NAME_SIZE = 3.2
BOX = ((-1, -1), (1, -1), (1, 1), (-1, 1))

ACROSS = ("seat", "stone")
RIGHT = {"wall": 2.5, "seat depth": 5.0, "ledge": 5.0, "sheet": 11.0}
LEFT = {"table height": 5.0, "culet clearance": 11.0}
LABEL_AT = 16.0


def section_svg(sizes: SetUpSheet, *, cut: Across = "across") -> str:
    """The section that a set-up sheet promises, as the text of an SVG file; a ring cut either way.

    Whatever is out of order is said at the top, written in capitals at its dimension line and drawn
    heavier. Gaps under 0.1 mm are shown again, magnified, with their own scale.
    """
    section = section_of(sizes, cut=cut)
    gaps = gaps_of(section)
    scale = _scale(section)
    _, high, _, low = whole(section)
    surface = TOP - high * scale
    bottom = surface + max(low * scale, 4 * STEP) + 9.0
    height = bottom + (SIDE + 16.0 if gaps else 0.0) + 27.0
    curved = f", cut {cut} the {sizes.curve.kind}" if sizes.curve is not None else ""
    heading = f"{sizes.stone.diameter_mm:.2f} mm stone in section, {sizes.seat.method}{curved}"
    root = page(WIDTH, height, title=heading, description=f"{section.line} {verdict(section)}")
    _head(root, section, heading)
    axis = (WIDTH / 2, surface)
    _shapes(root, section, scale, axis)
    _across(root, section, scale, axis)
    _upright(root, section, scale, axis)
    if gaps:
        draw_insets(root, section, gaps, top=bottom)
    _foot(root, section, scale, height - 22.0)
    return written(root)


def _scale(section: Section) -> int:
    left, high, right, low = whole(section)
    fitting = min(ROOM[0] / (right - left), ROOM[1] / (low - high))
    return next((scale for scale in SCALES if scale <= fitting), 1)


def _head(root: Node, section: Section, heading: str) -> None:
    write(root, (MARGIN, 13.0), heading, size=5.2, bold=True)
    wrong = bool(faults_of(section.states))
    colour = ALARM if wrong else INK
    write(root, (MARGIN, 20.0), verdict(section), size=4.2, bold=wrong, colour=colour)


def _shapes(root: Node, section: Section, scale: int, axis: Point) -> None:
    fill = hatching(root, "cut-metal", spacing=HATCH / scale, width=THIN / scale)
    x, y = axis
    drawing = group(
        root, id="section", transform=f"translate({figure(x)} {figure(y)}) scale({scale})"
    )
    draw_shapes(drawing, section, fill=fill, scale=scale)
    for word, (across, down) in names_at(section, *NAMED_IN):
        at = (x + across * scale, y + down * scale)
        half = wide(word, NAME_SIZE) / 2 + 1.0
        # White behind the letters keeps the hatching off them.
        box = [(at[0] + a * half, at[1] + b * NAME_SIZE * 0.6) for a, b in BOX]
        polygon(root, box, fill="#ffffff")
        write(root, (at[0], at[1] + 0.35 * NAME_SIZE), word, size=NAME_SIZE, anchor="middle")
    line(root, (x, y - 6.0), (x, y + 8.0), width=THIN, dashes="4 1 1 1", colour=MUTED)


def _across(root: Node, section: Section, scale: int, axis: Point) -> None:
    """The widths, above the drawing, each on a line of its own."""
    x, surface = axis
    for place, name in enumerate(ACROSS):
        dimension = _named(section, name)
        y = TOP - 4.0 - place * 6.0
        left, right = (x + end[0] * scale for end in (dimension.start, dimension.end))
        wrong = alarm(dimension, section.states)
        colour, width = _stroke(wrong)
        for side, end in ((left, dimension.start), (right, dimension.end)):
            line(root, (side, y - 1.0), (side, surface + end[1] * scale), colour=MUTED)
        measure(root, (left, y), (right, y), width=width, colour=colour)
        words = f"{label(dimension)}  {wrong}" if wrong else label(dimension)
        write(root, (right + 2.0, y + 1.1), words, bold=bool(wrong), colour=colour)


def _upright(root: Node, section: Section, scale: int, axis: Point) -> None:
    """The heights: dimension lines beside the drawing, no label over another."""
    for side, places in ((1, RIGHT), (-1, LEFT)):
        free = axis[1] - STEP
        for dimension in sorted((d for d in section.dimensions if d.name in places), key=middle):
            wrong = alarm(dimension, section.states)
            colour, width = _stroke(wrong)
            edge = axis[0] + side * _half(section) * scale
            x = edge + side * places[dimension.name]
            ends = [(x, axis[1] + end[1] * scale) for end in (dimension.start, dimension.end)]
            if _is_level(dimension):
                at = (edge, ends[0][1])
            else:
                for end, (_, y) in zip((dimension.start, dimension.end), ends, strict=True):
                    begins = edge if _is_of_sheet(section, end[1]) else axis[0] + end[0] * scale
                    line(root, (begins, y), (x + side, y), colour=MUTED, dashes="1.2 0.8")
                measure(root, *ends, width=width, colour=colour)
                at = (x, (ends[0][1] + ends[1][1]) / 2)
            free = max(free + STEP, at[1])
            column = edge + side * LABEL_AT
            line(root, at, (column - side, free - 1.1), colour=MUTED)
            anchor: Anchor = "start" if side > 0 else "end"
            for words in filter(None, (label(dimension), wrong)):
                write(root, (column, free), words, anchor=anchor, bold=bool(wrong), colour=colour)
                free += STEP - 1.0
            free -= STEP - 1.0


def _stroke(wrong: str) -> tuple[str, float]:
    return (ALARM, HEAVY) if wrong else (INK, THIN)


def _named(section: Section, name: str) -> Dimension:
    return next(d for d in section.dimensions if d.name == name)


def _half(section: Section) -> float:
    return _named(section, "sheet").start[0]


def _is_level(dimension: Dimension) -> bool:
    return dimension.name == "table height" and abs(dimension.mm) < LEVEL_MM


def _is_of_sheet(section: Section, y: float) -> bool:
    return y in {0.0, _named(section, "sheet").mm}


def _foot(root: Node, section: Section, scale: int, top: float) -> None:
    """The scale bar with its tenths, and the line that says what is drawn."""
    long_mm = 1.0 if scale <= 50 else 0.5
    for tenth in range(round(long_mm * 10) + 1):
        x = MARGIN + tenth * scale / 10
        line(root, (x, top), (x, top - (2.0 if tenth % 5 == 0 else 1.2)))
    line(root, (MARGIN, top), (MARGIN + long_mm * scale, top), width=MEDIUM)
    words = f"{long_mm:g} mm, drawn {scale} : 1"
    write(root, (MARGIN + long_mm * scale + 3.0, top), words)
    for place, sentence in enumerate(textwrap.wrap(section.line, LETTERS)):
        write(root, (MARGIN, top + 8.0 + place * 5.0), sentence, size=3.6)
