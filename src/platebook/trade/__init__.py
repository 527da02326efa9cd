"""Facts and geometry: gauges, tools and drawer, stones, seat, sizing, hand, measuring, cautions.

`size` answers for one stone and sheet; `Stone`, `Sheet`, `Drawer`, `Tool` and `Hand` are what it is
asked with, `SetUpSheet` what it answers with. Lengths are millimetres throughout.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from platebook.trade.drawer import Drawer, Tool
    from platebook.trade.faults import Fault, TradeError, check_sheet, check_stone
    from platebook.trade.hand import Hand, HandForShape
    from platebook.trade.setup_sheet import SetUpSheet
    from platebook.trade.sheet import Sheet
    from platebook.trade.sizing import size
    from platebook.trade.stone import Stone

__all__ = [
    "Drawer",
    "Fault",
    "Hand",
    "HandForShape",
    "SetUpSheet",
    "Sheet",
    "Stone",
    "Tool",
    "TradeError",
    "check_sheet",
    "check_stone",
    "size",
]

_ROOMS = {
    "Drawer": "drawer",
    "Fault": "faults",
    "Hand": "hand",
    "HandForShape": "hand",
    "SetUpSheet": "setup_sheet",
    "Sheet": "sheet",
    "Stone": "stone",
    "Tool": "drawer",
    "TradeError": "faults",
    "check_sheet": "faults",
    "check_stone": "faults",
    "size": "sizing",
}


def __getattr__(name: str) -> Any:
    """Loads a public name from its room when it is first asked for."""
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_ROOMS[name]}"), name)
