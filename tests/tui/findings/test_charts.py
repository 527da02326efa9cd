"""The picture of a finding: every level in it by name, with its counts, and the parting line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.analysis.findings.telling.pictures import Level, Picture
from platebook.analysis.models.intervals import wilson
from platebook.tui.findings.charts import beside_picture, levels_line, picture_chart
from platebook.tui.parts.plot import draw


def _level(name: str, failed: int, of: int, *points: float, inside: bool = False) -> Level:
    return Level(name, failed, of, *wilson(failed, of), inside=inside, points=points)


RUNOUT = Picture(
    "runout",
    "loose",
    (
        _level("none seen", 2, 30),
        _level("slight", 4, 12, inside=True),
        _level("clear", 5, 8, inside=True),
    ),
)


def plotted(picture: Picture, width: int = 44, height: int = 11) -> list[str]:
    """The plot as lines of text."""
    return draw(picture_chart(picture), width, height, lambda _: (200, 200, 200)).plain.split("\n")


def test_levels_stand_under_their_names_with_their_counts() -> None:
    """From the first to the last, each with its point and its interval."""
    lines = plotted(RUNOUT)
    counts = ("2 of 30", "4 of 12", "5 of 8")
    rows = [n for n, line in enumerate(lines) if any(m in line for m in counts)]
    assert len(rows) == 3
    assert rows == sorted(rows)
    assert all("●" in lines[row] and "─" in lines[row] for row in rows)
    assert "none seen: 2 of 30" in lines[rows[0]]
    assert "loose in 100" in "\n".join(lines)


def test_the_parting_line_lies_between_the_levels_it_parts() -> None:
    """Between none seen and slight, and nowhere else."""
    lines = plotted(RUNOUT)
    dotted = [n for n, line in enumerate(lines) if line.count("·") > 10]
    first, second = (
        next(n for n, line in enumerate(lines) if counts in line)
        for counts in ("2 of 30", "4 of 12")
    )
    assert len(dotted) == 1
    assert first < dotted[0] < second


def test_each_reading_is_a_point_at_its_level() -> None:
    """A measured response has its own axis, and no shares."""
    picture = Picture(
        "fit_checks",
        "high",
        (_level("0", 3, 9, 0.02, 0.05, 0.09, inside=True), _level("1-2", 0, 9, -0.03, 0.0)),
        response="table height",
        unit="mm",
    )
    text = "\n".join(plotted(picture))
    assert text.count("•") == 5
    assert "table height, mm" in text


def test_beside_the_picture_no_count_is_said_again() -> None:
    """What it draws without a number is: where each share may be."""
    assert beside_picture(RUNOUT) == (
        "none seen: may be 2 to 21 in 100; slight: may be 14 to 61 in 100; "
        "clear: may be 31 to 86 in 100"
    )


def test_the_same_is_said_in_words() -> None:
    """Where there is no room for a picture."""
    assert levels_line(RUNOUT) == (
        "none seen: 2 of 30, may be 2 to 21 in 100; slight: 4 of 12, may be 14 to 61 in 100; "
        "clear: 5 of 8, may be 31 to 86 in 100"
    )


@pytest.mark.parametrize("levels", [(), (_level("only", 0, 1),), (_level("x" * 60, 5, 5),) * 8])
def test_few_and_many_levels_are_drawn(levels: tuple[Level, ...]) -> None:
    """None at all, one, or more than there are lines: a plot each time, never a fault."""
    assert len(plotted(Picture("runout", "any", levels))) == 11


@given(
    st.lists(
        st.tuples(st.integers(0, 9), st.integers(1, 9), st.lists(st.floats(-1, 1)), st.booleans()),
        max_size=6,
    ),
    st.sampled_from(["", "overcut"]),
)
def test_nothing_is_drawn_outside(
    rows: list[tuple[int, int, list[float], bool]], response: str
) -> None:
    """Each point and each line lies between the ends of the axes."""
    levels = tuple(
        _level("level", min(k, of), of, *points, inside=inside) for k, of, points, inside in rows
    )
    chart = picture_chart(Picture("runout", "any", levels, response))
    (low, high), (bottom, top) = chart.x_limits, chart.y_limits
    for series in chart.series:
        assert all(low <= x <= high for x in series.xs)
        assert all(bottom <= y <= top for y in series.ys)
