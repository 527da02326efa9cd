"""Practice and what it used, in words that are checked against counts by hand."""

from tests.builders import a_setter_line

from platebook.analysis.periods.practice_by_week import Practice, Used, Week
from platebook.reports.text.class_text import MOST, practice_line, sign_off_due, used_lines

RECENT = True
WEEKS = tuple(Week(f"2026-02-{day:02}", count, 1) for day, count in ((2, 3), (9, 0), (16, 6)))


def test_the_weeks_stand_in_their_order_with_the_mean() -> None:
    """Oldest first; without a dated attempt it says so."""
    recent = Practice(WEEKS, RECENT, 3.0, (), ())
    assert practice_line(recent) == "3.0 attempts a week; last 3 weeks: 3 0 6"
    past = Practice(WEEKS, not RECENT, 3.0, (), ())
    line = "3.0 attempts a week; none lately; 3 weeks to 22 Feb 2026: 3 0 6"
    assert practice_line(past) == line
    assert practice_line(Practice(WEEKS, RECENT, None, (), ())) == "No dated practice yet."


def test_stones_and_burs_have_a_line_each() -> None:
    """Nothing is said of what nobody noted."""
    some = Practice(WEEKS, RECENT, 3.0, (Used("1.5 mm", 4), Used("2.0 mm", 5)), ())
    assert used_lines(some) == ("stones used: 1.5 mm × 4, 2.0 mm × 5",)


def test_of_many_kinds_the_rest_is_counted() -> None:
    """The six most used stand by name, in their own order; none is lost in the sum."""
    burs = tuple(Used(f"{n}", n) for n in range(1, MOST + 3))
    (line,) = used_lines(Practice(WEEKS, RECENT, 3.0, (), burs))
    assert line == "seats cut by bur: 3 × 3, 4 × 4, 5 × 5, 6 × 6, 7 × 7, 8 × 8, others × 3"


def test_a_grade_that_waits_is_told_once() -> None:
    """Worked at still, its state says so already; only another one is told beside it."""
    here, other = "1.75 mm in brass", "2.0 mm in copper"
    waiting = a_setter_line(grade=here, state="to be signed off", sign_off="b", sign_off_title=here)
    assert sign_off_due(waiting) == ""
    before = a_setter_line(grade=here, sign_off="a", sign_off_title=other)
    assert sign_off_due(before) == "; 2.0 mm in copper waits for a sign-off"
    assert sign_off_due(a_setter_line()) == ""
