"""SVG for paper: a page measured in millimetres, with the few strokes that our pictures are of.

Everything has a line of its own to be told by, never colour alone. Text is escaped, and nothing in
it that XML has no room for gets through.
"""

from collections.abc import Iterable
from typing import Literal
from xml.etree import ElementTree as ET

from platebook.practice.text import clean

NAMESPACE = "http://www.w3.org/2000/svg"
INK = "#1a1a1a"
MUTED = "#555555"
ALARM = "#a01010"
THIN = 0.18
MEDIUM = 0.35
HEAVY = 0.7
WIDE_OF_SIZE = 0.57
"""Mean width of a letter as a share of its size as measured in a wide, bold, plain face."""

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]
Node = ET.Element


def page(width_mm: float, height_mm: float, *, title: str, description: str) -> Node:
    """An empty page of this size whose unit is the millimetre; screen readers are told of it."""
    root = Node(
        "svg",
        {
            "xmlns": NAMESPACE,
            "width": f"{figure(width_mm)}mm",
            "height": f"{figure(height_mm)}mm",
            "viewBox": f"0 0 {figure(width_mm)} {figure(height_mm)}",
            "role": "img",
            "aria-labelledby": "title description",
            "font-family": "Helvetica, Arial, sans-serif",
            "fill": INK,
        },
    )
    ET.SubElement(root, "title", {"id": "title"}).text = clean(title)
    ET.SubElement(root, "desc", {"id": "description"}).text = clean(description)
    ET.SubElement(root, "rect", {"width": "100%", "height": "100%", "fill": "#ffffff"})
    return root


def written(root: Node) -> str:
    """The page as the text of a file."""
    ET.indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ET.tostring(root, encoding="unicode")}\n'


def figure(number: float) -> str:
    """A coordinate to a nanometre, without needless noughts."""
    return f"{round(number, 6) + 0.0:.6f}".rstrip("0").rstrip(".")


def group(parent: Node, **attributes: str) -> Node:
    """A group of strokes; the names of its attributes are written with hyphens."""
    named = {name.rstrip("_").replace("_", "-"): value for name, value in attributes.items()}
    return ET.SubElement(parent, "g", named)


def write(  # noqa: PLR0913 - the place, size and weight of a piece of text
    parent: Node,
    at: Point,
    words: str,
    *,
    size: float = 3.2,
    anchor: Anchor = "start",
    bold: bool = False,
    colour: str = INK,
) -> None:
    """Words on the page, `at` the left, middle or right end of their base line."""
    node = ET.SubElement(
        parent,
        "text",
        {
            "x": figure(at[0]),
            "y": figure(at[1]),
            "font-size": figure(size),
            "text-anchor": anchor,
            "fill": colour,
        },
    )
    if bold:
        node.set("font-weight", "bold")
    node.text = clean(words)


def line(
    parent: Node,
    start: Point,
    end: Point,
    *,
    width: float = THIN,
    dashes: str = "",
    colour: str = INK,
) -> None:
    """A straight line."""
    node = ET.SubElement(
        parent,
        "line",
        {
            **{name: figure(value) for name, value in zip(("x1", "y1"), start, strict=True)},
            **{name: figure(value) for name, value in zip(("x2", "y2"), end, strict=True)},
            "stroke": colour,
            "stroke-width": figure(width),
        },
    )
    if dashes:
        node.set("stroke-dasharray", dashes)


def polygon(parent: Node, corners: Iterable[Point], **attributes: str) -> None:
    """A closed shape."""
    points = " ".join(f"{figure(x)},{figure(y)}" for x, y in corners)
    named = {name.replace("_", "-"): value for name, value in attributes.items()}
    ET.SubElement(parent, "polygon", {"points": points, **named})


def circle(parent: Node, centre: Point, radius: float, *, width: float, dashes: str = "") -> None:
    """A circle in outline."""
    node = ET.SubElement(
        parent,
        "circle",
        {
            "cx": figure(centre[0]),
            "cy": figure(centre[1]),
            "r": figure(radius),
            "fill": "none",
            "stroke": INK,
            "stroke-width": figure(width),
        },
    )
    if dashes:
        node.set("stroke-dasharray", dashes)


def hatching(root: Node, name: str, *, spacing: float, width: float = THIN) -> str:
    """Slanted section lines, as cut metal is drawn; gives the `fill` that shows them."""
    definitions = ET.SubElement(root, "defs")
    pattern = ET.SubElement(
        definitions,
        "pattern",
        {
            "id": name,
            "width": figure(spacing),
            "height": figure(spacing),
            "patternUnits": "userSpaceOnUse",
            "patternTransform": "rotate(45)",
        },
    )
    line(pattern, (spacing / 2, 0.0), (spacing / 2, spacing), width=width, colour=MUTED)
    return f"url(#{name})"


def window(root: Node, name: str, corner: Point, side: float) -> str:
    """A square outside which nothing is drawn; gives the `clip-path` that says so."""
    definitions = ET.SubElement(root, "defs")
    clip = ET.SubElement(definitions, "clipPath", {"id": name})
    x, y = (figure(value) for value in corner)
    ET.SubElement(clip, "rect", {"x": x, "y": y, "width": figure(side), "height": figure(side)})
    return f"url(#{name})"


def measure(
    parent: Node, start: Point, end: Point, *, width: float = THIN, colour: str = INK
) -> None:
    """A dimension line: a short slanted stroke at each end, legible however near they are."""
    line(parent, start, end, width=width, colour=colour)
    for x, y in (start, end):
        line(parent, (x - 0.8, y + 0.8), (x + 0.8, y - 0.8), width=width + THIN, colour=colour)


def wide(words: str, size: float) -> float:
    """About how wide these words are on the page."""
    return WIDE_OF_SIZE * size * len(words)
