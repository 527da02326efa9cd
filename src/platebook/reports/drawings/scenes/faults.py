"""Scenes of how a setting came out: a good one, and each defect as it is looked for.

What is seen from the side is cut through the middle, what is seen at the rim or on the table is
drawn from above. Sizes are those that `practice/data/defects.toml` calls clear.
"""

import functools
import math
from collections.abc import Callable, Mapping

from platebook.reports.drawings.cells import Point, Window
from platebook.reports.drawings.scenes.scene import (
    Area,
    Line,
    Measured,
    Parts,
    Scene,
    arc,
    arrow,
    box,
    circle,
    turned,
)
from platebook.reports.drawings.scenes.tools import rod
from platebook.reports.drawings.scenes.typical import (
    STONE_MM,
    burnished,
    facets,
    metal,
    rim,
    seat,
    stone,
    stone_at,
)
from platebook.trade.geometry.resting import rest
from platebook.values import replace

SIDE: Window = (-2.25, -0.95, 2.25, 2.05)
ABOVE: Window = (-2.1, -2.0, 2.1, 2.0)

HIGH_MM, LOW_MM, TILT_DEG = 0.055 * STONE_MM, 0.12 * STONE_MM, 6.0
LOOSE_MM, GAP_MM, OFF_MM, THIN_MM = 0.1, 0.08, 0.3, 1.4
GAP_DEG = (20.0, 110.0)
"""A quarter of the rim, between a clear gap's eighth and half."""


def good() -> Scene:
    """The table level, the rim closed over the girdle all round."""
    drawn = stone_at()
    parts: Parts = (*burnished(seat()), Area("stone", drawn), facets(drawn))
    return Scene("table level, rim closed", SIDE, parts)


def loose() -> Scene:
    """The rim does not reach the stone, which lifts when wood pushes at it from behind."""
    times = 3
    hole = seat(free_mm=times * LOOSE_MM)
    lifted = 0.45
    drawn = stone_at(lifted)
    point = stone().depth_mm - lifted
    parts: Parts = (
        *metal(hole),
        Line("stone", (*stone_at()[:1], *stone_at()[-1:]), dotted=True),
        Area("stone", drawn),
        facets(drawn),
        rod((0.0, point + 1.2), 1.2, 0.25),
        *arrow((1.9, -0.15), (1.9, -0.85)),
        *arrow((-1.9, -0.15), (-1.9, -0.85)),
    )
    side = (stone().diameter_mm / 2, stone().carried_mm)
    measured = Measured(side, (hole.mouth_mm, side[1]), LOOSE_MM / 2)
    words = f"{LOOSE_MM:.2f} mm free: it lifts"
    return Scene(words, SIDE, parts, times, measured)


def at_height(height_mm: float, words: str, times: int) -> Scene:
    """The table above or below the sheet, with the level it should have."""
    drawn_mm = times * height_mm
    hole = seat(below_mm=-drawn_mm)
    drawn = stone_at(drawn_mm)
    level = (
        Line("fault", ((-ABOVE[2], 0.0), (ABOVE[2], 0.0)), dotted=True),
        *arrow((0.0, -drawn_mm), (0.0, 0.0), both=True),
    )
    parts: Parts = (*burnished(hole, drawn_mm), Area("stone", drawn), facets(drawn), *level)
    measured = Measured((0.0, -drawn_mm), (0.0, 0.0), abs(height_mm))
    return Scene(words, SIDE, parts, times, measured)


def tilted() -> Scene:
    """The table leans: one edge above the sheet, the other below it."""
    times = 2
    hole = seat()
    about = (0.0, stone().carried_mm)
    drawn = turned(stone_at(), -times * TILT_DEG, about)
    table = [p for p in drawn if p in drawn[:1] + drawn[-1:]]
    parts: Parts = (
        *metal(hole),
        Area("stone", drawn),
        Line("fault", ((-2.1, 0.0), (2.1, 0.0)), dotted=True),
        Line("fault", tuple(table)),
    )
    edge = STONE_MM / 2
    rise = math.sin(math.radians(TILT_DEG)) * edge
    words = f"table leans by {TILT_DEG:.0f}°"
    measured = Measured((edge, 0.0), (edge, -times * rise), rise)
    return Scene(words, SIDE, parts, times, measured)


def culet_out() -> Scene:
    """The sheet is too thin for the stone, whose point stands out at the back."""
    hole = replace(seat(), thickness_mm=THIN_MM)
    drawn = stone_at()
    lies = rest(stone(), hole)
    out = 0.0 if lies is None else -lies.culet_clearance_mm
    parts: Parts = (
        *burnished(hole),
        Area("stone", drawn),
        facets(drawn),
        Line("fault", ((-2.1, THIN_MM), (2.1, THIN_MM)), dotted=True),
        *arrow((0.8, THIN_MM), (0.8, THIN_MM + out), both=True),
    )
    measured = Measured((0.0, THIN_MM), (0.0, stone().depth_mm), out)
    return Scene(f"point {out:.2f} mm out at the back", SIDE, parts, 1, measured)


def _from_above(*, at: Point = (0.0, 0.0), table: bool = True) -> tuple[Area | Line, ...]:
    """The plate around a set stone, the stone's edge inside the rim, its table."""
    cut = stone()
    inside = rim(seat())[1][0]
    facet = tuple(
        (x + at[0], y + at[1])
        for x, y in (
            (
                cut.table_mm / 2 * math.sin(math.radians(22.5 + 45 * n)),
                cut.table_mm / 2 * math.cos(math.radians(22.5 + 45 * n)),
            )
            for n in range(9)
        )
    )
    plate = box("metal", *ABOVE)
    return (
        plate,
        circle("stone", at, inside),
        *((Line("stone", facet),) if table else ()),
    )


def chipped() -> Scene:
    """A piece is out of the stone's edge, and a crack runs in from it."""
    inside = rim(seat())[1][0]
    edge = arc((0.0, 0.0), inside, 25, 65)
    nick = (*edge, (0.75, -0.75), (0.85, -0.95), (0.6, -0.95))
    crack = Line("fault", ((0.75, -0.75), (0.45, -0.5), (0.5, -0.2), (0.1, 0.1)))
    parts: Parts = (*_from_above(), Area("fault", nick, filled=True), crack)
    return Scene("a piece out of the edge, a crack", ABOVE, parts)


def marred() -> Scene:
    """Marks of the tool in the metal beside the rim; the stone is whole."""
    marks: list[Area] = []
    for turn in (-60, -35, 60, 95, 150, 215):
        start = arc((0.0, 0.0), 1.45, turn, turn + 1)[0]
        end = arc((0.0, 0.0), 2.0, turn + 14, turn + 15)[0]
        across = 0.09 * math.cos(math.radians(turn)), 0.09 * math.sin(math.radians(turn))
        marks.append(
            Area(
                "fault",
                (
                    (start[0] - across[0], start[1] - across[1]),
                    (start[0] + across[0], start[1] + across[1]),
                    (end[0] + across[0], end[1] + across[1]),
                    (end[0] - across[0], end[1] - across[1]),
                ),
                filled=True,
            )
        )
    parts: Parts = (*_from_above(), *marks)
    return Scene("marks of the tool in the metal", ABOVE, parts)


def scratched() -> Scene:
    """Scratches across the stone's table; the metal is clean."""
    lines = (
        Line("fault", ((-0.9, 0.35), (0.7, -0.6))),
        Line("fault", ((-0.6, 0.6), (0.85, -0.25))),
        Line("fault", ((-0.35, -0.55), (0.15, 0.5))),
    )
    parts: Parts = (*_from_above(), *lines)
    return Scene("scratches on the table", ABOVE, parts)


def gap() -> Scene:
    """A dark crescent between rim and stone along a quarter of the rim."""
    times = 4
    inside = rim(seat())[1][0]
    wide = times * GAP_MM
    start, end = GAP_DEG
    count = 16
    outer: list[Point] = []
    for n in range(count + 1):
        share = n / count
        radius = inside + wide * math.sin(math.pi * share)
        outer += arc((0.0, 0.0), radius, start + (end - start) * share, 0)[:1]
    inner = arc((0.0, 0.0), inside, end, start)
    crescent = Area("fault", (*outer, *inner), filled=True)
    middle = (start + end) / 2
    measured = Measured(
        arc((0.0, 0.0), inside, middle, 0)[0], arc((0.0, 0.0), inside + wide, middle, 0)[0], GAP_MM
    )
    words = "a quarter of the rim is open"
    parts: Parts = (*_from_above(), crescent)
    return Scene(words, ABOVE, parts, times, measured)


def off_mark() -> Scene:
    """The stone stands beside the scribed cross, which shows where its middle should be."""
    times = 2
    away = times * OFF_MM
    cross = (
        Line("fault", ((-away, -2.0), (-away, 2.0))),
        Line("fault", ((-2.1, 0.0), (2.1, 0.0))),
    )
    middle = (
        Line("stone", ((-0.15, -0.15), (0.15, 0.15))),
        Line("stone", ((-0.15, 0.15), (0.15, -0.15))),
    )
    measured = Measured((-away, 0.0), (0.0, 0.0), OFF_MM)
    words = f"middle {OFF_MM:.1f} mm beside the cross"
    parts: Parts = (*_from_above(table=False), *cross, *middle)
    return Scene(words, ABOVE, parts, times, measured)


RESULTS: Mapping[str, Callable[[], Scene]] = {
    "good": good,
    "loose": loose,
    "high": functools.partial(at_height, HIGH_MM, f"table {HIGH_MM:.2f} mm above", 2),
    "low": functools.partial(at_height, -LOW_MM, f"table {LOW_MM:.2f} mm below", 1),
    "tilted": tilted,
    "chipped": chipped,
    "marred": marred,
    "scratched": scratched,
    "gap": gap,
    "off mark": off_mark,
    "culet out": culet_out,
}
