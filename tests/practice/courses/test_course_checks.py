"""One error in a course is told once, at its line: what only follows from it is left out."""

import re
from collections.abc import Iterator

import pytest

from platebook.practice import read_course, shipped_course
from platebook.practice.courses.course import LONGEST_SHORT
from platebook.practice.courses.course_file import load_course, shipped_courses
from platebook.practice.problem import Problem

COURSES = ("small-to-large", "large-to-small")
KEY = re.compile(r"([a-z_0-9]+) = (.*)")


def told(text: str) -> list[Problem]:
    """What is wrong with a course; notices aside."""
    return [problem for problem in read_course(text)[1] if problem.level == "problem"]


def key_lines(text: str) -> Iterator[tuple[int, str, str]]:
    """Place, key and value of each line with a key, from 0; texts over several lines left out."""
    for place, line in enumerate(text.split("\n")):
        found = KEY.fullmatch(line)
        if found and '"""' not in line:
            yield place, found[1], found[2]


def with_line(text: str, place: int, *lines: str) -> str:
    """The course with one line replaced by these."""
    all_lines = text.split("\n")
    return "\n".join((*all_lines[:place], *lines, *all_lines[place + 1 :]))


@pytest.mark.parametrize("course_id", COURSES)
def test_a_misspelt_key_is_the_one_fault(course_id: str) -> None:
    """At its own line; that the right key is missing goes without saying."""
    text = shipped_course(course_id)
    for place, key, value in key_lines(text):
        found = told(with_line(text, place, f"{key}x = {value}"))
        assert [(p.line, p.expected.rpartition(" ")[2]) for p in found] == [
            (place + 1, f"{key}?")
        ], key


@pytest.mark.parametrize("course_id", COURSES)
def test_a_value_of_the_wrong_type_is_the_one_fault(course_id: str) -> None:
    """A number for a text, a text for anything else."""
    text = shipped_course(course_id)
    for place, key, value in key_lines(text):
        wrong = "7" if value.startswith('"') else '"seven"'
        found = told(with_line(text, place, f"{key} = {wrong}"))
        assert [p.line for p in found] == [place + 1], key


@pytest.mark.parametrize("course_id", COURSES)
def test_a_deleted_line_is_one_fault_at_most(course_id: str) -> None:
    """Where the key may be left out there is none; else it is named."""
    text = shipped_course(course_id)
    counts = {0: 0, 1: 0}
    for place, key, _ in key_lines(text):
        found = told(with_line(text, place))
        assert len(found) < 2, (key, found)
        assert all(key in f"{p.field} {p.expected}" for p in found), key
        counts[len(found)] += 1
    assert counts[0] < counts[1]


@pytest.mark.parametrize("course_id", COURSES)
def test_a_misspelt_header_of_a_list_is_the_one_fault(course_id: str) -> None:
    """`[[grade]]` for `[[grades]]`: named at its line, with nothing about what was in it."""
    text = shipped_course(course_id)
    for place, line in enumerate(text.split("\n")):
        if line.startswith("[["):
            found = told(with_line(text, place, line.replace("s]]", "]]")))
            assert [p.line for p in found] == [place + 1], line


@pytest.mark.parametrize(
    ("before", "after", "field", "says"),
    [
        ('id = "copper-1.5"\n', "", "id of grade 1", "which is missing"),
        ('id = "copper-1.5"', 'id = ""', "id of grade ", "a text that is not empty"),
        ('id = "copper-2.0"', 'id = ["copper-2.0"]', "id of grade 2", "a text in quotes"),
        ('track = "copper"\n', "", "track of the defaults", "4 grades have none of their own"),
        ('sheet = "20 ga"\n', "", "sheet of the defaults", "grades have none of their own"),
        ('sheet = "20 ga"', "sheet = 20", "sheet of the defaults", "a text in quotes"),
        ("[defaults]", "[default]", "default", "did you mean defaults?"),
        ("p0 = 0.20", "p_0 = 0.20", "p_0 of points learning", "did you mean p0?"),
        ("[points.sure]", "[points.surer]", "points of grade copper-3.0", "[points.NAME]"),
        ("\n[points.learning]\n", "\n", "p0 of the defaults", "a line [points.NAME] above it"),
        ("[[grades]]\n", "", "id of points sure", "a line [[grades]] above it"),
        ("[[exercises]]\n", "", "TOML", "Cannot overwrite a value"),
        ('kind = "whole"', 'kind = "full"', "kind of exercise whole", "one of 'whole'"),
        (
            'after = "copper-1.5"',
            'after = "copper-1"',
            "after of grade copper-2.0",
            "id of a grade",
        ),
    ],
)
def test_one_mutation_is_one_fault(before: str, after: str, field: str, says: str) -> None:
    """By the key that was changed, or the table that it left."""
    text = shipped_course("small-to-large")
    assert before in text
    found = told(text.replace(before, after, 1))
    assert [p.field for p in found] == [field]
    assert says in found[0].expected
    assert found[0].line is not None


def test_a_course_without_a_whole_setting_is_told_once() -> None:
    """Whatever else it has."""
    text = shipped_course("small-to-large").replace('kind = "whole"', 'kind = "block"')
    (problem,) = told(text)
    assert (problem.field, problem.expected) == (
        "exercises",
        "at least one exercise of kind whole",
    )


def test_two_faults_are_still_two() -> None:
    """What is left out follows from a fault; a second fault of its own is told beside it."""
    text = shipped_course("small-to-large")
    text = text.replace('after = "copper-1.5"', 'after = "nowhere"', 1)
    text = text.replace("version = 3", "versionx = 2", 1).replace("p0 = 0.20", 'p0 = "low"', 1)
    assert [p.field for p in told(text)] == [
        "versionx",
        "p0 of points learning",
        "after of grade copper-2.0",
    ]


@pytest.mark.parametrize("key", ["id", "grades", "exercises"])
@pytest.mark.parametrize("written", ["../../../x", "..", "a/b", "c:d", "x" * 81])
def test_an_id_that_is_a_path_is_told_at_its_line(key: str, written: str) -> None:
    """Ids stand in the names of files, so none may lead anywhere."""
    text = shipped_course(COURSES[0])
    table = "" if key == "id" else f"[[{key}]]\n"
    changed = re.sub(rf'{re.escape(table)}id = ".*"', f'{table}id = "{written}"', text, count=1)
    (problem,) = [p for p in told(changed) if "an id of at most" in p.expected]
    line = changed.split("\n").index(f'id = "{written}"') + 1
    assert problem.line == line


@pytest.mark.parametrize("value", ["9" * 5000, "[" * 3000 + "]" * 3000])
def test_a_value_without_end_is_refused_in_words(value: str) -> None:
    """A number of five thousand digits, and lists three thousand deep."""
    (problem,) = told(f"version = {value}")
    assert problem.field == "TOML"


@pytest.mark.parametrize(
    ("short", "expected"),
    [
        ("Nineteen letters ok", "at most 18 letters"),
        ("", "a text that is not empty"),
        ("2.0 mm in copper", "a short name that no other grade has, nor for its title"),
    ],
)
def test_a_short_name_fits_a_narrow_list_and_is_of_one_grade(short: str, expected: str) -> None:
    """One that is too long, empty, or the title of another grade is named at its line."""
    text = shipped_course("small-to-large").replace('short = "Mixed row"', f'short = "{short}"', 1)
    course, (problem,) = read_course(text)
    assert course is None
    assert (problem.field, problem.expected) == ("short of grade mixed-row", expected)


def test_every_grade_that_ships_has_a_name_for_narrow_lists() -> None:
    """Titles that are too long for the class list have a short name beside them."""
    for text in shipped_courses():
        names = [grade.short_title for grade in load_course(text).grades]
        assert [name for name in names if len(name) > LONGEST_SHORT] == []
        assert len(set(names)) == len(names)
