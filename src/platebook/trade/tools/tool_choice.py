"""Which drill and opening bur to take, from the drawer or to buy.

A tool of the drawer is near enough where it lies within its rule's window. One that is not near
enough is named beside the size to buy, never taken silently. The seat bur is chosen by its chances
(`bur_choice`), its speed limit stands in `speeds`.
"""

from collections.abc import Iterable
from decimal import ROUND_HALF_DOWN, Decimal
from typing import Literal

from platebook.trade.lengths import nearest_metric_drill_mm
from platebook.trade.records import Drawer, Stone, Tool
from platebook.trade.rules import RuleBook, RuleOfThumb
from platebook.trade.setup_sheet import ToolChoice

Place = Literal["drawer", "last time", "to buy"]

OPENING_SHAPES = ("ball", "flame")


def name_of(tool: Tool) -> str:
    """A name for a tool that was given none: its size and what it is."""
    size = f"{tool.size_mm:g} mm " if tool.size_mm is not None else ""
    shape = f"{tool.shape} " if tool.shape else ""
    return f"{size}{shape}{tool.kind}"


def to_tenth(mm: float) -> float:
    """A size in whole tenths of a millimetre, as burs are sold; halfway goes to the smaller."""
    return float(Decimal(f"{mm:.6f}").quantize(Decimal("0.1"), ROUND_HALF_DOWN))


def pilot_drill(stone: Stone, drawer: Drawer, book: RuleBook) -> ToolChoice:
    """The pilot drill: the drawer's nearest within the rule's window, else a metric drill."""
    rule = book.rule("pilot")
    target = rule.size_mm(stone.diameter_mm)
    tools = drawer.at_hand("twist drill")
    to_buy = Tool(kind="twist drill", size_mm=nearest_metric_drill_mm(target))
    return _chosen(rule, target, tools, to_buy)


def opening_bur(stone: Stone, drawer: Drawer, seat_bur_mm: float, book: RuleBook) -> ToolChoice:
    """The opening bur: a ball or flame of the drawer smaller than the seat bur, else to buy."""
    rule = book.rule("opening bur")
    target = rule.size_mm(stone.diameter_mm)
    tools = [
        tool
        for tool in drawer.at_hand("bur")
        if tool.shape in OPENING_SHAPES and (tool.size_mm or 0) < seat_bur_mm
    ]
    to_buy = Tool(kind="bur", shape="ball", size_mm=to_tenth(target))
    return _chosen(rule, target, tools, to_buy)


def _chosen(rule: RuleOfThumb, target: float, tools: Iterable[Tool], to_buy: Tool) -> ToolChoice:
    def off(tool: Tool) -> float:
        return round((tool.size_mm or 0) - target, 3)

    nearest = min(tools, key=lambda tool: abs(off(tool)), default=None)
    if nearest is not None and rule.low_mm <= off(nearest) <= rule.high_mm:
        return choice_of(rule, target, nearest, "drawer")
    nearest_mm = nearest.size_mm if nearest is not None else None
    return choice_of(rule, target, to_buy, "to buy", nearest_mm=nearest_mm)


def choice_of(
    rule: RuleOfThumb, target: float, tool: Tool, place: Place, *, nearest_mm: float | None = None
) -> ToolChoice:
    """A tool as it is answered: with its rule's target, its place, and the drawer's nearest."""
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
