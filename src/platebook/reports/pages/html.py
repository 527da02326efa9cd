"""Pages as HTML: templates filled with values, and the small pictures inside them.

Every value is escaped, and one that is missing is an error. The pictures are the success curve of a
grade, the levels of a finding, and the seat of an attempt in section, each inline SVG with a name
that a screen reader reads; nothing is told by colour alone.

What was not measured of the stone comes from the named cut. The seat is as wide as was read, or as
the pins allow, or else as the bur; it is drawn as deep as was read, or as the trial stone showed.
"""

import functools
from collections.abc import Mapping, Sequence
from xml.etree import ElementTree as ET

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from platebook.analysis.findings.telling.pictures import Picture
from platebook.analysis.success.tally import CurveStep, binned
from platebook.analysis.variables.columns import variable
from platebook.practice.attempt import Attempt
from platebook.practice.text import clean
from platebook.reports.drawings.cells import whole
from platebook.reports.drawings.svg import (
    HEAVY,
    INK,
    MUTED,
    THIN,
    Node,
    figure,
    line,
    polygon,
    write,
)
from platebook.shipped import shipped
from platebook.trade import Stone
from platebook.trade.geometry.burs import bur_at
from platebook.trade.geometry.resting import Hole, rest
from platebook.trade.geometry.section import Section, section
from platebook.trade.phrases import count_of
from platebook.trade.records import Curve
from platebook.trade.stones import Profile, profile
from platebook.trade.validation import TradeError

STYLE = "report.css"


def fill_template(template: str, *, style: str = STYLE, **values: object) -> str:
    """A page of `data/` filled with these values, its style inside it."""
    rules = Markup(_data(style))  # noqa: S704 - a file of our own
    page = _environment().get_template(template).render(style=rules, **values)
    return "\n".join(line.rstrip() for line in page.splitlines()) + "\n"


@functools.cache
def _environment() -> Environment:
    names = ("setter.html.j2", "class.html.j2", "paper.html.j2", "projector.html.j2")
    return Environment(
        loader=DictLoader({name: _data(name) for name in names}),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_cleaned,
    )


def _cleaned(value: object) -> object:
    """What people typed without control and direction signs; markup of ours as it is."""
    return clean(value, multiline=True) if type(value) is str else value


def _data(name: str) -> str:
    return shipped("reports", "data", name).read_text(encoding="utf-8")


BURS = ("hart", "setting", "ball", "flame")
"""Shapes that a seat can be drawn for."""

TRIAL_SHARES: Mapping[str, float] = {
    "proud": 0.03,
    "flush": 0.0,
    "just under": -0.02,
    "deep": -0.06,
}
"""Table above the metal as a share of the stone's diameter, for a drawing (common practice)."""

PILOT_SHARE = 1 / 3
"""The customary pilot hole, for a drawing in which none was noted (common practice)."""


def attempt_section(attempt: Attempt) -> Section | None:
    """The seat and stone of an attempt; None where stone, sheet or seat were not noted."""
    diameter, sheet = attempt.stone_diameter_mm, attempt.sheet_mm
    width = seat_width_mm(attempt)
    if diameter is None or sheet is None or width is None:
        return None
    measured = Stone(
        diameter_mm=diameter,
        depth_mm=attempt.stone_depth_mm,
        crown_mm=attempt.stone_crown_mm,
        girdle=attempt.stone_girdle,
        girdle_low_mm=attempt.stone_girdle_min_mm,
        girdle_high_mm=attempt.stone_girdle_max_mm,
    )
    try:
        stone = profile(measured)
    except TradeError:
        return None
    hole = Hole(
        thickness_mm=sheet * (attempt.layers or 1),
        pilot_mm=attempt.pilot_mm or PILOT_SHARE * diameter,
        seat=bur_at(
            attempt.seat_bur_shape if attempt.seat_bur_shape in BURS else "setting",
            width,
            stone.carried_mm,
            angle_deg=attempt.seat_bur_angle_deg,
        ),
    )
    return section(stone, _as_deep(attempt, stone, hole), curve=_curve(attempt, diameter))


def _curve(attempt: Attempt, diameter_mm: float) -> Curve | None:
    """The curved metal that was noted; None for flat, or for one that the stone does not lie on."""
    kind, radius = attempt.curve, attempt.curve_radius_mm
    if kind not in ("ring", "dome") or radius is None:
        return None
    curve = Curve(kind=kind, radius_mm=radius)
    return curve if curve.reaches(0.75 * diameter_mm) else None


def seat_width_mm(attempt: Attempt) -> float | None:
    """How wide the seat was, as near as the record has it."""
    if attempt.seat_diameter_mm is not None:
        return attempt.seat_diameter_mm
    if attempt.seat_go_mm is not None and attempt.seat_nogo_mm is not None:
        return (attempt.seat_go_mm + attempt.seat_nogo_mm) / 2
    return attempt.seat_bur_mm


def _as_deep(attempt: Attempt, stone: Profile, hole: Hole) -> Hole:
    if attempt.seat_depth_mm is not None:
        return hole.with_seat_at(attempt.seat_depth_mm)
    wanted = TRIAL_SHARES.get(attempt.trial_height or "flush", 0.0) * stone.diameter_mm
    resting = rest(stone, hole)
    if resting is None:
        return hole
    deeper = stone.carried_mm + resting.table_height_mm - wanted
    return hole.with_seat_at(max(deeper, 0.0))


LEVELS_WIDE, LEVELS_LEFT = 150.0, 70.0
ROW, PARTING = 3.4, 0.4
CURVE = (120.0, 27.0)
SEAT = (24.0, 10.0)
LEFT, BOTTOM, TOP = 9.0, 22.0, 2.0
MOST_STROKES = 200
"""Settings that have a stroke each; of more, shares of some in a row are drawn."""
MOST_SHARES = 40
MOST_POINTS = 400
BAND = "#d9d9d9"
STONE = "#eef3f5"
METAL = "#cfcac4"


def curve_svg(steps: Sequence[CurveStep], label: str) -> Markup:
    """The success curve of one grade with its 95 % band; a stroke a setting, above or below.

    Of many settings there are no strokes, and a dash for the share of good ones of some in a row.
    """
    root = named_picture(*CURVE, label)
    width, right = CURVE[0] - LEFT - 2.0, CURVE[0] - 2.0
    for share in (0.0, 0.5, 1.0):
        y = _height(share)
        line(root, (LEFT, y), (right, y), width=THIN, colour=MUTED)
        write(root, (LEFT - 1.0, y + 1.0), f"{100 * share:.0f} %", size=2.6, anchor="end")
    places = [LEFT + width * (n + 0.5) / len(steps) for n in range(len(steps))]
    # More points than there are dots on paper would only make the page slow.
    seen = [*range(0, len(steps) - 1, len(steps) // MOST_POINTS + 1), len(steps) - 1]
    upper = [(places[n], _height(steps[n].high)) for n in seen]
    lower = [(places[n], _height(steps[n].low)) for n in seen]
    polygon(root, [*upper, *reversed(lower)], fill=BAND, stroke="none")
    points = " ".join(f"{figure(places[n])},{figure(_height(steps[n].rate))}" for n in seen)
    ET.SubElement(
        root,
        "polyline",
        {"points": points, "fill": "none", "stroke": INK, "stroke-width": figure(HEAVY)},
    )
    if len(steps) <= MOST_STROKES:
        for x, step in zip(places, steps, strict=True):
            end = TOP + 1.6 if step.good else BOTTOM - 1.6
            line(root, (x, TOP if step.good else BOTTOM), (x, end), width=HEAVY / 2, colour=INK)
    else:
        for middle, share, _ in binned(steps, MOST_SHARES):
            x, y = places[middle.number - 1], _height(share)
            line(root, (x - 0.5, y), (x + 0.5, y), width=HEAVY * 2, colour=INK)
    write(root, (right, CURVE[1] - 1.0), count_of(len(steps), "setting"), size=2.6, anchor="end")
    return markup_of(root)


def levels_svg(picture: Picture, label: str) -> Markup:
    """The levels of a finding under their names and counts, and the line that parts them.

    Of each the share that showed it with its 95 % interval, or its readings as points.
    """
    levels, parted = picture.levels, picture.parted
    height = TOP + ROW * (len(levels) + PARTING * len(parted)) + 7.0
    root = named_picture(LEVELS_WIDE, height, label)
    low, high = picture.reach
    across = (LEVELS_WIDE - LEVELS_LEFT - 4.0) / (high - low)

    def at(value: float) -> float:
        return LEVELS_LEFT + (value - low) * across

    y = TOP
    for number, level in enumerate(levels):
        if number in parted:
            y += ROW * PARTING
            line(root, (2.0, y), (LEVELS_WIDE - 2.0, y), dashes="1 1", colour=INK)
        y += ROW
        middle = y - ROW / 2
        many = len(level.points) if picture.response else f"{level.failed} of {level.of}"
        named = f"{level.name}: {many}"
        write(root, (LEVELS_LEFT - 2.0, middle + 0.9), named, size=2.6, anchor="end")
        if picture.response:
            for point in level.points:
                place = at(point)
                line(root, (place, middle - 0.9), (place, middle + 0.9), width=THIN, colour=INK)
            continue
        line(root, (at(level.low), middle), (at(level.high), middle), width=HEAVY / 2, colour=MUTED)
        share = at(level.share)
        line(root, (share, middle - 1.1), (share, middle + 1.1), width=2 * HEAVY, colour=INK)
    for value, words in picture.scale:
        line(root, (at(value), TOP), (at(value), y + 0.8), colour=MUTED)
        write(root, (at(value), y + 3.2), words, size=2.4, anchor="middle", colour=MUTED)
    words = f"{picture.axis}, by {variable(picture.variable).spoken}"
    write(root, (at((low + high) / 2), y + 6.2), words, size=2.4, anchor="middle")
    return markup_of(root)


def seat_svg(section: Section, label: str) -> Markup:
    """A seat and stone in section, as large as there is room."""
    root = named_picture(*SEAT, label)
    left, low, right, high = whole(section)
    scale = min(SEAT[0] / (right - left), (SEAT[1] - 1.0) / (high - low))
    for shape in section.shapes:
        placed = [(SEAT[0] / 2 + x * scale, 0.5 + (y - low) * scale) for x, y in shape.points]
        polygon(
            root,
            placed,
            fill=STONE if shape.name == "stone" else METAL,
            stroke=INK,
            **{"stroke-width": figure(THIN)},
        )
    return markup_of(root)


def _height(share: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * share


def named_picture(width: float, height: float, label: str) -> Node:
    """An empty picture of so many millimetres, with the name that a screen reader reads."""
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


def markup_of(root: Node) -> Markup:
    """A picture of ours, in which every text was escaped when it was drawn."""
    return Markup(ET.tostring(root, encoding="unicode"))  # noqa: S704 - made by our own drawing
