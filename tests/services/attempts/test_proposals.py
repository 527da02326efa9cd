"""What a sparse row leaves out: from the last set-up, from the course, or left out all the same."""

from typing import Any

import pytest
from tests.builders import a_grade, an_attempt, some_course

from platebook.practice.attempt import Attempt
from platebook.services.attempts.proposals import (
    Memory,
    Proposed,
    counted,
    filled_in,
    placed,
    proposed_in_words,
)

COURSE = some_course()
LAST = an_attempt(grade="copper-2.0")
STERLING = an_attempt(grade="sterling-2.0", metal="sterling silver", sheet_mm=1.0)


def filled(*log: Attempt, follows: bool = True, **values: Any) -> tuple[Attempt, dict[str, str]]:
    """A good attempt with these values alone after this log, and where each new value is from."""
    row = Attempt(kind="whole", result=("good",)).with_values(**values)
    after, taken = filled_in(row, 1, Memory.of(log, follows=follows), COURSE)
    return after, {one.field: one.source for one in taken}


def test_without_a_log_the_course_says_metal_and_sheet() -> None:
    """Of the one grade of the main track that has this stone."""
    after, taken = filled(stone_diameter_mm=1.98)
    assert (after.metal, after.sheet_mm, after.grade) == ("copper", 0.812, "copper-2.0")
    assert taken == {"metal": "course", "sheet_mm": "course", "layers": "course"}
    assert after.proposed == "metal;sheet_mm;layers"


def test_the_last_set_up_goes_before_the_course() -> None:
    """Who set the last one in sterling sets this one so."""
    after, taken = filled(LAST, STERLING, stone_diameter_mm=2.0)
    assert (after.metal, after.sheet_mm, after.grade) == ("sterling silver", 1.0, "sterling-2.0")
    assert set(taken.values()) == {"last"}


def test_a_last_one_that_fits_no_grade_does_not_take_this_one_along() -> None:
    """After a 5 mm stone in gold a 1.5 mm stone is copper again, as the course has it."""
    own = an_attempt(grade=None, stone_diameter_mm=5.0, metal="18k gold", sheet_mm=2.5)
    after, taken = filled(LAST, own, stone_diameter_mm=1.5)
    assert (after.metal, after.grade, taken["metal"]) == ("copper", "copper-1.5", "last")


def test_a_result_alone_goes_on_with_the_last_stone() -> None:
    """Where there is one; with an empty log nothing is made up."""
    after, taken = filled(LAST)
    assert (after.stone_diameter_mm, after.metal, after.grade) == (1.98, "copper", "copper-2.0")
    assert set(taken.values()) == {"last"}
    alone, nothing = filled()
    assert (alone.stone_diameter_mm, alone.metal, nothing) == (None, None, {})


def test_a_file_does_not_go_on_from_the_logbook() -> None:
    """Its stone is nobody's guess; the logbook is asked for a metal after the course."""
    assert filled(LAST, follows=False)[0].stone_diameter_mm is None
    after, taken = filled(STERLING, follows=False, stone_diameter_mm=2.0)
    assert (after.metal, taken["metal"]) == ("copper", "course")
    own = an_attempt(grade=None, stone_diameter_mm=5.0, metal="18k gold", sheet_mm=2.5)
    after, taken = filled(own, follows=False, stone_diameter_mm=5.0)
    assert (after.metal, after.sheet_mm, after.grade) == ("18k gold", 2.5, None)


def test_a_grade_that_is_named_says_the_rest() -> None:
    """A single stone, its metal and its sheet."""
    after, taken = filled(LAST, grade="sterling-2.0")
    assert (after.stone_diameter_mm, after.metal) == (2.0, "sterling silver")
    assert taken["stone_diameter_mm"] == taken["metal"] == "course"


@pytest.mark.parametrize(
    "values",
    [
        {"course": "another"},
        {"grade": "strange"},
        {"attempt_id": "a", "stone_diameter_mm": 2.0},
        {"kind": "part", "part": "seeing"},
        {"stone_diameter_mm": 2.0, "metal": "copper", "sheet_mm": 0.8, "grade": "copper-2.0"},
    ],
)
def test_what_is_not_ours_or_complete_is_left_as_it_is(values: dict[str, Any]) -> None:
    """Another course's row, one recorded before, a part without a set-up."""
    after, taken = filled(LAST, **values)
    assert (after.proposed, taken) == (None, {})


def test_a_stone_of_another_grade_is_moved_or_told() -> None:
    """The notice says which of the two happened."""
    odd = an_attempt(grade="copper-2.0", stone_diameter_mm=1.48, seat_bur_mm=1.4)
    moved, (said,) = placed(odd, 1, COURSE, move=True)
    kept, (told,) = placed(odd, 1, COURSE, move=False)
    assert (moved.grade, kept.grade) == ("copper-1.5", "copper-2.0")
    assert (moved.proposed, kept.proposed) == ("grade by stone", None)
    assert said.expected.endswith("that is 1.5 mm in copper, and it is logged there (copper-1.5)")
    assert told.expected.endswith("; that is 1.5 mm in copper (copper-1.5)")
    assert {said.level, told.level} == {"notice"}


def test_where_attempts_count_is_said_with_their_number() -> None:
    """Points at a grade, a part's skill, findings, or nothing."""
    gold = an_attempt(grade=None, stone_diameter_mm=5.0, metal="18k gold")
    part = an_attempt(kind="part", part="width")
    log = [LAST, LAST, part, gold, an_attempt(grade="copper-2.0", result=None)]
    found = counted(log, COURSE)
    assert [place.sentence for place in found] == [
        "2 count at 2.0 mm in copper (copper-2.0).",
        "It counts for width alone, at no grade.",
        "It counts for findings and as work of your own: no grade of the course has it.",
        "It counts nowhere: not judged.",
    ]
    assert [(p.what, p.grade, p.attempts) for p in found[:2]] == [
        ("points", "copper-2.0", 2),
        ("skill", None, 1),
    ]


def test_what_was_taken_is_said_once_for_many_rows() -> None:
    """With how often."""
    taken = [Proposed(row, "metal", "copper", "last") for row in (1, 2)]
    taken.append(Proposed(1, "sheet_mm", "0.812", "course"))
    assert proposed_in_words(taken) == (
        "as your last: metal copper (2 times).",
        "as the course has it: sheet 0.812 mm.",
    )


def test_a_mixed_row_has_no_stone_of_its_own() -> None:
    """Which of its stones it was nobody can tell."""
    course = some_course(grades=(*COURSE.grades, a_grade("mixed", stones_mm=(1.5, 2.0))))
    row = Attempt(kind="whole", grade="mixed", result=("good",))
    after, _ = filled_in(row, 1, Memory(), course)
    assert (after.stone_diameter_mm, after.metal) == (None, "copper")


def test_a_curve_that_nobody_typed_is_that_of_the_last_such_stone() -> None:
    """Where the course has the stone in several curves; with none before it is asked for."""
    course = some_course(
        grades=(
            a_grade("dome-25", stones_mm=(2.0,), curve="dome", curve_radius_mm=25),
            a_grade("ring-10", stones_mm=(2.0,), curve="ring", curve_radius_mm=10),
        )
    )
    row = Attempt(kind="whole", result=("good",), stone_diameter_mm=2.0, metal="copper")
    last = an_attempt(grade="ring-10", curve="ring", curve_radius_mm=10, stone_diameter_mm=2.0)
    for follows in (True, False):
        after, _ = filled_in(row, 1, Memory.of((last,), follows=follows), course)
        assert (after.grade, after.curve, after.curve_radius_mm) == ("ring-10", "ring", 10)
    first, _ = filled_in(row, 1, Memory(), course)
    assert (first.grade, first.curve) == (None, None)
    _, notices = placed(first, 1, course, move=True)
    assert [notice.field for notice in notices] == ["curve"]
