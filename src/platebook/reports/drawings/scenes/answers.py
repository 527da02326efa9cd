"""Scenes of what is read before the result: how the stone goes in, its trial height, the ledge."""

import functools
from collections.abc import Callable, Mapping

from platebook.reports.drawings.cells import Window
from platebook.reports.drawings.scenes.scene import (
    Area,
    Measured,
    Parts,
    Scene,
    arrow,
    box,
    circle,
    moved,
    turned,
)
from platebook.reports.drawings.scenes.typical import (
    facets,
    metal,
    seat,
    sizes,
    stone,
    stone_at,
)
from platebook.trade.geometry.resting import entry_tilt_deg, rest

ACROSS = 2.25
FIT: Window = (-ACROSS, -1.25, ACROSS, 2.0)
TRIAL: Window = (-ACROSS, -0.95, ACROSS, 2.0)
FROM_ABOVE: Window = (-1.75, -1.75, 1.75, 1.75)

NARROW_MM, TIGHT_MM, WIDE_MM = -0.1, -0.04, 0.1
"""Seat less stone where the stone will not enter, where it takes a push, and where it moves."""

PROUD_MM, JUST_UNDER_MM, DEEP_MM = 0.15, -0.06, -0.3
"""The table of the trial stone: 5 % of its size above the sheet, 2 and 10 % below it."""

SLIGHTLY_MM, CLEARLY_MM = 0.15, 0.4
"""How far the seat's middle lies off the hole's."""


def will_not_enter() -> Scene:
    """The seat is narrower than the stone, which lies on its mouth."""
    times = 4
    hole = seat(free_mm=times * NARROW_MM)
    lies = rest(stone(), hole, pressed=False)
    assert lies is not None
    drawn = stone_at(lies.table_height_mm)
    parts: Parts = (*metal(hole), Area("stone", drawn), facets(drawn))
    beside = stone().diameter_mm / 2
    measured = Measured((2 * hole.mouth_mm, 0.0), (2 * beside, 0.0), -NARROW_MM)
    return Scene(f"seat {-NARROW_MM:.2f} mm too narrow", FIT, parts, times, measured)


def firm_push() -> Scene:
    """The seat is a little narrower than the stone, which goes down when it is pressed."""
    hole = seat("push in")
    half_in = stone_at(0.5 * stone().carried_mm)
    parts: Parts = (
        *metal(hole),
        Area("stone", half_in),
        facets(half_in),
        *arrow((0.0, -1.2), (0.0, -0.4)),
    )
    return Scene("goes down when pressed", FIT, parts)


def tilted_and_snaps() -> Scene:
    """One side of the girdle is down, the other one still on the mouth; pressed, it snaps."""
    hole = seat("snap in")
    cut = stone()
    tilt = entry_tilt_deg(cut.diameter_mm, cut.girdle_mm, 2 * hole.mouth_mm)
    assert tilt is not None
    low = (-cut.diameter_mm / 2, cut.carried_mm)
    leaning = turned(stone_at(), -tilt, low)
    parts: Parts = (
        *metal(hole),
        Area("stone", leaning),
        facets(tuple(turned(_girdle(), -tilt, low))),
        *arrow((1.15, -1.2), (1.15, -0.5)),
    )
    return Scene(f"one side first, tipped {tilt:.0f}°", FIT, parts)


def drops_in() -> Scene:
    """The stone lies in its seat by itself, with no room to move."""
    hole = seat()
    free = 2 * hole.mouth_mm - stone().diameter_mm
    drawn = stone_at()
    parts: Parts = (*metal(hole), Area("stone", drawn), facets(drawn))
    return Scene(f"lies level, {free:.2f} mm free", FIT, parts)


def drops_in_and_moves() -> Scene:
    """The seat is wider than the stone, which slides from side to side."""
    times = 4
    hole = seat(free_mm=times * WIDE_MM)
    room = hole.mouth_mm - stone().diameter_mm / 2
    drawn = moved(stone_at(), -room, 0.0)
    girdle = stone().carried_mm
    right = stone().diameter_mm / 2 - room
    parts: Parts = (
        *metal(hole),
        Area("stone", drawn),
        facets(drawn),
        *arrow((-0.9, -0.6), (0.9, -0.6), both=True),
    )
    measured = Measured((right, girdle), (hole.mouth_mm, girdle), WIDE_MM)
    return Scene(f"{WIDE_MM:.2f} mm free, slides", FIT, parts, times, measured)


def _girdle() -> tuple[tuple[float, float], ...]:
    return tuple(p for p in stone_at() if abs(p[0]) > 1.4)


def trial(height_mm: float, words: str) -> Scene:
    """A straight edge over the table of a trial stone that lies at this height."""
    times = 2 if height_mm else 1
    drawn_mm = times * height_mm
    hole = seat(below_mm=-drawn_mm)
    drawn = stone_at(drawn_mm)
    top = -max(drawn_mm, 0.0)
    parts: Parts = (
        *metal(hole),
        Area("stone", drawn),
        facets(drawn),
        box("tool", -2.0, top - 0.4, 2.0, top),
    )
    measured = Measured((0.0, -drawn_mm), (0.0, 0.0), abs(height_mm)) if height_mm else None
    return Scene(words, TRIAL, parts, times, measured)


def ledge(off_mm: float) -> Scene:
    """The seat from above without the stone: the ledge between its wall and the hole."""
    wall = seat().mouth_mm
    hole = sizes().pilot_drill.choose_mm / 2
    wide, narrow = wall - hole + off_mm, wall - hole - off_mm
    parts: Parts = (
        circle("metal", (0.0, 0.0), wall),
        circle("tool", (off_mm, 0.0), hole),
    )
    words = f"{wide:.2f} mm wide all round"
    if off_mm:
        words = f"{wide:.2f} mm wide and {narrow:.2f}"
    measured = Measured((0.0, 0.0), (off_mm, 0.0), off_mm) if off_mm else None
    return Scene(words, FROM_ABOVE, parts, 1, measured)


FITS: Mapping[str, Callable[[], Scene]] = {
    "will not enter": will_not_enter,
    "enters with a firm push": firm_push,
    "enters tilted and snaps": tilted_and_snaps,
    "drops in": drops_in,
    "drops in and moves": drops_in_and_moves,
}
TRIAL_HEIGHTS: Mapping[str, Callable[[], Scene]] = {
    "proud": functools.partial(trial, PROUD_MM, f"table {PROUD_MM:.2f} mm above"),
    "flush": functools.partial(trial, 0.0, "table level with the metal"),
    "just under": functools.partial(trial, JUST_UNDER_MM, f"table {-JUST_UNDER_MM:.2f} mm below"),
    "deep": functools.partial(trial, DEEP_MM, f"table {-DEEP_MM:.2f} mm below"),
}
LEDGES: Mapping[str, Callable[[], Scene]] = {
    "even": functools.partial(ledge, 0.0),
    "slightly wider one side": functools.partial(ledge, SLIGHTLY_MM),
    "clearly wider one side": functools.partial(ledge, CLEARLY_MM),
}
