"""From findings and grades to charts; each says the same in one sentence."""

from typing import TYPE_CHECKING

from platebook.analysis.grades.share_good import share_words
from platebook.tui.plot import Chart, Series
from platebook.tui.text import fit, line

if TYPE_CHECKING:
    from platebook.analysis.findings.pictures import Level, Picture
    from platebook.analysis.findings.results import ClockPattern
    from platebook.analysis.grades.progress import GradeProgress


SHARES = ((0.0, "0"), (0.25, "25"), (0.5, "50"), (0.75, "75"), (1.0, "100"))
LONGEST_LABEL = 22
MOST_TICKS = 6


def picture_chart(picture: "Picture") -> Chart:
    """Level by level the share that showed it with its 95 % interval, or each reading as a point.

    The levels stand under each other by their names, with their counts, and a line lies where the
    finding's sentence parts them.
    """
    levels, parted = picture.levels, picture.parted
    units = len(levels) + len(parted)
    low, high = picture.reach
    series: list[Series] = []
    ticks: list[tuple[float, str]] = []
    place = units + 0.5
    for number, level in enumerate(levels):
        if number in parted:
            place -= 1
            series.append(Series((low, high), (place, place), "·", joined=True, colour="warning"))
        place -= 1
        series += _level_series(picture, level, place)
        ticks.append((place, _level_label(level)))
    return Chart(
        series=tuple(series),
        x_ticks=picture.scale,
        y_ticks=tuple(ticks),
        x_limits=(low, high),
        y_limits=(0.0, units + 0.5),
        x_label=picture.axis,
        says=levels_line(picture),
    )


def _level_series(picture: "Picture", level: "Level", place: float) -> list[Series]:
    colour = "accent" if level.inside else "muted"
    if picture.response:
        return [Series(level.points, (place,) * len(level.points), "•", colour=colour)]
    whisker = Series((level.low, level.high), (place, place), "─", joined=True, colour="muted")
    return [whisker, Series((level.share,), (place,), "●", colour=colour)]


def _level_label(level: "Level") -> str:
    """The name, cut where it is long, and the counts."""
    counts = f"{level.failed}/{level.of}"
    name = line(level.name)
    return f"{fit(name, min(len(name), LONGEST_LABEL - len(counts) - 1))} {counts}"


def levels_line(picture: "Picture") -> str:
    """What the picture shows, level by level: "above 0.05 mm: 7 of 10, 40 to 89 in 100"."""
    return "; ".join(
        f"{level.name}: {level.failed} of {level.of}, {_span(level.low, level.high)} in 100"
        for level in picture.levels
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
