"""A practice plate at 1:1 as SVG: to be printed without scaling and glued on, or measured from.

The page is measured in millimetres. A bar of 50 mm beside the plate shows whether it was printed at
its size; the notch is at 12 o'clock.
"""

from platebook.practice.records import Plate
from platebook.reports.drawings.svg import (
    MEDIUM,
    MUTED,
    THIN,
    Node,
    circle,
    group,
    line,
    measure,
    page,
    polygon,
    wide,
    write,
    written,
)
from platebook.trade.lengths import format_length
from platebook.trade.phrases import count_of

MARGIN = 10.0
LEAST_WIDTH = 90.0
BAR_MM = 50.0
HEAD = 26.0
FOOT = 20.0
CROSS = 0.75
NOTCH = 1.5
LARGEST_NUMBER = 2.4
SMALLEST_NUMBER = 1.0
TITLE = 5.0
DETAIL = 3.4

SHEET = (210.0, 279.4)
"""Width and height that A4 and Letter both have."""

EDGE = 8.0
"""What printers leave white at the edge of a sheet (common practice)."""

BESIDE, ABOVE, BENEATH = 5.0, 9.0, 3.0
"""Room between plates, for a knife, and above each for its name."""

HEAD_OF_SHEET, FOOT_OF_SHEET = 12.0, 16.0


def plates_a_page(plate: Plate) -> tuple[int, int]:
    """How many copies of a plate fit on a sheet at 1:1, across and down; 0 of one too large."""
    width, height = plate.width_mm, plate.height_mm
    if width is None or height is None:
        raise ValueError(f"the plate {plate.name!r} was never laid out")
    across = (SHEET[0] - 2 * EDGE + BESIDE) // (width + BESIDE)
    room = SHEET[1] - 2 * EDGE - HEAD_OF_SHEET - FOOT_OF_SHEET
    return int(across), int(room // (ABOVE + NOTCH + height + BENEATH))


def plates_svg(plate: Plate, count: int) -> str:
    """So many copies of a plate on one sheet as the text of an SVG file, each with room for a name.

    ValueError for a plate that nobody laid out, or more than fit.
    """
    across, down = plates_a_page(plate)
    if not 0 < count <= across * down:
        raise ValueError(f"{count} plates on a sheet that takes {across * down}")
    assert plate.width_mm is not None
    assert plate.height_mm is not None
    assert plate.pitch_mm is not None
    title, details, size = f"Plate {plate.name}", *_about(plate)
    root = page(*SHEET, title=title, description=f"{count_of(count, 'copy', 'copies')}. {details}")
    write(root, (EDGE, EDGE + 4.5), f"{title}: {details} {size}", size=DETAIL)
    for number in range(count):
        row, column = divmod(number, across)
        x = EDGE + column * (plate.width_mm + BESIDE)
        y = EDGE + HEAD_OF_SHEET + row * (ABOVE + NOTCH + plate.height_mm + BENEATH) + ABOVE
        write(root, (x, y - 3.4), "Name", size=2.4, colour=MUTED)
        line(root, (x + 7.0, y - 3.4), (x + plate.width_mm, y - 3.4), width=THIN)
        plan = group(root, id=f"plate-{number + 1}", transform=f"translate({x:g} {y:g})")
        _outline(plan, plate.width_mm, plate.height_mm)
        for position in plate.positions:
            _position(plan, plate, position, plate.pitch_mm)
    _bar(root, SHEET[1] - EDGE - 8.0, left=EDGE)
    return written(root)


def plate_svg(plate: Plate, *, setter: str) -> str:
    """The plate as the text of an SVG file; ValueError for one that nobody laid out.

    Each position has a cross at its centre, its stone's outline dashed and its number below right.
    """
    if plate.width_mm is None or plate.height_mm is None or plate.pitch_mm is None:
        raise ValueError(f"the plate {plate.name!r} was never laid out")
    strip = _strip(plate, setter)
    letters = max(wide(strip[0], TITLE), *(wide(words, DETAIL) for words in strip[1:]))
    width = max(plate.width_mm, LEAST_WIDTH, letters) + 2 * MARGIN
    height = HEAD + NOTCH + plate.height_mm + FOOT
    description = f"{' '.join(strip)} The notch is at 12 o'clock, the middle of the top edge."
    root = page(width, height, title=strip[0], description=description)
    write(root, (MARGIN, 11.0), strip[0], size=TITLE, bold=True)
    for place, words in enumerate(strip[1:]):
        write(root, (MARGIN, 16.5 + 4.6 * place), words, size=DETAIL)
    corner = (MARGIN, HEAD + NOTCH)
    plan = group(root, id="plate", transform=f"translate({corner[0]:g} {corner[1]:g})")
    _outline(plan, plate.width_mm, plate.height_mm)
    for position in plate.positions:
        _position(plan, plate, position, plate.pitch_mm)
    _bar(root, corner[1] + plate.height_mm + 8.0)
    return written(root)


def _strip(plate: Plate, setter: str) -> tuple[str, ...]:
    """The title strip: whose plate it is, of what, and how it was laid out."""
    return (f"{setter}: plate {plate.name}", *_about(plate))


def _about(plate: Plate) -> tuple[str, str]:
    """Of what a plate is, and how it was laid out."""
    sheet = format_length(plate.sheet_mm) if plate.sheet_mm else "sheet not named"
    stones = ", ".join(f"{size:g}" for size in plate.stones_mm)
    rows = f"Stones {stones} mm, a row each in turn." if len(plate.stones_mm) > 1 else ""
    rows = rows or (f"Stones {stones} mm." if stones else "Stones not named.")
    size = f"{plate.width_mm:g} by {plate.height_mm:g} mm"
    count = count_of(len(plate.positions), "position")
    return (
        f"{plate.metal or 'metal not named'}, {sheet}. {rows}",
        f"{size}, {count}, {plate.pitch_mm:g} mm apart.",
    )


def _outline(plan: Node, width: float, height: float) -> None:
    """The plate's edge, with a notch at 12 o'clock that points into the metal."""
    middle = width / 2
    notch = [(middle + NOTCH, 0.0), (middle, NOTCH), (middle - NOTCH, 0.0)]
    corners = [(0.0, 0.0), *reversed(notch), (width, 0.0), (width, height), (0.0, height)]
    polygon(plan, corners, fill="none", stroke="#1a1a1a", stroke_width=f"{THIN}")
    write(plan, (middle + NOTCH + 0.8, -0.8), "12", size=2.4)


def _position(plan: Node, plate: Plate, position: str, pitch: float) -> None:
    centre, stone = plate.centre_of(position), plate.stone_at(position)
    assert centre is not None
    x, y = centre
    line(plan, (x - CROSS, y), (x + CROSS, y))
    line(plan, (x, y - CROSS), (x, y + CROSS))
    radius = (stone or 2 * CROSS) / 2
    circle(plan, centre, radius, width=THIN / 2, dashes="0.4 0.4")
    size = max(min(pitch - 2 * radius, LARGEST_NUMBER), SMALLEST_NUMBER)
    write(plan, (x, y + radius + size), position, size=size * 0.9, anchor="middle", colour=MUTED)


def _bar(root: Node, y: float, left: float = MARGIN) -> None:
    """The check bar: 50 mm if it was printed at its size."""
    start, end = (left, y), (left + BAR_MM, y)
    line(root, start, end, width=MEDIUM)
    for tenth in range(6):
        x = left + tenth * BAR_MM / 5
        line(root, (x, y - 1.5), (x, y), width=THIN)
    measure(root, start, end)
    write(root, (left, y + 5.5), f"{BAR_MM:g} mm if printed at 100 %, without fitting to the page")
