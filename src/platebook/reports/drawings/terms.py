"""What a word of the record looks like: small drawings to scale, in a terminal's cells or as SVG.

A term is a field and one of its values: an answer of `fit`, `trial_height` or `ledge`, a `result`,
a step of `first_seen`. All are drawn from one stone in its sheet, sized as the program sizes it
(`scenes.typical`). A term without a drawing is shown by its words alone.

| function | gives |
|---|---|
| `term_cells` | lines of plain text |
| `term_signs` | the same with what each sign shows, for whoever has colours |
| `term_caption` | what the drawing shows, with how much it exaggerates |
| `term_svg` | the drawing on paper |
"""

import functools
import itertools
from collections.abc import Callable, Mapping
from xml.etree import ElementTree as ET

from platebook.reports.drawings.cells import Point, Sketch
from platebook.reports.drawings.scenes.answers import FITS, LEDGES, TRIAL_HEIGHTS
from platebook.reports.drawings.scenes.faults import RESULTS
from platebook.reports.drawings.scenes.scene import Area, Line, Scene
from platebook.reports.drawings.scenes.steps import STEPS
from platebook.reports.drawings.svg import (
    ALARM,
    INK,
    MEDIUM,
    MUTED,
    THIN,
    figure,
    group,
    hatching,
    page,
    polygon,
    write,
    written,
)

SCENES: Mapping[str, Mapping[str, Callable[[], Scene]]] = {
    "fit": FITS,
    "trial_height": TRIAL_HEIGHTS,
    "ledge": LEDGES,
    "result": RESULTS,
    "first_seen": STEPS,
}
"""How each term is drawn, by field and value."""

DRAWN: tuple[tuple[str, str], ...] = tuple((f, v) for f, values in SCENES.items() for v in values)
"""All terms that have a drawing, as pairs of field and value."""

LEAST_WIDTH, LEAST_HEIGHT = 8, 4
HATCH_DOTS = 3
KEPT = 512


@functools.cache
def scene_of(field: str, value: str) -> Scene | None:
    """What is drawn for a term, or None where it has no drawing."""
    build = SCENES.get(field, {}).get(value)
    return None if build is None else build()


def term_caption(field: str, value: str) -> str:
    """What the drawing shows in a few words; empty for a term without one."""
    scene = scene_of(field, value)
    return "" if scene is None else scene.caption


def term_cells(field: str, value: str, width: int, height: int) -> tuple[str, ...]:
    """The drawing as `height` lines of `width` signs; empty where none fits or the term has none.

    It is to scale: a cell is one unit wide and two high. The signs are braille dots.
    """
    return tuple("".join(s for s, _ in row) for row in term_signs(field, value, width, height))


@functools.lru_cache(KEPT)
def term_signs(
    field: str, value: str, width: int, height: int
) -> tuple[tuple[tuple[str, str], ...], ...]:
    """The drawing as rows of pairs: a sign, and what it shows (metal, stone, tool, fault or "")."""
    scene = scene_of(field, value)
    if scene is None or width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return ()
    board = Sketch(width, height)
    scale, across, down = fitted(scene, board)

    def placed(points: tuple[Point, ...]) -> list[Point]:
        return [(across + x * scale, down + y * scale) for x, y in points]

    for part in scene.parts:
        _draw(board, part, placed(part.points))
    return tuple(tuple(row) for row in board.cells())


def fitted(scene: Scene, board: Sketch) -> tuple[float, float, float]:
    """Dots a millimetre, and where the scene's origin lies on the board, in dots."""
    left, top, right, bottom = scene.window
    scale = min((board.width - 1) / (right - left), (board.height - 1) / (bottom - top))
    across = (board.width - (left + right) * scale) / 2
    down = (board.height - (top + bottom) * scale) / 2
    return scale, across, down


def _draw(board: Sketch, part: Area | Line, corners: list[Point]) -> None:
    if isinstance(part, Line):
        for start, end in itertools.pairwise(corners):
            board.stroke(start, end, part.role, every=3 if part.dotted else 1)
        return
    board.clear(corners)
    if part.filled:
        board.hatch(corners, part.role, spacing=1)
    elif part.role == "metal":
        board.hatch(corners, part.role, spacing=HATCH_DOTS)
    board.outline(corners, part.role)


SCALE = 12
MARGIN = 3.0
WORDS = 8.0
TITLES: Mapping[str, str] = {"first_seen": "step", "trial_height": "trial height"}
COLOURS: Mapping[str, str] = {"metal": INK, "stone": INK, "tool": MUTED, "fault": ALARM}
FILLS: Mapping[str, str] = {"stone": "#ffffff", "tool": "#dddddd", "fault": ALARM}


def term_svg(field: str, value: str) -> str | None:
    """The drawing as the text of an SVG file, its scale written under it; None without one."""
    scene = scene_of(field, value)
    if scene is None:
        return None
    left, top, right, bottom = scene.window
    wide, high = (right - left) * SCALE, (bottom - top) * SCALE
    title = f"{TITLES.get(field, field)}: {value}"
    root = page(
        wide + 2 * MARGIN,
        high + 2 * MARGIN + WORDS,
        title=title,
        description=scene.caption,
    )
    fill = hatching(root, "cut-metal", spacing=2.2 / SCALE, width=THIN / SCALE)
    clip = ET.SubElement(ET.SubElement(root, "defs"), "clipPath", {"id": "seen"})
    frame = {"x": left, "y": top, "width": right - left, "height": bottom - top}
    ET.SubElement(clip, "rect", {name: figure(number) for name, number in frame.items()})
    place = f"translate({figure(MARGIN - left * SCALE)} {figure(MARGIN - top * SCALE)})"
    outer = group(root, transform=f"{place} scale({SCALE})")
    drawing = group(outer, id="term", clip_path="url(#seen)")
    for part in scene.parts:
        thick = figure((MEDIUM if part.role in {"stone", "fault"} else THIN) / SCALE)
        stroke = {"stroke": COLOURS[part.role], "stroke_width": thick}
        if isinstance(part, Area):
            polygon(drawing, part.points, fill=FILLS.get(part.role, fill), **stroke)
        else:
            _polyline(drawing, part, stroke)
    write(root, (MARGIN, high + MARGIN + 4.5), f"{scene.caption}. {SCALE} : 1", size=2.6)
    return written(root)


def _polyline(drawing: ET.Element, part: Line, stroke: Mapping[str, str]) -> None:
    points = " ".join(f"{figure(x)},{figure(y)}" for x, y in part.points)
    attributes = {name.replace("_", "-"): value for name, value in stroke.items()}
    if part.dotted:
        attributes["stroke-dasharray"] = f"{figure(1.0 / SCALE)} {figure(0.8 / SCALE)}"
    ET.SubElement(drawing, "polyline", {"points": points, "fill": "none", **attributes})
