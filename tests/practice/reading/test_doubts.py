"""What can hardly be so: a stone of another grade, a fit that no such seat can have."""

import pytest
from tests.builders import a_grade, an_attempt, some_course

from platebook.practice.reading.doubts import Doubt, doubts_about, seat_limits

GRADES = some_course().grades


def about(**values: object) -> tuple[Doubt, ...]:
    """The doubts about an attempt at 2.0 mm in copper with a 1.9 mm bur."""
    return doubts_about(an_attempt(grade="copper-2.0", **values), GRADES)


@pytest.mark.parametrize("stone_mm", [1.9, 1.98, 2.0, 2.1, None])
def test_a_stone_of_the_grade_raises_no_doubt(stone_mm: float | None) -> None:
    """Within 0.1 mm, as where a grade is proposed."""
    assert about(stone_diameter_mm=stone_mm) == ()


def test_a_stone_of_another_grade_is_asked_about_by_its_name() -> None:
    """The question says which grade it is, and the doubt where to log it."""
    (doubt,) = about(stone_diameter_mm=1.48)
    assert (doubt.grade, doubt.question) == (
        "copper-1.5",
        "A stone of 1.48 mm: that is 1.5 mm in copper. Log it there?",
    )


def test_a_stone_that_no_grade_has_is_work_of_ones_own() -> None:
    """There is no grade to log it at."""
    (doubt,) = about(stone_diameter_mm=5.0)
    assert (doubt.about, doubt.grade) == ("stone", "")
    assert doubt.question.endswith("no grade in this metal has 5 mm. Log it as work of your own?")


def test_each_stone_of_a_mixed_row_is_its_own() -> None:
    """None of them is another grade's, though one has that size too."""
    mixed = a_grade("mixed", stones_mm=(1.5, 2.0))
    attempt = an_attempt(grade="mixed", stone_diameter_mm=1.48, seat_bur_mm=1.4)
    assert doubts_about(attempt, (*GRADES, mixed)) == ()


@pytest.mark.parametrize(
    ("stone_mm", "fit", "possible"),
    [
        (1.98, "enters tilted and snaps", True),
        (1.98, "drops in and moves", True),
        (1.48, "enters tilted and snaps", False),
        (1.48, "will not enter", False),
        (1.48, "drops in", False),
        (1.48, "drops in and moves", True),
        (2.50, "drops in", False),
        (2.50, "will not enter", True),
    ],
)
def test_a_fit_has_to_be_one_that_the_seat_can_have(
    stone_mm: float,
    fit: str,
    possible: bool,  # noqa: FBT001 - a column of the table above
) -> None:
    """A 1.9 mm bur cuts 1.80 to 2.20 mm (judgement)."""
    about_fit = [d for d in about(stone_diameter_mm=stone_mm, fit=fit) if d.about == "fit"]
    assert (about_fit == []) == possible


def test_a_prepared_seat_has_no_limits() -> None:
    """Without bur and pins every fit can be; pins make the limits of a bur narrower."""
    assert seat_limits(an_attempt(seat_bur_mm=None)) == (0.0, float("inf"))
    low, high = seat_limits(an_attempt(seat_go_mm=1.94, seat_nogo_mm=1.96))
    assert (round(low, 3), round(high, 3)) == (1.9, 2.0)


@pytest.mark.parametrize(
    ("measured", "field", "words"),
    [
        ({"stone_hole_mm": 2.14}, "stone_hole_mm", "up to 0.16 mm stays open beside it, over 0.10"),
        (
            {"stone_girdle_min_mm": 0.02, "stone_girdle_max_mm": 0.15},
            "stone_girdle_max_mm",
            "its girdle leans 3.8°, over 3°",
        ),
        (
            {"stone_girdle_min_mm": 0.01},
            "stone_girdle_min_mm",
            "its girdle is 0.010 mm thin, under 0.020",
        ),
        ({"stone_table_off_mm": 0.07}, "stone_table_off_mm", "its table leans 3.8°, over 3°"),
    ],
)
def test_a_stone_to_refuse_is_asked_about(
    measured: dict[str, float], field: str, words: str
) -> None:
    """By the reading that tells it, and what is too much (the rules' limits, judgement)."""
    (doubt,) = about(stone_diameter_mm=1.98, **measured)
    assert (doubt.about, doubt.field) == ("uneven", field)
    question = f"This stone is one to refuse: {words}. Was it set all the same?"
    assert doubt.question == question


@pytest.mark.parametrize(
    "measured",
    [
        {"stone_diameter_min_mm": 1.95, "stone_diameter_max_mm": 2.01, "stone_hole_mm": 2.03},
        {"stone_girdle_min_mm": 0.04, "stone_girdle_max_mm": 0.08, "stone_table_off_mm": 0.03},
        {"stone_girdle_max_mm": 0.4},
        {"stone_hole_mm": 1.2},
    ],
)
def test_a_stone_that_is_fit_or_was_misread_raises_no_doubt_of_its_evenness(
    measured: dict[str, float],
) -> None:
    """A girdle known at its thickest alone says nothing of how uneven it is."""
    assert about(stone_diameter_mm=1.98, **measured) == ()


CURVED = (
    a_grade("dome-25", metal="copper", stones_mm=(2.0,), curve="dome", curve_radius_mm=25),
    a_grade("ring-10", metal="copper", stones_mm=(2.0,), curve="ring", curve_radius_mm=10),
)


def test_a_stone_in_metal_of_several_curves_is_asked_flat_or_curved() -> None:
    """Without a curve no grade is proposed, and both are named."""
    attempt = an_attempt(grade=None, metal="copper", stone_diameter_mm=2.0, seat_bur_mm=1.9)
    (doubt,) = doubts_about(attempt, CURVED)
    assert (doubt.about, doubt.field) == ("curve", "curve")
    assert doubt.question == (
        "Flat or curved? The course has 2 mm in copper as a dome of 25 mm radius (dome-25) or a "
        "ring of 10 mm radius (ring-10)."
    )
    assert doubts_about(attempt.with_values(curve="ring"), CURVED) == ()
    assert doubts_about(attempt, CURVED[:1]) == ()


def test_a_stone_of_another_grade_is_not_said_to_be_nowhere_where_only_its_curve_is_open() -> None:
    """Logged at a grade of another size, its own is a dome or a ring."""
    here = a_grade("ring-1.5", metal="copper", stones_mm=(1.5,), curve="ring", curve_radius_mm=12)
    attempt = an_attempt(grade="ring-1.5", metal="copper", stone_diameter_mm=2.0, seat_bur_mm=1.9)
    (doubt,) = doubts_about(attempt, (here, *CURVED))
    assert doubt.question.startswith("A stone of 2 mm: flat or curved? The course has it in copper")
    (told,) = doubts_about(attempt.with_values(curve="dome"), (here, *CURVED))
    assert told.grade == "dome-25"
