"""The sizes for a grade, for the stone as it was measured last."""

from tests.builders import a_grade, an_attempt

from platebook.services.bench_sizes import sizes_for_grade
from platebook.trade import Drawer, Tool

GRADE = a_grade()


def test_without_a_grade_there_are_no_sizes() -> None:
    """Nothing is guessed."""
    assert sizes_for_grade(None, ()) is None


def test_before_a_stone_was_measured_the_grades_own_size_counts() -> None:
    """A stone of another grade does not."""
    other = an_attempt(grade="copper-1.5", stone_diameter_mm=1.48)
    sizes = sizes_for_grade(GRADE, (other,))
    assert sizes is not None
    assert (sizes.stone.diameter_mm, sizes.sheet.thickness_mm) == (2.0, 0.812)


def test_the_stone_last_measured_at_the_grade_counts() -> None:
    """With all that was measured of it."""
    first = an_attempt(grade=GRADE.id, stone_diameter_mm=1.96)
    last = an_attempt(grade=GRADE.id, stone_diameter_mm=1.97, stone_depth_mm=1.21)
    unmeasured = an_attempt(grade=GRADE.id, stone_diameter_mm=None)
    sizes = sizes_for_grade(GRADE, (first, last, unmeasured))
    assert sizes is not None
    assert (sizes.stone.diameter_mm, sizes.stone.depth_mm) == (1.97, 1.21)


def test_an_impossible_stone_in_the_log_is_passed_over() -> None:
    """A stone of 40 mm was mistyped; the grade's own size is taken."""
    sizes = sizes_for_grade(GRADE, (an_attempt(grade=GRADE.id, stone_diameter_mm=40.0),))
    assert sizes is not None
    assert sizes.stone.diameter_mm == 2.0


def test_a_sheet_outside_the_limits_has_no_sizes() -> None:
    """The course check is the place that tells of it."""
    assert sizes_for_grade(a_grade(sheet_mm=9.0), ()) is None


def test_the_drawers_bur_is_taken() -> None:
    """Where it is near enough."""
    bur = Tool(kind="bur", name="my 1.9", shape="hart", size_mm=1.9)
    sizes = sizes_for_grade(GRADE, (), Drawer(tools=(bur,)))
    assert sizes is not None
    assert (sizes.seat_bur.from_, sizes.seat_bur.tool) == ("drawer", "my 1.9")
