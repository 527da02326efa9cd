"""Facts and geometry: gauges, tools and drawer, stones, seat, sizing, hand, measuring, cautions.

`size` answers for one stone and sheet; `Stone`, `Sheet`, `Drawer`, `Tool` and `Hand` are what it is
asked with, `SetUpSheet` what it answers with. Lengths are millimetres throughout.
"""

from typing import TYPE_CHECKING

from platebook.lazy_names import lazy_names

if TYPE_CHECKING:
    from platebook.trade.records import Drawer, Hand, HandForShape, Sheet, Stone, Tool
    from platebook.trade.setup_sheet import SetUpSheet
    from platebook.trade.sizing import size
    from platebook.trade.validation import Fault, TradeError, check_sheet, check_stone

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
    "Drawer": "records",
    "Fault": "validation",
    "Hand": "records",
    "HandForShape": "records",
    "SetUpSheet": "setup_sheet",
    "Sheet": "records",
    "Stone": "records",
    "Tool": "records",
    "TradeError": "validation",
    "check_sheet": "validation",
    "check_stone": "validation",
    "size": "sizing",
}

__getattr__ = lazy_names(__name__, _ROOMS)
