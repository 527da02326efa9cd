"""The plot of measured values: every value is in it, at its place, in signs that need no colour."""

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.builders import clearances, fits_of_failures

from platebook.analysis.findings.cutoffs import RawValues
from platebook.tui.findings.charts import BLOCKS, LINES, key_line, values_chart
from platebook.tui.plot import draw

SOME = clearances((0.02, 0.06, 0.06), (-0.04, 0.0))
FITS = fits_of_failures((3.0,) * 9 + (4.0,), ("snaps", "drops in", "moves"))
LENGTHS = st.lists(st.floats(-0.5, 0.5), max_size=60).map(lambda v: tuple(sorted(v)))


def plotted(values: RawValues, width: int = 44, height: int = 11) -> list[str]:
    """The plot as lines of text."""
    return draw(values_chart(values, ""), width, height, lambda _: (200, 200, 200)).plain.split(
        "\n"
    )


def test_a_few_values_are_a_sign_each() -> None:
    """As many x as showed it, as many + as did not, equal ones heaped up."""
    text = "\n".join(line.split("┤")[-1].split("│", 1)[-1] for line in plotted(SOME)[:9])
    assert (text.count("x"), text.count("+")) == (3, 2)


def test_the_cut_stands_in_the_plot_with_its_number() -> None:
    """A line down the plot, and its value under it."""
    lines = plotted(SOME)
    under = next(line for line in lines if "0.05" in line)
    at = under.index("0.05") + 1
    assert sum("│" in line[at - 2 : at + 3] for line in lines) >= LINES


def test_many_values_are_bars_by_the_share_of_their_group() -> None:
    """Nine of ten fill their lines; two of three fill as much of theirs as that is less."""
    bars = [s for s in values_chart(FITS, "").series if s.marker in BLOCKS]
    full = [s for s in bars if s.marker == BLOCKS[-1] and s.ys[0] < LINES and s.xs[0] < 3.5]
    moves = [s for s in bars if s.ys[0] > LINES and s.xs[0] > 4.5]
    assert len(full) == LINES
    eighths = sum(BLOCKS.index(s.marker) for s in moves)
    assert eighths == round(LINES * 8 * (2 / 3) / 0.9)
    assert key_line(FITS) == "3 snaps, 4 drops in, 5 moves"


@pytest.mark.parametrize(
    ("showed", "others"), [((), (0.1,)), ((0.1,), ()), ((), ()), ((0.2,) * 9, ())]
)
def test_few_and_constant_values_are_drawn(
    showed: tuple[float, ...], others: tuple[float, ...]
) -> None:
    """One value, none at all, all the same: a plot each time, never a fault."""
    values = dataclasses.replace(SOME, showed=showed, others=others, cuts=())
    assert len(plotted(values)) == 11


@given(showed=LENGTHS, others=LENGTHS)
def test_nothing_is_drawn_outside_and_nothing_is_left_out(
    showed: tuple[float, ...], others: tuple[float, ...]
) -> None:
    """Each value has its sign or its bar between the ends of the axis."""
    chart = values_chart(dataclasses.replace(SOME, showed=showed, others=others, cuts=()), "")
    (low, high), (bottom, top) = chart.x_limits, chart.y_limits
    for series in chart.series:
        assert all(low <= x <= high for x in series.xs)
        assert all(bottom <= y <= top for y in series.ys)
    single = sum(len(s.xs) for s in chart.series if s.marker in "x+")
    bars = [s for s in chart.series if s.marker in BLOCKS]
    assert bool(bars) or single == len(showed) + len(others)
