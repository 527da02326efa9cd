"""A plot in a terminal: in exactly its room, whatever numbers it is handed."""

import pytest
from textual.app import App, ComposeResult

from platebook.tui.parts.plot import Chart, Plot, Series, draw
from platebook.tui.parts.theme import BENCH
from platebook.values import replace

CHART = Chart(
    series=(Series((0.0, 1.0, 2.0), (0.0, 0.5, 1.0), joined=True),),
    x_ticks=((0.0, "0"), (2.0, "2")),
    y_ticks=((0.0, "low"), (1.0, "high")),
    x_limits=(0.0, 2.0),
    y_limits=(0.0, 1.0),
    says="It rises from 0 to 1.",
)


class OnePlot(App[None]):
    """A plot that fills its screen."""

    def compose(self) -> ComposeResult:
        """The plot."""
        yield Plot()


@pytest.mark.parametrize("size", [(24, 6), (60, 12), (100, 30)])
def test_a_chart_has_exactly_its_room(size: tuple[int, int]) -> None:
    """Labels, frame and all."""
    lines = draw(CHART, *size, lambda _: (200, 200, 200)).plain.splitlines()
    assert len(lines) == size[1]
    assert max(map(len, lines)) <= size[0]
    assert any("high" in text for text in lines)


def test_numbers_that_are_none_are_left_out() -> None:
    """Infinite and missing values draw nothing, and end nothing."""
    strange = Series((0.0, float("nan"), 2.0), (float("inf"), 0.5, float("-inf")))
    drawn = [
        draw(replace(CHART, series=series), 40, 10, lambda _: (9, 9, 9)).plain
        for series in ((strange,), ())
    ]
    assert drawn[0] == drawn[1]


@pytest.mark.parametrize(("size", "lines"), [((20, 10), 1), ((60, 4), 1), ((60, 12), 12)])
async def test_without_room_the_sentence_says_it(size: tuple[int, int], lines: int) -> None:
    """A plot too small to be read gives way to its sentence."""
    app = OnePlot()
    app.register_theme(BENCH)
    app.theme = BENCH.name
    async with app.run_test(size=size):
        plot = app.query_one(Plot)
        plot.chart = CHART
        shown = str(plot.render())
        assert len(shown.splitlines()) == lines
        assert (shown == CHART.says) is (lines == 1)
