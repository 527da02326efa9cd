"""Courses read from their text, with each fault at its line and key."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.practice import (
    CourseError,
    load_course,
    read_course,
    shipped_course,
    shipped_courses,
)
from platebook.practice.problem import Problem

COURSE = """id = "two"
version = 1
title = "Two grades"
about = "For tests."

[defaults]
track = "copper"
stone_material = "cz"
metal = "copper"
sheet = "20 ga"
method = "snap in"
culet = "free"
points = "learning"

[points.learning]
p0 = 0.20
p1 = 0.50
good = 1
failure = -2
up_at = 11

[[grades]]
id = "copper-1.5"
title = "1.5 mm in copper"
stones_mm = [1.5]

[[grades]]
id = "copper-2.0"
title = "2.0 mm in copper"
after = "copper-1.5"
stones_mm = [2.0]

[[exercises]]
id = "whole"
title = "Set a stone"
kind = "whole"
task = "Set it."
criterion = "Good."

[[exercises]]
id = "width"
title = "Width"
kind = "part"
part = "width"
task = "Cut it."
criterion = "It snaps."
row = 5
pass_at = 4
"""


def changed(*changes: tuple[str, str]) -> str:
    """The course's text with each first text replaced by the second, which it must hold."""
    text = COURSE
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    return text


def faults(*changes: tuple[str, str]) -> list[Problem]:
    """All that is said about a changed course."""
    return list(read_course(changed(*changes), name="two.toml")[1])


def test_a_sound_course_is_read() -> None:
    """Defaults, named points, sheet thickness and other spellings are filled in."""
    course, problems = read_course(COURSE)
    assert problems == ()
    assert course is not None
    grade = course.grade("copper-2.0")
    assert grade is not None
    assert (grade.track, grade.after, grade.layers) == ("copper", "copper-1.5", 1)
    assert (grade.stone_material, grade.sheet, grade.sheet_mm) == ("cubic zirconia", "20 ga", 0.812)
    assert (grade.points.p0, grade.points.up_at) == (0.2, 11)
    assert course.ladder() == course.grades
    assert course.easier("copper-2.0") == (course.grades[0],)


@pytest.mark.parametrize(
    ("before", "after", "line", "field", "says"),
    [
        ("version = 1", 'version = "x"', 2, "version", "a whole number"),
        ("version = 1", "version = 0", 2, "version", "greater than or equal to 1"),
        ("title =", "titl =", 3, "titl", "did you mean title?"),
        ('"20 ga"', '"99 ga"', 10, "sheet of the defaults", "a gauge from 0 to 40"),
        ('"snap in"', '"glue"', 11, "method of the defaults", "'drop in', 'push in' or 'snap in'"),
        ('track = "copper"', "track = 3", 7, "track of the defaults", "a text in quotes"),
        ("p0 = 0.20", "p0 = 1.20", 16, "p0 of points learning", "less than 1"),
        ("p0 = 0.20", "p0 = 0.60", 16, "p0 of points learning", "less than p1, which is 0.5"),
        ("failure = -2", "failure = -4", 15, "points learning", "could never be reached"),
        ("failure = -2", "failure = 2", 19, "failure of points learning", "less than or equal to"),
        ("up_at = 11", "upat = 11", 20, "upat of points learning", "did you mean up_at?"),
        ("up_at = 11", "up_at = 20000", 20, "up_at of points learning", "equal to 300"),
        ('"learning"', '"strict"', 13, "points of the defaults", "[points.NAME]"),
        ("[1.5]", "1.5", 25, "stones_mm of grade copper-1.5", "a list in square brackets"),
        ("[1.5]", "[]", 25, "stones_mm of grade copper-1.5", "at least one"),
        ("stones_mm = [1.5]\n", "", 22, "stones_mm of grade copper-1.5", "which is missing"),
        ('id = "copper-2.0"', 'id = "copper-1.5"', 28, "id of grade copper-1.5", "no other has"),
        ('after = "copper-1.5"', 'after = "cop"', 30, "after of grade copper-2.0", "copper-1.5"),
        ('id = "width"', 'id = "whole"', 41, "id of exercise whole", "no other has"),
        ('part = "width"', "", 40, "part of exercise width", "the skill"),
        ('part = "width"', 'part = "wax"', 44, "part of exercise width", "one of 'seeing'"),
        ("pass_at = 4", "pass_at = 6", 48, "pass_at of exercise width", "1 to 5"),
        ('kind = "part"', 'kind = "block"', 44, "part of exercise width", "no part exercise"),
        ("pass_at = 4", "", 40, "exercise width", "both row and pass_at"),
        ('kind = "whole"', 'kind = "block"', 33, "exercises", "kind whole"),
        ('about = "For tests."', "[grades]", 22, "TOML", "TOML:"),
        ('title = "Width"', 'title = "Width', 42, "TOML", "TOML:"),
    ],
)
def test_each_fault_has_its_line_and_its_key(
    before: str, after: str, line: int, field: str, says: str
) -> None:
    """File, line, key, and what was expected there."""
    found = [p for p in faults((before, after)) if p.level == "problem"]
    places = [(p.file, p.line, p.field) for p in found]
    assert ("two.toml", line, field) in places
    assert says in found[places.index(("two.toml", line, field))].expected


def test_a_problem_reads_as_a_sentence() -> None:
    """The whole line as a teacher sees it."""
    (problem,) = faults(("pass_at = 4", "pass_at = 6"))
    assert str(problem) == (
        "two.toml, line 48, pass_at of exercise width: read '6', "
        "expected 1 to 5, the length of a row"
    )


def test_all_faults_come_at_once() -> None:
    """One bad grade hides neither another nor the head of the file."""
    found = faults(
        ("version = 1", 'version = "x"'), ("[1.5]", "1.5"), ("[2.0]", "2.0"), ('"wid', '"thi')
    )
    assert [p.line for p in found] == [2, 25, 31]


def test_a_list_that_is_no_list_is_told() -> None:
    """Grades written as one table, defaults as a number."""
    found = faults(("[[grades]]", "[grades]"), ("[[grades]]", "[[exercises]]"))
    assert (22, "grades", "a list in square brackets") in [
        (p.line, p.field, p.expected) for p in found
    ]
    head = COURSE[: COURSE.index("[defaults]")]
    found = list(read_course(head + "defaults = 3\n")[1])
    assert (6, "defaults", "a table [defaults]") in [(p.line, p.field, p.expected) for p in found]


def test_grades_that_wait_for_each_other_are_found() -> None:
    """A circle of `after` has no beginning."""
    found = faults(("stones_mm = [1.5]", 'stones_mm = [1.5]\nafter = "copper-2.0"'))
    assert [(p.line, p.field) for p in found] == [
        (22, "grades"),
        (26, "after of grade copper-1.5"),
        (31, "after of grade copper-2.0"),
    ]


@pytest.mark.parametrize(
    ("before", "after", "line", "says"),
    [
        ('metal = "copper"', 'metal = "tin"', 9, "one of: copper"),
        ('culet = "free"', 'culet = "enclosed"', 12, "1.40 mm of metal to enclose the point"),
        ("p1 = 0.50", "p1 = 0.30", 15, "should not pass"),
    ],
)
def test_what_is_only_unusual_is_a_notice(before: str, after: str, line: int, says: str) -> None:
    """The course can be used, and its author is told."""
    course, problems = read_course(changed((before, after)))
    assert course is not None
    assert {p.level for p in problems} == {"notice"}
    assert any(says in p.expected for p in problems if p.line == line)


def test_a_sheet_that_encloses_the_point_needs_no_notice() -> None:
    """Doubled 18 ga is 2.05 mm (ASTM B258), enough for 2.0 and 1.5 mm stones."""
    text = changed(('culet = "free"', 'culet = "enclosed"\nlayers = 2'), ('"20 ga"', '"18 ga"'))
    assert read_course(text)[1] == ()


def test_a_thickness_beside_the_sheet_must_agree() -> None:
    """`sheet_mm` may be left out; where it stands it says the same as `sheet`."""
    text = '"20 ga"\nsheet_mm = {}'
    assert faults(('"20 ga"', text.format("0.812"))) == []
    (problem,) = faults(('"20 ga"', text.format("0.9")))
    assert (problem.line, problem.read) == (11, "0.9")


def test_unsafe_text_is_cleaned() -> None:
    """A terminal escape in a course reaches no terminal."""
    course, _ = read_course(changed(("Two grades", r"Two \u001b[2Jgrades")))
    assert course is not None
    assert course.title == "Two [2Jgrades"


def test_a_course_that_cannot_be_used_raises_with_all_problems() -> None:
    """`load_course` is for callers who need a course or nothing."""
    with pytest.raises(CourseError, match=re.escape("course, line 25")) as caught:
        load_course(changed(("[1.5]", "1.5"), ("[2.0]", "2.0")))
    assert [p.line for p in caught.value.problems] == [25, 31]


def test_own_fields_of_a_course() -> None:
    """A name of the record or a choice without values is refused."""
    own = '\n[[extra]]\nname = "{}"\ntype = "{}"\nmeaning = "Which lamp."\n'
    course, problems = read_course(COURSE + own.format("lamp", "text"))
    assert problems == ()
    assert course is not None
    assert [(f.name, f.role, f.asked) for f in course.extra] == [("lamp", "process", "optional")]
    _, problems = read_course(COURSE + own.format("clock", "choice"))
    assert [(p.line, p.field) for p in problems] == [
        (50, "choices of extra field clock"),
        (51, "name of extra field clock"),
    ]
    _, problems = read_course(COURSE + own.format("lamp", "datetime"))
    assert [(p.line, p.field) for p in problems] == [(52, "type of extra field lamp")]


@given(st.data())
def test_no_cut_or_doubled_line_raises(data: st.DataObject) -> None:
    """Whatever line a hand deletes, doubles or empties, there is a course or a problem."""
    lines = COURSE.split("\n")
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(lines) - 1))
        lines[at : at + 1] = data.draw(
            st.sampled_from(
                [[], [lines[at]] * 2, [lines[at].split("=")[0] + "= 3"], ["[[grades]]"]]
            )
        )
    course, problems = read_course("\n".join(lines))
    assert course is not None or any(p.level == "problem" for p in problems)


@given(st.text(max_size=200))
def test_no_text_raises(text: str) -> None:
    """Any text is a course or has problems."""
    course, problems = read_course(text)
    assert (course is None) == any(p.level == "problem" for p in problems)


def test_the_shipped_courses_are_sound_and_in_order() -> None:
    """Small to large is offered first; none has even a notice."""
    found = [read_course(text) for text in shipped_courses()]
    assert [problems for _, problems in found] == [(), (), (), ()]
    assert [course.id for course, _ in found if course] == [
        "small-to-large",
        "large-to-small",
        "curved-metal",
        "hand-cut-stones",
    ]
    with pytest.raises(KeyError):
        shipped_course("none")
