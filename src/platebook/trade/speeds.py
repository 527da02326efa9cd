"""How fast a tool may turn at most: surface speeds in metres a minute, and turns from them.

A speed is a limit that is "not above", never a target: the speeds stand in `data/speeds.csv`, with
their kind. Seats are cut slowly by hand, far below these.
"""

import functools
import math
from typing import Literal

from platebook.tables import Row, csv_rows, rows_as
from platebook.trade.validation import Fault, TradeError
from platebook.values import Value

ROUND_TO_RPM = 100


class SurfaceSpeed(Row):
    """Surface speeds for a metal and tool steel, metres a minute."""

    metal: str
    tool_steel: str
    low_m_min: float
    high_m_min: float
    kind: Literal["published", "judgement"]
    source: str


STEELS = {"hss": "high-speed steel"}
"""What a tool steel of the table is called."""


class SpeedLimit(Value):
    """Revolutions a minute not to go above, with the speed it comes from and what to say."""

    not_above_rpm: float
    surface: SurfaceSpeed
    sentence: str


def rpm(surface_m_min: float, diameter_mm: float) -> float:
    """Revolutions a minute at which a diameter's edge moves at a surface speed: 1000 v / (π d)."""
    return 1000 * surface_m_min / (math.pi * diameter_mm)


@functools.cache
def surface_speeds() -> tuple[SurfaceSpeed, ...]:
    """All surface speeds in the order of the table."""
    return rows_as(SurfaceSpeed, csv_rows("platebook.trade", "speeds.csv"))


def speed_limit(diameter_mm: float, metal: str, tool_steel: str = "hss") -> SpeedLimit | None:
    """The speed not to go above, from the lower published speed; None where none is known.

    Raises TradeError for a diameter that is not above zero.
    """
    if not diameter_mm > 0:
        expected = "a diameter above zero, in millimetres"
        raise TradeError((Fault("diameter_mm", f"{diameter_mm:g} mm", expected),))
    wanted = (metal.strip().lower(), tool_steel.strip().lower())
    surface = next((s for s in surface_speeds() if (s.metal, s.tool_steel) == wanted), None)
    if surface is None:
        return None
    limit = rpm(surface.low_m_min, diameter_mm)
    whole = math.floor(limit / ROUND_TO_RPM) * ROUND_TO_RPM
    sentence = (
        f"Not above {whole} a minute ({diameter_mm:g} mm of {STEELS[surface.tool_steel]} in "
        f"{surface.metal}, {surface.low_m_min:g} m/min, {surface.kind}): "
        "a limit, not a target. Seats are cut slowly."
    )
    return SpeedLimit(not_above_rpm=limit, surface=surface, sentence=sentence)
