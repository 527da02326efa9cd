"""What a bur would cut in this hand, and which bur of the drawer suits a wanted window best.

The next seat is taken as normal around bur + overcut + wear · seats cut, with the hand's spread.
"""

import math

from platebook.trade.drawer import Drawer, Tool
from platebook.trade.hand import Hand, HandForShape
from platebook.trade.rules import RuleBook
from platebook.trade.seat_window import Window, seat_window
from platebook.trade.setup_sheet import BurForecast
from platebook.trade.stone import Stone

SEAT_SHAPES = ("setting", "hart", "ball")


def hand_for(shape: str | None, hand: Hand | None, book: RuleBook) -> HandForShape:
    """The hand with this bur shape, or custom's overcut and spread resting on 0 attempts."""
    name = shape or "setting"
    known = hand.for_shape(name) if hand is not None else None
    if known is not None:
        return known
    overcut = book.rule("overcut").plus_mm
    spread = book.rule("overcut spread").plus_mm
    return HandForShape(shape=name, overcut_mm=overcut, spread_mm=spread)


def chance_between(low_mm: float, high_mm: float, mean_mm: float, spread_mm: float) -> float:
    """The chance that a normal value lies between two limits; 0 where they are reversed."""
    if high_mm <= low_mm:
        return 0.0
    scale = spread_mm * math.sqrt(2)
    return (math.erf((high_mm - mean_mm) / scale) - math.erf((low_mm - mean_mm) / scale)) / 2


def forecast(
    tool: Tool, known: HandForShape, window: Window, *, stone_u_mm: float = 0.0
) -> BurForecast:
    """The seat that a bur with a size would cut, and the chance that it lies in the window.

    The window hangs on the stone's measured size, so that one's uncertainty widens the chance.
    """
    size = tool.size_mm or 0.0
    seat = size + known.overcut_mm + known.wear_mm_per_seat * tool.seats_cut
    return BurForecast(
        tool=tool.name or name_of(tool),
        shape=tool.shape,
        size_mm=size,
        angle_deg=tool.angle_deg,
        seat_mm=round(seat, 3),
        spread_mm=round(known.spread_mm, 3),
        chance_of_fit=round(
            chance_between(*window, seat, math.hypot(known.spread_mm, stone_u_mm)), 3
        ),
        from_attempts=known.from_attempts,
        from_class=known.from_class,
    )


def forecasts(
    drawer: Drawer, hand: Hand | None, stone: Stone, method: str, book: RuleBook
) -> tuple[BurForecast, ...]:
    """Every seat bur of the drawer, the best chance first; of equal ones the nearer to the middle.

    Burs that cut wide cannot be undone, so of two still equal the smaller comes first.
    """
    window, doubt = seat_window(stone, method, book), stone.diameter_u_mm or 0.0
    found = [
        forecast(tool, hand_for(tool.shape, hand, book), window, stone_u_mm=doubt)
        for tool in drawer.of_kind("bur")
        if tool.shape in SEAT_SHAPES
    ]
    middle = sum(window) / 2
    return tuple(
        sorted(found, key=lambda b: (-b.chance_of_fit, abs(b.seat_mm - middle), b.size_mm))
    )


def name_of(tool: Tool) -> str:
    """A name for a tool that was given none: its size and what it is."""
    size = f"{tool.size_mm:g} mm " if tool.size_mm is not None else ""
    shape = f"{tool.shape} " if tool.shape else ""
    return f"{size}{shape}{tool.kind}"
