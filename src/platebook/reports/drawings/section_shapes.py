"""The shapes of a section in SVG, and its small gaps drawn magnified in squares beside it."""

from platebook.reports.drawings.section_marks import Gap
from platebook.reports.drawings.svg import (
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
    measure,
    polygon,
    window,
    write,
)
from platebook.reports.text.figures import millimetres
from platebook.trade.geometry.section import Section

SIDE = 38.0
APART = 6.0
LEFT = 10.0
GAP_ON_PAPER = 9.0
SCALES = (2000, 1000, 500, 250, 200, 100, 50)
HATCH = 2.2


def draw_insets(root: Node, section: Section, gaps: tuple[Gap, ...], *, top: float) -> None:
    """A square for each gap, side by side, the gap in its middle between two short strokes."""
    for place, gap in enumerate(gaps):
        corner = (LEFT + place * (SIDE + APART), top)
        _inset(root, section, gap, corner, name=f"inset-{place + 1}")


def _inset(root: Node, section: Section, gap: Gap, corner: Point, *, name: str) -> None:
    scale = next((s for s in SCALES if s * abs(gap.mm) <= GAP_ON_PAPER), SCALES[-1])
    centre = tuple((a + b) / 2 for a, b in zip(gap.start, gap.end, strict=True))
    x, y = (c + SIDE / 2 - m * scale for c, m in zip(corner, centre, strict=True))
    fill = hatching(root, f"{name}-metal", spacing=HATCH / scale, width=THIN / scale)
    inside = group(root, id=name, clip_path=window(root, f"{name}-window", corner, SIDE))
    drawing = group(inside, transform=f"translate({figure(x)} {figure(y)}) scale({scale})")
    draw_shapes(drawing, section, fill=fill, scale=scale)
    line(inside, (corner[0], y), (corner[0] + SIDE, y), dashes="2 1", colour=MUTED)
    ends = [(x + px * scale, y + py * scale) for px, py in (gap.start, gap.end)]
    measure(inside, ends[0], ends[1], width=MEDIUM)
    frame = [corner, (corner[0] + SIDE, corner[1])]
    frame += [(px, corner[1] + SIDE) for px, _ in reversed(frame)]
    polygon(root, frame, fill="none", stroke=MUTED, stroke_width=figure(THIN))
    write(root, (corner[0], corner[1] + SIDE + 4.2), gap.words)
    size = f"{millimetres(abs(gap.mm))} mm, drawn {scale} : 1"
    write(root, (corner[0], corner[1] + SIDE + 8.4), size)


def draw_shapes(drawing: Node, section: Section, *, fill: str, scale: float) -> None:
    """Metal hatched, the stone over it; where it bites into the metal both are seen."""
    for shape in section.shapes:
        stone = shape.name == "stone"
        polygon(
            drawing,
            shape.points,
            fill="#ffffff" if stone else fill,
            fill_opacity="0.7" if stone else "1",
            stroke=INK,
            stroke_width=figure((MEDIUM if stone else THIN) / scale),
            stroke_linejoin="round",
        )
    for shape in section.shapes:
        if shape.name != "stone":
            dashes = f"{figure(1.2 / scale)} {figure(0.8 / scale)}"
            thin = {"stroke": INK, "stroke_width": figure(THIN / scale), "fill": "none"}
            polygon(drawing, shape.points, stroke_dasharray=dashes, **thin)
