"""Scenes of the steps of the work, each with the tool that does it and which way it goes."""

from collections.abc import Callable, Mapping

from platebook.reports.drawings.cells import Window
from platebook.reports.drawings.scenes.scene import Area, Line, Parts, Scene, arrow, box, turned
from platebook.reports.drawings.scenes.tools import (
    ball_bur,
    point,
    rod,
    seat_bur,
    smooth_tip,
    twist_drill,
)
from platebook.reports.drawings.scenes.typical import (
    SHEET_MM,
    burnished,
    facets,
    metal,
    rim,
    seat,
    sizes,
    stone,
    stone_at,
)
from platebook.trade.geometry.burs import ConeBur, RoundBur
from platebook.trade.geometry.resting import Hole
from platebook.values import replace

SIDE: Window = (-2.25, -1.4, 2.25, 2.05)
BEHIND: Window = (-2.25, -0.4, 2.25, 3.05)
TOP = 1.35
DIMPLE_MM = 0.3


def mark() -> Scene:
    """A pointed tool makes the small hollow that the drill starts in."""
    half = 0.7 * DIMPLE_MM
    sheet = Area(
        "metal",
        (
            (-2.55, 0.0),
            (-half, 0.0),
            (0.0, DIMPLE_MM),
            (half, 0.0),
            (2.55, 0.0),
            (2.55, SHEET_MM),
            (-2.55, SHEET_MM),
        ),
    )
    tool = point((0.0, DIMPLE_MM - 0.1), 1.6, 0.3)
    return Scene("a deep mark to start in", SIDE, (sheet, tool, *arrow((0.8, -1.2), (0.8, -0.3))))


def pilot() -> Scene:
    """The twist drill goes straight through."""
    wide = sizes().pilot_drill.choose_mm
    hole = replace(_pilot_hole(), thickness_mm=SHEET_MM)
    parts: Parts = (
        *metal(hole),
        *twist_drill(wide, 1.5, TOP),
        *arrow((1.1, -1.2), (1.1, -0.3)),
    )
    return Scene(f"{wide:.1f} mm drill, upright, through", SIDE, parts)


def _pilot_hole() -> Hole:
    above = replace(seat().seat, belt_mm=-9.0)
    return replace(seat(), seat=above, others=())


def opening() -> Scene:
    """A ball bur widens the hole to just under the stone."""
    bur = seat().others[0]
    assert isinstance(bur, RoundBur)
    hole = replace(_pilot_hole(), others=(bur,))
    parts: Parts = (*metal(hole), ball_bur(bur, TOP), *arrow((1.75, -1.2), (1.75, -0.3)))
    return Scene(f"ball bur of {2 * bur.radius_mm:.1f} mm to its middle", SIDE, parts)


def width() -> Scene:
    """The seat bur is as wide as the stone: what is wrong with it shows at the seat's wall."""
    hole, bur = _with_bur(0.35)
    mouth = hole.mouth_mm
    parts: Parts = (
        *metal(hole),
        seat_bur(bur, TOP),
        *arrow((-mouth, -0.65), (mouth, -0.65), both=True),
    )
    return Scene(f"seat bur cuts {2 * mouth:.2f} mm wide", SIDE, parts)


def depth() -> Scene:
    """The seat bur is down as deep as the girdle will lie."""
    hole, bur = _with_bur(1.0)
    side = hole.mouth_mm + 0.4
    parts: Parts = (
        *metal(hole),
        seat_bur(bur, TOP),
        *arrow((side, 0.0), (side, bur.belt_mm), both=True),
        Line("fault", ((hole.mouth_mm, bur.belt_mm), (side + 0.2, bur.belt_mm)), dotted=True),
    )
    return Scene(f"seat bur {bur.belt_mm:.2f} mm down", SIDE, parts)


def _with_bur(share: float) -> tuple[Hole, ConeBur]:
    hole = seat()
    hole = hole.with_seat_at(share * hole.seat.belt_mm)
    assert isinstance(hole.seat, ConeBur)
    return hole, hole.seat


def fit_check() -> Scene:
    """The stone on a wax stick, just above its seat."""
    above = 1.0
    drawn = stone_at(above)
    parts: Parts = (
        *metal(seat()),
        Area("stone", drawn),
        facets(drawn),
        rod((0.0, -above), 1.0, 0.18),
        *arrow((1.85, -1.2), (1.85, -0.3)),
    )
    return Scene("the stone on wax, tried in the seat", (-2.25, -1.9, 2.25, 2.05), parts)


def levelling() -> Scene:
    """A punch or finger presses the high side of the stone down."""
    about = (-stone().diameter_mm / 2, stone().carried_mm)
    drawn = turned(stone_at(), -7.0, about)
    corner = drawn[0]
    parts: Parts = (
        *metal(seat()),
        Area("stone", drawn),
        rod((corner[0] - 0.1, corner[1]), 1.6, 0.22),
        *arrow((1.7, -1.2), (1.7, -0.4)),
        Line("fault", ((-2.1, 0.0), (2.1, 0.0)), dotted=True),
    )
    return Scene("the high side is pressed down", SIDE, parts)


def burnishing() -> Scene:
    """The burnisher pushes the rim over the girdle, one side done and one to do."""
    hole = seat()
    done = burnished(hole)[1]
    todo = metal(hole)[0]
    drawn = stone_at()
    tip = rim(hole)[1]
    parts: Parts = (
        todo,
        done,
        Area("stone", drawn),
        facets(drawn),
        smooth_tip((tip[0] + 0.12, tip[1]), 2.2, 0.2, 40),
        *arrow((1.0, -1.0), (0.55, -0.35)),
    )
    return Scene("the rim is pushed over the girdle", SIDE, parts)


def push_test() -> Scene:
    """Wood pushes at the stone from behind."""
    drawn = stone_at()
    low = stone().depth_mm
    parts: Parts = (
        *burnished(seat()),
        Area("stone", drawn),
        facets(drawn),
        rod((0.0, low + 1.4), 1.4, 0.28),
        *arrow((0.9, 2.95), (0.9, 2.2)),
    )
    return Scene("wood pushes from behind", BEHIND, parts)


def clean_up() -> Scene:
    """A felt stick goes back and forth over the finished surface."""
    drawn = stone_at()
    felt = box("tool", -0.1, -0.45, 1.9, -0.04)
    parts: Parts = (
        *burnished(seat()),
        Area("stone", drawn),
        facets(drawn),
        felt,
        rod((0.9, -0.45), 0.9, 0.2),
        *arrow((-1.9, -0.8), (0.4, -0.8), both=True),
    )
    return Scene("polished over, grade by grade", SIDE, parts)


STEPS: Mapping[str, Callable[[], Scene]] = {
    "mark": mark,
    "pilot": pilot,
    "opening": opening,
    "width": width,
    "depth": depth,
    "fit check": fit_check,
    "levelling": levelling,
    "burnishing": burnishing,
    "push test": push_test,
    "clean-up": clean_up,
}
