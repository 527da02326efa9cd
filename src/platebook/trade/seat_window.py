"""How wide a seat is wanted for a stone, by seat method, all round its rim."""

from platebook.trade.rules import RuleBook
from platebook.trade.stone import Stone

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
