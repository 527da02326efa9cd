"""Readings are asked by grade and by lot, never by result."""

from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice.suggestion import SHARE, drawn, readings_asked

COURSE = two_track_course()
PASSED = evenings("+" * 11)


def test_a_grade_being_learned_always_asks() -> None:
    """Until the grade is passed every attempt's readings are asked."""
    assert all(
        readings_asked(COURSE, evenings("+" * n), grade="copper-1.5", seed=seed)
        for n in range(11)
        for seed in range(5)
    )


def test_a_block_and_a_part_always_ask() -> None:
    """A block at a passed grade still asks."""
    for seed in range(20):
        assert readings_asked(COURSE, PASSED, grade="copper-1.5", kind="block", seed=seed)
        assert readings_asked(COURSE, PASSED, grade="copper-1.5", kind="part", seed=seed)


def test_no_grade_counts_as_learning() -> None:
    """Without a grade of the course everything is asked."""
    assert readings_asked(COURSE, PASSED, grade=None)
    assert readings_asked(COURSE, PASSED, grade="elsewhere")


def test_a_passed_grade_asks_a_third_by_lot() -> None:
    """Over 3000 draws the share is a third within three standard errors (0.026)."""
    asked = [drawn(20260101, n) for n in range(3000)]
    assert abs(sum(asked) / 3000 - SHARE) < 0.026


def test_the_lot_does_not_depend_on_the_results() -> None:
    """The same number of attempts and seed asks alike, however the last one came out."""
    for seed in range(40):
        good = readings_asked(COURSE, [*PASSED, *evenings("+", start=11)], grade="copper-1.5")
        bad = readings_asked(COURSE, [*PASSED, *evenings("-", start=11)], grade="copper-1.5")
        assert good == bad
        once = readings_asked(COURSE, PASSED, grade="copper-1.5", seed=seed)
        assert once == drawn(seed, 11)
