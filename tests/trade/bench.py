"""A bench for tests: burs, a known hand, a customary sheet."""

from platebook.trade import Hand, HandForShape, Sheet, Tool

SHEET_20GA = Sheet(sheet_mm=0.812)


def bur(size_mm: float, shape: str = "setting", **more: int) -> Tool:
    """A seat or opening bur for a drawer."""
    return Tool(kind="bur", shape=shape, size_mm=size_mm, **more)


def hand(overcut_mm: float, spread_mm: float = 0.015, **more: float) -> Hand:
    """A hand known from 24 attempts with setting burs."""
    known = HandForShape(
        shape="setting", overcut_mm=overcut_mm, spread_mm=spread_mm, from_attempts=24, **more
    )
    return Hand(shapes=(known,))
