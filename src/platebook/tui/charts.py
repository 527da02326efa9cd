"""From a finding or a grade to a chart; each chart says the same in one sentence."""

from itertools import takewhile
from typing import TYPE_CHECKING

from platebook.tui.text import fitted, line
from platebook.tui.widgets.plot import Chart, Series

if TYPE_CHECKING:
    from platebook.analysis.findings import ClockPattern, Finding
    from platebook.analysis.progress import GradeProgress

SHARES = ((0.0, "0"), (0.25, "25"), (0.5, "50"), (0.75, "75"), (1.0, "100"))
LONGEST_LABEL = 22
MOST_TICKS = 6


def finding_chart(finding: "Finding") -> Chart:
    """The failed share on each side of a finding, each with its 95 % interval."""
    from platebook.analysis.intervals import wilson

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
        ticks.append((place, fitted(label, min(len(label), LONGEST_LABEL))))
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
    from platebook.analysis.intervals import wilson

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
    """Where a grade stands now: "now 72 in 100 good (51 to 87)"."""
    if grade.now is None or grade.now_low is None or grade.now_high is None:
        return "nothing set at this grade yet"
    return f"now {_hundred(grade.now)} in 100 good ({_span(grade.now_low, grade.now_high)})"


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
