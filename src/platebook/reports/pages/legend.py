"""The legend of a page: what the results on it look like, each a small drawing to scale."""

from collections.abc import Iterable
from xml.etree import ElementTree as ET

from markupsafe import Markup

from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD
from platebook.reports.drawings.scenes.scene import Area
from platebook.reports.drawings.svg import ALARM, INK, MEDIUM, MUTED, THIN, figure, polygon
from platebook.reports.drawings.terms import scene_of
from platebook.reports.pages.html import METAL, STONE, markup_of, named_picture
from platebook.values import Value

ROOM = (16.0, 11.0)
"""Millimetres that a drawing may take."""

MOST = 6
STROKES = {"fault": ALARM, "tool": MUTED}
FILLS = {"metal": METAL, "stone": STONE, "tool": "#ffffff", "fault": ALARM}


class LegendRow(Value):
    """A result by its word, what its drawing shows, and the drawing."""

    word: str
    shows: str
    picture: Markup


def defects_drawn(attempts: Iterable[Attempt]) -> list[LegendRow]:
    """The defects among these attempts that have a drawing, those that come most often first."""
    said = [word for attempt in attempts for word in attempt.result or () if word != GOOD]
    words = sorted(dict.fromkeys(said), key=said.count, reverse=True)
    rows = (_row(word) for word in words)
    return [row for row in rows if row is not None][:MOST]


def _row(word: str) -> LegendRow | None:
    scene = scene_of("result", word)
    if scene is None:
        return None
    left, top, right, bottom = scene.window
    scale = min(ROOM[0] / (right - left), ROOM[1] / (bottom - top))
    root = named_picture((right - left) * scale, (bottom - top) * scale, f"{word}: {scene.caption}")
    for part in scene.parts:
        placed = [((x - left) * scale, (y - top) * scale) for x, y in part.points]
        stroke = {
            "stroke": STROKES.get(part.role, INK),
            "stroke-width": figure(MEDIUM if part.role == "fault" else THIN),
        }
        if isinstance(part, Area):
            polygon(root, placed, fill=FILLS[part.role], **stroke)
        else:
            points = " ".join(f"{figure(x)},{figure(y)}" for x, y in placed)
            dashes = {"stroke-dasharray": "0.6 0.5"} if part.dotted else {}
            ET.SubElement(root, "polyline", {"points": points, "fill": "none", **stroke, **dashes})
    return LegendRow(word, scene.caption, markup_of(root))
