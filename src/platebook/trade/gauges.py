"""Brown & Sharpe sheet and wire gauges, by the formula of ASTM B258.

The Stubs steel wire gauge is a different scale; number drills are in `drills`.
"""

_THINNEST = 40
_MM_AT_36 = 0.127
_STEPS = 39


def gauges() -> tuple[int, ...]:
    """Gauge numbers that sheet is sold in, thickest (1) first."""
    return tuple(range(1, _THINNEST + 1))


def gauge_mm(gauge: int) -> float:
    """Thickness of one gauge in millimetres: 0.127 * 92^((36 - gauge) / 39).

    Raises ValueError for a number outside `gauges()`.
    """
    if not 1 <= gauge <= _THINNEST:
        raise ValueError(f"a gauge from 1 to {_THINNEST}, not {gauge}")
    return float(_MM_AT_36 * 92.0 ** ((36 - gauge) / _STEPS))
