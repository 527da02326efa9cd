"""From findings, grades and measured values to charts; each says the same in one sentence.

Seven lines of text hold it: three a group and one free between them.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import takewhile
from typing import TYPE_CHECKING

from platebook.analysis.grades.share_good import share_words
from platebook.tui.plot import Chart, Series
from platebook.tui.text import fit, line

if TYPE_CHECKING:
    from platebook.analysis.findings.cutoffs import RawValues
    from platebook.analysis.findings.results import ClockPattern, Finding
    from platebook.analysis.grades.progress import GradeProgress


SHARES = ((0.0, "0"), (0.25, "25"), (0.5, "50"), (0.75, "75"), (1.0, "100"))
LONGEST_LABEL = 22
MOST_TICKS = 6


def finding_chart(finding: "Finding") -> Chart:
    """The failed share on each side of a finding, each with its 95 % interval."""
    from platebook.analysis.models.intervals import wilson

    counts = [count for count in finding.counts if count.of]
    places = range(len(counts), 0, -1)
    shared = _shared_words([line(count.label) for count in counts])
    series: list[Series] = []
    ticks: list[tuple[float, str]] = []
    for place, count in zip(places, counts, strict=True):
        interval = wilson(count.failed, count.of)
        whisker = (interval.low, interval.high)
        series.append(Series(whisker, (place, place), "─", joined=True, colour="muted"))
        series.append(Series((count.failed / count.of,), (place,), "dot"))
        label = line(count.label)[shared:]
        ticks.append((place, fit(label, min(len(label), LONGEST_LABEL))))
    return Chart(
        series=tuple(series),
        x_ticks=SHARES,
        y_ticks=tuple(ticks),
        x_limits=(0.0, 1.0),
        y_limits=(0.5, len(counts) + 0.5),
        x_label="failed, of 100, with 95 % interval",
        says=counts_line(finding),
    )


def _shared_words(labels: list[str]) -> int:
    """How many characters of whole words all labels begin with; none of it tells them apart."""
    if len(labels) < 2:
        return 0
    alike = takewhile(
        lambda words: len(set(words)) == 1, zip(*map(str.split, labels), strict=False)
    )
    return sum(len(words[0]) + 1 for words in alike)


def counts_line(finding: "Finding") -> str:
    """What the plot of a finding shows: "above 0.05 mm: 7 of 10 failed, 40 to 89 in 100"."""
    from platebook.analysis.models.intervals import wilson

    sides = ((c, wilson(c.failed, c.of)) for c in finding.counts)
    return "; ".join(
        f"{c.label}: {c.failed} of {c.of} failed, {_span(i.low, i.high)} in 100" for c, i in sides
    )


def clock_chart(pattern: "ClockPattern") -> Chart:
    """How many lay at each hour, those of the told arc in the accent colour."""
    arc = {(pattern.first - 1 + step) % 12 + 1 for step in range(3)}
    most = max(pattern.by_hour)
    series = tuple(
        Series(
            (hour, hour),
            (0.0, float(count)),
            "█",
            joined=True,
            colour="accent" if hour in arc else "muted",
        )
        for hour, count in enumerate(pattern.by_hour, start=1)
        if count
    )
    return Chart(
        series=series,
        x_ticks=tuple((float(hour), str(hour)) for hour in range(1, 13)),
        y_ticks=tuple((float(n), str(n)) for n in sorted({0, most})),
        x_limits=(0.5, 12.5),
        y_limits=(0.0, most + 0.5),
        x_label="o'clock on the rim, 12 at the notch",
        says=clock_line(pattern),
    )


def clock_line(pattern: "ClockPattern") -> str:
    """The counts of the hours that have any: "3 o'clock 2, 4 o'clock 5"."""
    return ", ".join(
        f"{hour} o'clock {count}" for hour, count in enumerate(pattern.by_hour, start=1) if count
    )


def curve_chart(grade: "GradeProgress") -> Chart:
    """The success curve of one grade with its band, good and failed settings above and below it."""
    numbers = tuple(float(step.number) for step in grade.curve)
    last = max(int(numbers[-1]) if numbers else 1, 2)
    good = tuple(float(s.number) for s in grade.curve if s.good)
    failed = tuple(float(s.number) for s in grade.curve if not s.good)
    return Chart(
        series=(
            _line(numbers, [s.low for s in grade.curve], "muted"),
            _line(numbers, [s.high for s in grade.curve], "muted"),
            _line(numbers, [s.rate for s in grade.curve], "accent"),
            Series(good, (1.0,) * len(good), "+", colour="success"),
            Series(failed, (0.0,) * len(failed), "x", colour="warning"),
        ),
        x_ticks=tuple((float(t), str(t)) for t in _steps(last)),
        y_ticks=SHARES,
        x_limits=(1.0, float(last)),
        y_limits=(-0.05, 1.05),
        x_label="setting   (+ good, x failed; good of 100, with 95 % band)",
        says=now_line(grade),
    )


def now_line(grade: "GradeProgress") -> str:
    """Where a grade stands now: "72 in 100 come out good now (51 to 87)"."""
    words = share_words(grade.now, grade.now_low, grade.now_high)
    return words or "nothing set at this grade yet"


def all_line(grade: "GradeProgress") -> str:
    """All settings of a grade: "21 of 30 good, 70 in 100 (52 to 83)"."""
    if grade.rate is None or grade.low is None or grade.high is None:
        return f"{grade.good} of {grade.attempts} good"
    share = f"{_hundred(grade.rate)} in 100 ({_span(grade.low, grade.high)})"
    return f"{grade.good} of {grade.attempts} good, {share}"


def _line(xs: tuple[float, ...], ys: list[float], colour: str) -> Series:
    return Series(xs, tuple(ys), "braille", joined=True, colour=colour)


def _hundred(share: float) -> int:
    return round(share * 100)


def _span(low: float, high: float) -> str:
    return f"{_hundred(low)} to {_hundred(high)}"


def _steps(last: int) -> list[int]:
    width = max(-(-(last - 1) // (MOST_TICKS - 1)), 1)
    return [1, *range(1 + width, last + 1, width)]


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
    series = []
    for floor, sign, colour, heaps in zip(FLOORS, SIGNS, COLOURS, groups, strict=True):
        xs = tuple(x for x, n in heaps for _ in range(n))
        ys = tuple(floor + level for _, n in heaps for level in range(n))
        series.append(Series(xs, ys, sign, colour=colour))
    return series


def _bars(groups: Sequence[Heaps], wide: float) -> list[Series]:
    """Bars of block signs, to an eighth of a line; the highest share of all fills its lines."""
    sizes = [sum(n for _, n in heaps) for heaps in groups]
    highest = max(n / of for heaps, of in zip(groups, sizes, strict=True) for _, n in heaps)
    series = []
    for floor, colour, heaps, of in zip(FLOORS, COLOURS, groups, sizes, strict=True):
        for x, n in heaps:
            eighths = max(round(LINES * EIGHTHS * n / of / highest), 1)
            across = tuple(x + wide * (i / (STROKES - 1) - 0.5) for i in range(STROKES))
            for level in range(-(-eighths // EIGHTHS)):
                block = BLOCKS[min(eighths - level * EIGHTHS, EIGHTHS)]
                series.append(Series(across, (floor + level,) * STROKES, block, colour=colour))
    return series


def _ticks(values: "RawValues", low: float, high: float) -> tuple[tuple[float, str], ...]:
    """The choices by number; else the cut first of all, then the ends where there is room."""
    if values.names:
        return tuple((rank, f"{rank:g}") for rank, _ in values.names if low <= rank <= high)
    kept: list[float] = []
    for place in (*values.cuts, low, high):
        if all(abs(place - other) > CLOSE * (high - low) for other in kept):
            kept.append(place)
    return tuple((place, values.value_text(place)) for place in sorted(kept))


def key_line(values: "RawValues") -> str:
    """What the numbers of a choice mean: "1 will not enter, 2 …"; empty for measured values."""
    return ", ".join(f"{rank:g} {word}" for rank, word in values.names)
