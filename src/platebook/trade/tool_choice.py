"""Which drill and burs to take, what a bur would cut in this hand, and how fast each may turn.

The next seat is taken as normal around bur + overcut + wear · seats cut, with the hand's spread.

A tool of the drawer is near enough where its rule says so: within the rule's window for drills and
opening burs, and for a seat bur where its predicted seat lies in the wanted window. One that is not
near enough is named beside the size to buy, never taken silently.

A speed is a limit that is "not above", never a target: surface speeds in metres a minute stand in
`data/speeds.csv`, with their kind. Seats are cut slowly by hand, far below these.
"""

import csv
import functools
import math
from collections.abc import Iterable
from decimal import ROUND_HALF_DOWN, Decimal
from importlib import resources
from typing import Literal

from platebook.trade.lengths import nearest_metric_drill_mm
from platebook.trade.records import Drawer, Hand, HandForShape, Stone, Tool, Value
from platebook.trade.rules import RuleBook, RuleOfThumb
from platebook.trade.setup_sheet import BurForecast, SeatMethod, ToolChoice
from platebook.trade.validation import Fault, TradeError

Window = tuple[float, float]


def seat_window(stone: Stone, method: str, book: RuleBook | None = None) -> Window:
    """Narrowest and widest wanted seat in millimetres.

    A stone measured as oval narrows the window: the narrowest seat is for its largest diameter, the
    widest for its smallest. A stone too oval for any round seat gives the first above the second.
    """
    rule = (book or RuleBook()).rule("seat window", method)
    largest = stone.diameter_max_mm or stone.diameter_mm
    smallest = stone.diameter_min_mm or stone.diameter_mm
    return largest + rule.low_mm, smallest + rule.high_mm


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


Place = Literal["drawer", "to buy"]

OPENING_SHAPES = ("ball", "flame")

LEAST_CHANCE = 0.2
"""A bur that fits more seldom than this is never offered for want of a better one (judgement)."""

WORTH_BUYING = 0.1
"""How much more often a new bur has to fit before it is worth buying one (judgement)."""


def to_tenth(mm: float) -> float:
    """A size in whole tenths of a millimetre, as burs are sold; halfway goes to the smaller."""
    return float(Decimal(f"{mm:.6f}").quantize(Decimal("0.1"), ROUND_HALF_DOWN))


def pilot_drill(stone: Stone, drawer: Drawer, book: RuleBook) -> ToolChoice:
    """The pilot drill: the drawer's nearest within the rule's window, else a metric drill."""
    rule = book.rule("pilot")
    target = rule.size_mm(stone.diameter_mm)
    tools = drawer.of_kind("twist drill")
    to_buy = Tool(kind="twist drill", size_mm=nearest_metric_drill_mm(target))
    return _chosen(rule, target, tools, to_buy)


def opening_bur(stone: Stone, drawer: Drawer, seat_bur_mm: float, book: RuleBook) -> ToolChoice:
    """The opening bur: a ball or flame of the drawer smaller than the seat bur, else to buy."""
    rule = book.rule("opening bur")
    target = rule.size_mm(stone.diameter_mm)
    tools = [
        tool
        for tool in drawer.of_kind("bur")
        if tool.shape in OPENING_SHAPES and (tool.size_mm or 0) < seat_bur_mm
    ]
    to_buy = Tool(kind="bur", shape="ball", size_mm=to_tenth(target))
    return _chosen(rule, target, tools, to_buy)


def seat_bur(
    stone: Stone,
    method: SeatMethod,
    burs: Iterable[BurForecast],
    hand: Hand | None,
    book: RuleBook,
) -> tuple[ToolChoice, BurForecast]:
    """The seat bur and what it would cut: the drawer's best whose seat is wanted, else to buy.

    `burs` are the drawer's, the best chance first (`forecasts`).
    What is to buy comes in tenths, so a bur of the drawer that fits about as often goes before it.
    The target is custom's, or where this hand is known with the shape and no rule was chosen, the
    middle of the window less its overcut. Hand-cut stones ask for ball burs first, others last.
    A bur over the stone is never taken, whatever the target. Raises TradeError for a hand so wide
    that no bur would be small enough.
    """
    window = seat_window(stone, method, book)
    shape = _shape_to_buy(stone, hand)
    known = hand_for(shape, hand, book)
    rule = book.rule("seat bur", method)
    target = rule.size_mm(stone.diameter_mm)
    if (known.from_attempts or known.from_class) and rule.id not in book.chosen:
        rule, target = book.rule("seat bur by hand"), sum(window) / 2 - known.overcut_mm
    offered = [bur for bur in burs if bur.size_mm <= stone.diameter_mm]
    wanted = [b for b in offered if window[0] <= b.seat_mm <= window[1]]
    wanted.sort(key=lambda b: (b.shape == "ball") != stone.hand_cut)
    if wanted:
        return _from_drawer(rule, target, wanted[0]), wanted[0]
    bought_mm = to_tenth(target)
    if bought_mm > stone.diameter_mm:
        bought_mm = math.floor(round(stone.diameter_mm * 10, 6)) / 10
    if bought_mm <= 0:
        read = f"an overcut of {known.overcut_mm:g} mm"
        raise TradeError((Fault("hand", read, "much less than the stone's diameter"),))
    to_buy = Tool(kind="bur", shape=shape, size_mm=bought_mm)
    bought = forecast(to_buy, known, window, stone_u_mm=stone.diameter_u_mm or 0.0)
    likeliest = max(offered, key=lambda b: b.chance_of_fit, default=None)
    least = max(bought.chance_of_fit - WORTH_BUYING, LEAST_CHANCE)
    if likeliest is not None and likeliest.chance_of_fit >= least:
        return _from_drawer(rule, target, likeliest), likeliest
    nearest = min((abs(b.size_mm - target), b.size_mm) for b in offered)[1] if offered else None
    return _choice(rule, target, to_buy, "to buy", nearest_mm=nearest), bought


def _from_drawer(rule: RuleOfThumb, target: float, bur: BurForecast) -> ToolChoice:
    tool = Tool(
        kind="bur",
        name=bur.tool,
        shape=bur.shape,
        size_mm=bur.size_mm,
        angle_deg=bur.angle_deg,
    )
    return _choice(rule, target, tool, "drawer")


def _shape_to_buy(stone: Stone, hand: Hand | None) -> str:
    if stone.hand_cut:
        return "ball"
    known = [h for h in hand.shapes if h.shape in ("setting", "hart")] if hand is not None else []
    return max(known, key=lambda h: h.from_attempts).shape if known else "setting"


def _chosen(rule: RuleOfThumb, target: float, tools: Iterable[Tool], to_buy: Tool) -> ToolChoice:
    def off(tool: Tool) -> float:
        return round((tool.size_mm or 0) - target, 3)

    nearest = min(tools, key=lambda tool: abs(off(tool)), default=None)
    if nearest is not None and rule.low_mm <= off(nearest) <= rule.high_mm:
        return _choice(rule, target, nearest, "drawer")
    nearest_mm = nearest.size_mm if nearest is not None else None
    return _choice(rule, target, to_buy, "to buy", nearest_mm=nearest_mm)


def _choice(
    rule: RuleOfThumb, target: float, tool: Tool, place: Place, *, nearest_mm: float | None = None
) -> ToolChoice:
    return ToolChoice(
        target_mm=round(target, 3),
        choose_mm=round(tool.size_mm or 0.0, 3),
        from_=place,
        tool=tool.name or name_of(tool),
        shape=tool.shape,
        angle_deg=tool.angle_deg,
        rule=rule.id,
        source=rule.cited,
        sentence=rule.say,
        nearest_mm=nearest_mm,
    )


ROUND_TO_RPM = 100


class SurfaceSpeed(Value):
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
    file = resources.files("platebook.trade").joinpath("data", "speeds.csv")
    rows = csv.DictReader(file.read_text(encoding="utf-8").splitlines())
    return tuple(SurfaceSpeed.model_validate(row) for row in rows)


def speed_limit(diameter_mm: float, metal: str, tool_steel: str = "hss") -> SpeedLimit | None:
    """The speed not to go above, from the lower published speed; None where none is known.

    Raises TradeError for a diameter that is not above zero.
    """
    if not diameter_mm > 0:
        expected = "a diameter above zero, in millimetres"
        raise TradeError((Fault("diameter_mm", f"{diameter_mm:g} mm", expected),))
    wanted = (metal.strip().lower(), tool_steel.strip().lower())
    found = next((s for s in surface_speeds() if (s.metal, s.tool_steel) == wanted), None)
    if found is None:
        return None
    limit = rpm(found.low_m_min, diameter_mm)
    whole = math.floor(limit / ROUND_TO_RPM) * ROUND_TO_RPM
    sentence = (
        f"Not above {whole} a minute ({diameter_mm:g} mm of {STEELS[found.tool_steel]} in "
        f"{found.metal}, {found.low_m_min:g} m/min, {found.kind}): "
        "a limit, not a target. Seats are cut slowly."
    )
    return SpeedLimit(not_above_rpm=limit, surface=found, sentence=sentence)
