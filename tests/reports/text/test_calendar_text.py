"""The calendar in words: a line a period, months beside months of other years."""

import re
from datetime import date, timedelta

from tests.builders import an_attempt, some_course

from platebook.analysis.grades.progress import Progress, progress
from platebook.analysis.periods.calendar import Calendar, calendar
from platebook.reports.text.calendar_text import calendar_lines, years_beside

COURSE = some_course()


def _progress(*evenings: tuple[int, str]) -> Progress:
    began = an_attempt().began
    assert began is not None
    return progress(
        COURSE,
        [
            an_attempt(
                attempt_id=f"a{days}-{n}",
                grade="copper-2.0",
                began=began + timedelta(days=days, minutes=9 * n),
                result=("good",) if sign == "+" else ("loose",),
            )
            for days, signs in evenings
            for n, sign in enumerate(signs)
        ],
    )


def _months(*evenings: tuple[int, str]) -> Calendar:
    return calendar(_progress(*evenings).together, "month")


def test_a_line_a_month_with_its_interval_and_the_longest_row() -> None:
    """February 2026 had 3 of 4 good in two evenings, March none."""
    lines = calendar_lines(_months((0, "++"), (7, "-+"), (60, "+")))
    assert lines[0] == (
        "All whole settings by month; then: how many of 100 came out good at its end."
    )
    assert lines[2].startswith("Feb 2026  2         3 of 4       75 (30 to 95)    ######    ")
    assert re.fullmatch(r"\d+ \(\d+ to \d+\)", lines[2][60:])
    assert lines[3] == "Mar 2026            no practice"
    assert lines[-1] == "Longest row of good ones: 2, 3 February 2026."
    assert all(len(line) <= 80 for line in lines)


def test_nothing_dated_is_said() -> None:
    """Since a day that is named."""
    empty = calendar(_progress().together, "month", since=date(2025, 9, 1))
    assert calendar_lines(empty) == ("No dated whole setting since 1 September 2025.",)


def test_years_stand_beside_each_other() -> None:
    """February of two years, April of one, and the years."""
    months = _months((0, "++-"), (60, "+"), (365, "++++")).periods
    assert years_beside(months) == (
        ("month", "2026", "2027"),
        ("Feb", "2/3 67", "4/4 100"),
        ("Apr", "1/1 100", ""),
        ("year", "3/4 75", "4/4 100"),
    )
    assert years_beside(()) == ()
