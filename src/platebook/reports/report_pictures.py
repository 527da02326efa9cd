"""The small pictures of a report: the success curve, and a seat in section beside its attempt.

Each is inline SVG with a name that a screen reader reads. Nothing is told by colour alone.
"""

from collections.abc import Sequence
from xml.etree import ElementTree as ET

from platebook.analysis.progress import CurveStep
from platebook.practice.text import clean
from platebook.reports.svg import HEAVY, INK, MUTED, THIN, Node, figure, line, polygon, write
from platebook.trade.section import Section

CURVE = (120.0, 27.0)
SEAT = (24.0, 10.0)
LEFT, BOTTOM, TOP = 9.0, 22.0, 2.0
BAND = "#d9d9d9"
STONE = "#eef3f5"
METAL = "#cfcac4"


def curve_svg(steps: Sequence[CurveStep], label: str) -> str:
    """The success curve of one grade with its 95 % band; a dot an attempt, above or below."""
    root = _picture(*CURVE, label)
    width, right = CURVE[0] - LEFT - 2.0, CURVE[0] - 2.0
    for share in (0.0, 0.5, 1.0):
        y = _height(share)
        line(root, (LEFT, y), (right, y), width=THIN, colour=MUTED)
        write(root, (LEFT - 1.0, y + 1.0), f"{100 * share:.0f} %", size=2.6, anchor="end")
    places = [LEFT + width * (n + 0.5) / len(steps) for n in range(len(steps))]
    upper = [(x, _height(step.high)) for x, step in zip(places, steps, strict=True)]
    lower = [(x, _height(step.low)) for x, step in zip(places, steps, strict=True)]
    polygon(root, [*upper, *reversed(lower)], fill=BAND, stroke="none")
    points = " ".join(
        f"{figure(x)},{figure(_height(step.rate))}" for x, step in zip(places, steps, strict=True)
    )
    ET.SubElement(
        root,
        "polyline",
        {"points": points, "fill": "none", "stroke": INK, "stroke-width": figure(HEAVY)},
    )
    for x, step in zip(places, steps, strict=True):
        end = TOP + 1.6 if step.good else BOTTOM - 1.6
        line(root, (x, TOP if step.good else BOTTOM), (x, end), width=HEAVY / 2, colour=INK)
    write(root, (right, CURVE[1] - 1.0), f"{len(steps)} attempts", size=2.6, anchor="end")
    return _text(root)


def seat_svg(section: Section, label: str) -> str:
    """A seat and stone in section, as large as there is room."""
    root = _picture(*SEAT, label)
    corners = [corner for shape in section.shapes for corner in shape.points]
    low, high = min(y for _, y in corners), max(y for _, y in corners)
    scale = min(
        SEAT[0] / (max(x for x, _ in corners) - min(x for x, _ in corners)),
        (SEAT[1] - 1.0) / (high - low),
    )
    for shape in section.shapes:
        placed = [(SEAT[0] / 2 + x * scale, 0.5 + (y - low) * scale) for x, y in shape.points]
        polygon(
            root,
            placed,
            fill=STONE if shape.name == "stone" else METAL,
            stroke=INK,
            **{"stroke-width": figure(THIN)},
        )
    return _text(root)


def _height(share: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * share


def _picture(width: float, height: float, label: str) -> Node:
    return Node(
        "svg",
        {
            "width": f"{figure(width)}mm",
            "height": f"{figure(height)}mm",
            "viewBox": f"0 0 {figure(width)} {figure(height)}",
            "role": "img",
            "aria-label": clean(label),
            "fill": INK,
        },
    )


def _text(root: Node) -> str:
    return ET.tostring(root, encoding="unicode")
