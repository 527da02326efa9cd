"""Work of one's own: lines by stone size and metal, and what is no whole setting by its name."""

from tests.builders import an_attempt, some_course

from platebook.analysis.grades.own_work import NotWhole, all_settings, not_whole, own_work

COURSE = some_course()


def test_nothing_logged_has_no_line() -> None:
    """No stone is made up."""
    assert own_work(COURSE, all_settings(COURSE, [])) == ()
    assert not_whole([], 0) == NotWhole(parts=0, blocks=0, not_judged=0)


def test_lines_are_by_stone_size_and_metal_the_most_practised_first() -> None:
    """A tenth of a millimetre and a metal make a kind; what is not noted is said."""
    log = [
        an_attempt(grade=None, stone_diameter_mm=5.02, metal="18k gold"),
        *[an_attempt(grade=None, stone_diameter_mm=3.0, metal="18k gold")] * 3,
        an_attempt(grade="another-course-1", stone_diameter_mm=4.98, metal="18k gold"),
        an_attempt(grade=None, stone_diameter_mm=None, metal=None, result=("loose",)),
        an_attempt(grade="copper-2.0"),
    ]
    lines = own_work(COURSE, all_settings(COURSE, log))
    assert [(line.title, line.good, line.attempts) for line in lines] == [
        ("3.0 mm in 18k gold", 3, 3),
        ("5.0 mm in 18k gold", 2, 2),
        ("stone not noted, metal not noted", 0, 1),
    ]
    assert [(line.stone_mm, line.metal) for line in lines[:1]] == [(3.0, "18k gold")]


def test_every_attempt_is_a_whole_setting_or_named() -> None:
    """A part, one in a block, and one without a verdict."""
    log = [
        an_attempt(grade="copper-2.0"),
        an_attempt(kind="part", part="width"),
        an_attempt(kind="block", block="b1"),
        an_attempt(result=None),
    ]
    others = not_whole(log, len(all_settings(COURSE, log)))
    assert others == NotWhole(parts=1, blocks=1, not_judged=1)
    assert others.total == 3
