"""The courses after flat sheet and machine-cut stones: curved metal, and stones cut by hand."""

import pytest

from platebook.practice import load_course, read_attempts, read_course, shipped_course
from platebook.trade import Sheet, Stone, size

STANDARD = {
    "seeing",
    "burnishing no stone",
    "burnishing",
    "levelling",
    "depth",
    "width",
    "pilot",
    "opening",
    "clean-up",
}


@pytest.mark.parametrize("course_id", ["curved-metal", "hand-cut-stones"])
def test_a_special_course_is_as_complete_as_the_others(course_id: str) -> None:
    """Every part of the usual courses, a whole setting, a block, rows and patterns."""
    course = load_course(shipped_course(course_id))
    assert {e.part for e in course.exercises if e.kind == "part"} >= STANDARD | {"spacing"}
    assert {"whole", "block", "part"} == {e.kind for e in course.exercises}
    assert {"spacing", "shared-edges"} <= {e.id for e in course.exercises}


def test_domes_come_before_rings_and_wide_before_narrow() -> None:
    """The wall at the sides gets thinner from dome to ring to a narrow ring with a large stone."""
    course = load_course(shipped_course("curved-metal"))
    kinds = [grade.curve for grade in course.grades]
    assert kinds == sorted(kinds, key=["dome", "ring"].index)
    falls = []
    for grade in course.grades:
        for stone_mm in grade.stones_mm:
            sheet = Sheet(sheet_mm=grade.sheet_mm, layers=grade.layers, curve=grade.curved)
            sizes = size(Stone(diameter_mm=stone_mm), sheet, method=grade.method)
            assert sizes.curve is not None
            assert sizes.curve.wall_side_mm >= 0.10
            assert sizes.sheet.holds
            assert sizes.sheet.encloses == (grade.culet == "enclosed")
            falls.append(sizes.curve.drop_mm)
    assert falls[0] == min(falls)
    assert max(falls) == falls[-3]


def test_hand_cut_stones_are_set_by_ball_bur() -> None:
    """Every grade says so, and the sizes name a ball bur to buy first."""
    course = load_course(shipped_course("hand-cut-stones"))
    assert all(grade.hand_cut for grade in course.grades)
    for grade in course.grades:
        stone = Stone(diameter_mm=grade.stones_mm[0], hand_cut=grade.hand_cut)
        sizes = size(stone, Sheet(sheet_mm=grade.sheet_mm), method=grade.method)
        assert sizes.seat_bur.shape == "ball"
    exercises = {e.id: e for e in course.exercises}
    assert exercises["measuring"].part == exercises["refusing"].part == "measuring"


@pytest.mark.parametrize(
    ("line", "changed", "field"),
    [
        ("curve_radius_mm = 25\n", "", "curve"),
        ('curve = "ring"\ncurve_radius_mm = 9\n', "curve_radius_mm = 9\n", "curve"),
        ("curve_radius_mm = 25", "curve_radius_mm = 2", "curve_radius_mm"),
        ('curve = "ring"', 'curve = "cone"', "curve"),
    ],
)
def test_a_curve_needs_its_radius(line: str, changed: str, field: str) -> None:
    """Without it, or with one that is none, the course says so at the grade."""
    text = shipped_course("curved-metal").replace(line, changed, 1)
    _, problems = read_course(text)
    assert any(p.field.startswith(field) and p.level == "problem" for p in problems)


def test_a_grade_in_curved_metal_is_proposed_by_its_curve() -> None:
    """2.0 mm in copper is two domes and a ring; with curve and radius noted it is one of them."""
    course = load_course(shipped_course("curved-metal"))
    known = {"stone_diameter_mm": 2.0, "metal": "copper"}
    rows = [
        {**known, "curve": g.curve, "curve_radius_mm": g.curve_radius_mm} for g in course.grades
    ]
    found, problems = read_attempts(rows[:4], course=course)
    assert problems == ()
    proposed = [attempt.grade for attempt in found]
    assert proposed == ["dome-25-2.0", "dome-12-2.0", None, "ring-10-2.0"]
