"""A plot from plotext, in the colours of the theme and without them.

plotext keeps one figure for the whole process, so a plot is built on the app's own thread and kept
by size, theme and data.
"""

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rich.text import Text
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.parts.text import line, txt
from platebook.values import Value

if TYPE_CHECKING:
    from textual.content import Content

LEAST_WIDTH = 24
LEAST_HEIGHT = 6
PAPER = "default"

Colour = tuple[int, int, int] | str


class Series(Value):
    """Points or a line; `marker` is a plotext marker name, `colour` a theme variable."""

    xs: tuple[float, ...]
    ys: tuple[float, ...]
    marker: str = "dot"
    joined: bool = False
    colour: str = "accent"


class Chart(Value):
    """What to plot. Ticks are pairs of place and label; `says` is the same in one sentence."""

    series: tuple[Series, ...]
    x_ticks: tuple[tuple[float, str], ...]
    y_ticks: tuple[tuple[float, str], ...]
    x_limits: tuple[float, float]
    y_limits: tuple[float, float]
    x_label: str = ""
    title: str = ""
    says: str = ""


class Plot(Widget):
    """Draws a chart as large as it has room for; says its sentence where it has none."""

    DEFAULT_CSS = "Plot { height: 1fr; min-height: 3; }"

    chart: reactive[Chart | None] = reactive(None)

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self._drawn_for: tuple[object, ...] = ()
        self._drawn = Text()

    def render(self) -> "Text | Content":
        """The plot, or its sentence where it does not fit."""
        width, height = self.content_size
        if self.chart is None:
            return txt("")
        if width < LEAST_WIDTH or height < LEAST_HEIGHT:
            return txt(self.chart.says)
        wanted = (self.chart, width, height, self.app.theme)
        if wanted != self._drawn_for:
            self._drawn = draw(self.chart, width, height, self._colour)
            self._drawn_for = wanted
        return self._drawn

    def _colour(self, name: str) -> Colour:
        from textual.color import Color

        return Color.parse(self.app.theme_variables[name]).rgb


def draw(chart: Chart, width: int, height: int, colour: Callable[[str], Colour]) -> Text:
    """The chart as text in exactly this many cells."""
    import plotext

    plotext.terminal.limit(False, False)  # noqa: FBT003 - plotext takes no names here
    rule = colour("muted")
    plotext.add_theme("bench", PAPER, (rule, PAPER), [rule], (rule, PAPER))
    figure = plotext.figure
    figure.clear()
    figure.plot_size(width, height)
    figure.theme("bench")
    for series in chart.series:
        _add(plotext, series, colour(series.colour))
    _rule(figure.ruler("x"), chart.x_limits, chart.x_ticks)
    _rule(figure.ruler("y"), chart.y_limits, chart.y_ticks)
    if chart.title:
        figure.title(line(chart.title))
    if chart.x_label:
        figure.label(line(chart.x_label), "x")
    return Text.from_ansi(figure.build().string().rstrip("\n"), no_wrap=True, end="")


def _add(plotext: Any, series: Series, colour: Colour) -> None:
    # plotext refuses infinite numbers and draws what is not a number as if it were one.
    every = zip(series.xs, series.ys, strict=True)
    pairs = [(x, y) for x, y in every if math.isfinite(x) and math.isfinite(y)]
    if not pairs:
        return
    marker = plotext.marker(series.marker, pixel=(colour, PAPER))
    xs, ys = [x for x, _ in pairs], [y for _, y in pairs]
    signal = plotext.figure.signal(xs, ys, marker=marker)
    plotext.figure.draw(signal.lines() if series.joined else signal)


def _rule(ruler: Any, limits: tuple[float, float], ticks: Sequence[tuple[float, str]]) -> None:
    ruler.lim(*limits).ticks([place for place, _ in ticks], [line(label) for _, label in ticks])
