"""From findings to charts; each says the same in one sentence."""

from statistics import median
from typing import TYPE_CHECKING

from platebook.trade.phrases import may_be
from platebook.tui.parts.plot import Chart, Series
from platebook.tui.parts.text import fit, line

if TYPE_CHECKING:
    from platebook.analysis.findings.telling.pictures import Level, Picture
    from platebook.analysis.findings.telling.results import ClockPattern


PICTURE_CELLS = 20
"""What a chart needs beside the names of its levels."""
USUAL_CELLS, ROOM_FOR_FIVE = 50, 60
"""The width that is counted with, and from which all five places of the scale are named."""


def picture_chart(picture: "Picture", cells: int = USUAL_CELLS) -> Chart:
    """Level by level the share that showed it with its 95 % interval, or each reading as a point.

    The levels stand under each other by their names, with their counts, and a line lies where the
    finding's sentence parts them. `cells` is the width that it will be drawn in.
    """
    levels, parted = picture.levels, picture.parted
    units = len(levels) + len(parted)
    low, high = picture.reach
    series: list[Series] = []
    ticks: list[tuple[float, str]] = []
    place, room = units + 0.5, cells - PICTURE_CELLS
    between = " of " if all(len(_label(each, " of ")) <= room for each in levels) else "/"
    for number, level in enumerate(levels):
        if number in parted:
            place -= 1
            series.append(Series((low, high), (place, place), "·", joined=True, colour="warning"))
        place -= 1
        series += _level_series(picture, level, place)
        ticks.append((place, _level_label(picture, level, room, between)))
    return Chart(
        series=tuple(series),
        x_ticks=picture.scale[:: 1 if cells >= ROOM_FOR_FIVE else 2],
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


def _label(level: "Level", between: str) -> str:
    return f"{line(level.name)}: {level.failed}{between}{level.of}"


def _level_label(picture: "Picture", level: "Level", room: int, between: str) -> str:
    """The name and how many; a name that is too long ends at a word where it can.

    `between` is "of", or where the names leave no room for that a stroke.
    """
    counts = f"{level.failed}{between}{level.of}"
    if picture.response:
        counts = str(len(level.points))
    name, left = line(level.name), room - len(counts) - 2
    while len(name) > left and " " in name:
        name = name.rpartition(" ")[0]
    return f"{fit(name, max(min(len(name), left), 1))}: {counts}"


def levels_line(picture: "Picture") -> str:
    """What the picture shows, level by level: "above 0.05 mm: 7 of 10, may be 40 to 89 in 100".

    Of readings how many there are and the middle one: "3-5: 13 measured, the middle one 0.04 mm".
    """
    if picture.response:
        return "; ".join(
            f"{level.name}: {len(level.points)} measured{_middle(level, picture.unit)}"
            for level in picture.levels
        )
    return "; ".join(
        f"{level.name}: {level.failed} of {level.of}, {may_be(level.low, level.high)} in 100"
        for level in picture.levels
    )


def beside_picture(picture: "Picture") -> str:
    """What the picture draws without a number: "above 0.05 mm: may be 40 to 89 in 100"."""
    if picture.response:
        return levels_line(picture)
    return "; ".join(
        f"{level.name}: {may_be(level.low, level.high)} in 100" for level in picture.levels
    )


def _middle(level: "Level", unit: str) -> str:
    if not level.points:
        return ""
    from platebook.analysis.findings.asking.cutoffs import number_text

    return f", the middle one {number_text(median(level.points), 2, unit)}"


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
