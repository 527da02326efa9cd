"""From the measured values behind a finding to a chart: who showed it above, the others below.

Seven lines of text hold it: three a group and one free between them.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from platebook.tui.widgets.plot import Chart, Series

if TYPE_CHECKING:
    from platebook.analysis.raw_values import RawValues

LINES = 3
FLOORS = (4.0, 0.0)
LIMITS = (-0.3, 6.5)
COLOURS = ("warning", "success")
SIGNS = ("x", "+")
PLACES = 30
"""Heaps across: about one a column of the plot at 80 columns."""
BLOCKS = " ▁▂▃▄▅▆▇█"
EIGHTHS = len(BLOCKS) - 1
STROKES = 12
"""Points across a bar, enough to leave no gap where there is room for wide ones."""
CLOSE = 0.15
"""Labels nearer together than this share of the axis would run into each other."""

Heaps = tuple[tuple[float, int], ...]
"""Middle and number of values of each heap, from left to right."""


def values_chart(values: "RawValues", says: str) -> Chart:
    """Heaps of values, with a line where the counts are cut; `says` is the same in one sentence.

    A few measured values are a sign each. More are bars, as high as their share of their own
    group, both groups by one measure. A choice with an order has a bar a choice, by its number.
    """
    every = (*values.showed, *values.others, *values.cuts) or (0.0,)
    low, high = min(every), max(every)
    margin = 0.5 if values.names else (high - low) * 0.04 or 0.5
    limits = (low - margin, high + margin)
    width = 1.0 if values.names else (limits[1] - limits[0]) / PLACES
    groups = [_heaps(group, limits[0], width) for _, group in values.sides]
    few = not values.names and all(n <= LINES for heaps in groups for _, n in heaps)
    drawn = _single(groups) if few else _bars(groups, width * 0.7)
    cuts = [Series((c, c), LIMITS, "│", joined=True, colour="muted") for c in values.cuts]
    sides = zip(FLOORS, SIGNS, values.sides, strict=True)
    labels = [(f, f"{word} {s if few else len(group)}") for f, s, (word, group) in sides]
    kind = f"{SIGNS[0]} and {SIGNS[1]}: one each" if few else "share of each group"
    return Chart(
        series=(*cuts, *drawn),
        x_ticks=_ticks(values, low, high),
        y_ticks=tuple((floor + 1.0, label) for floor, label in labels),
        x_limits=limits,
        y_limits=LIMITS,
        x_label=f"{values.unit}   ({kind})" if values.unit else f"({kind})",
        says=says,
    )


def _heaps(group: Iterable[float], left: float, width: float) -> Heaps:
    # A millionth more keeps a value that lies on a border of two heaps with its equals.
    counts = Counter(int((value - left) / width + 1e-6) for value in group)
    return tuple((left + (place + 0.5) * width, n) for place, n in sorted(counts.items()))


def _single(groups: Sequence[Heaps]) -> list[Series]:
    found = []
    for floor, sign, colour, heaps in zip(FLOORS, SIGNS, COLOURS, groups, strict=True):
        xs = tuple(x for x, n in heaps for _ in range(n))
        ys = tuple(floor + level for _, n in heaps for level in range(n))
        found.append(Series(xs, ys, sign, colour=colour))
    return found


def _bars(groups: Sequence[Heaps], wide: float) -> list[Series]:
    """Bars of block signs, to an eighth of a line; the highest share of all fills its lines."""
    sizes = [sum(n for _, n in heaps) for heaps in groups]
    highest = max(n / of for heaps, of in zip(groups, sizes, strict=True) for _, n in heaps)
    found = []
    for floor, colour, heaps, of in zip(FLOORS, COLOURS, groups, sizes, strict=True):
        for x, n in heaps:
            eighths = max(round(LINES * EIGHTHS * n / of / highest), 1)
            across = tuple(x + wide * (i / (STROKES - 1) - 0.5) for i in range(STROKES))
            for level in range(-(-eighths // EIGHTHS)):
                block = BLOCKS[min(eighths - level * EIGHTHS, EIGHTHS)]
                found.append(Series(across, (floor + level,) * STROKES, block, colour=colour))
    return found


def _ticks(values: "RawValues", low: float, high: float) -> tuple[tuple[float, str], ...]:
    """The choices by number; else the cut first of all, then the ends where there is room."""
    if values.names:
        return tuple((rank, f"{rank:g}") for rank, _ in values.names if low <= rank <= high)
    kept: list[float] = []
    for place in (*values.cuts, low, high):
        if all(abs(place - other) > CLOSE * (high - low) for other in kept):
            kept.append(place)
    return tuple((place, values.said(place)) for place in sorted(kept))


def key_line(values: "RawValues") -> str:
    """What the numbers of a choice mean: "1 will not enter, 2 …"; empty for measured values."""
    return ", ".join(f"{rank:g} {word}" for rank, word in values.names)
