"""What a new version of a course does to those who follow it."""

from platebook.practice import Attempt, load_course, shipped_course
from platebook.practice.courses.course import Course, at_grades_now, signed_now
from platebook.practice.courses.course_changes import KnownVersions, lost_grades, version_problems
from platebook.practice.records import SignOff

TEXT = shipped_course("small-to-large").replace('id = "small-to-large"', 'id = "evening"', 1)
BEFORE = load_course(TEXT)


def changed(*pairs: tuple[str, str], version: int = 4) -> str:
    """The course with these pieces of its text replaced, as another version."""
    text = TEXT.replace("version = 3", f"version = {version}", 1)
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return text


RENAMED = (('id = "copper-2.0"', 'id = "cu-2"'), ('after = "copper-2.0"', 'after = "cu-2"'))
OTHER_STONE = ('"copper-1.5"\nstones_mm = [2.0]', '"copper-1.5"\nstones_mm = [1.9]')
WITH_WAS = ('id = "cu-2"', 'id = "cu-2"\nwas = ["copper-2.0"]')


def told(text: str, *, attempts: dict[str, int] | None = None) -> list[str]:
    """What a version may not, as a person reads it."""
    known = KnownVersions(BEFORE, attempts=attempts or {})
    return [str(p) for p in version_problems(text, load_course(text), known, name="mine.toml")]


def test_a_renamed_grade_with_attempts_has_to_say_so() -> None:
    """At the line of the new id; without attempts nothing is lost."""
    text = changed(*RENAMED)
    (problem,) = told(text, attempts={"copper-2.0": 297})
    line = text[: text.index('id = "cu-2"')].count("\n") + 1
    assert problem.startswith(f"mine.toml, line {line - 1}, was of cu-2: read 'nothing'")
    assert 'was = ["copper-2.0"] here: 2.0 mm in copper is renamed, and has 297 attempts' in problem
    assert told(text) == []
    assert told(changed(*RENAMED, WITH_WAS), attempts={"copper-2.0": 297}) == []


def test_a_grade_taken_out_with_attempts_is_a_fault() -> None:
    """It is kept, or another grade of the same stone, metal and sheet says that it was this one."""
    other = load_course(changed(*RENAMED, OTHER_STONE))
    lost = lost_grades(BEFORE, other, {"copper-2.0": 1})
    assert [(one.grade.id, one.attempts, one.renamed) for one in lost] == [("copper-2.0", 1, None)]
    text = changed(*RENAMED, OTHER_STONE)
    assert (
        "a grade copper-2.0, which has 1 attempt: keep it"
        in told(text, attempts={"copper-2.0": 1})[-1]
    )


def test_an_id_is_never_used_for_another_stone_metal_or_sheet() -> None:
    """Also where the file says that the grade was of that id before."""
    (stone,) = told(changed(("stones_mm = [1.5]\n", "stones_mm = [1.6]\n")))
    assert "expected an id of its own: 1.5 mm in copper under copper-1.5 has another stone" in stone
    text = changed(*RENAMED, WITH_WAS, OTHER_STONE)
    assert any("under copper-2.0 has another stone" in line for line in told(text))


def test_a_version_has_one_text() -> None:
    """Another text under a known number is a fault; a text that is known is none."""
    text = changed(("2.0 mm in copper", "two millimetres in copper"), version=3)
    (problem,) = told(text)
    assert "version: read '3', expected 4 or more: version 3 is known with another text" in problem
    assert told(TEXT) == []


def test_attempts_of_a_former_id_count_at_the_grade_as_it_is_called_now() -> None:
    """So does what was signed off; without a former id nothing is touched."""
    course = load_course(changed(*RENAMED, WITH_WAS))
    attempts = (Attempt(grade="copper-2.0"), Attempt(grade="copper-1.5"), Attempt())
    assert [a.grade for a in at_grades_now(course, attempts)] == ["cu-2", "copper-1.5", None]
    signed = SignOff(setter_id="a", course="evening", grade="copper-2.0", signed_by="b")
    assert [s.grade for s in signed_now(course, [signed])] == ["cu-2"]
    assert at_grades_now(BEFORE, attempts) == attempts
    grade = course.grade("copper-2.0")
    assert grade is not None
    assert grade.id == "cu-2"
    assert isinstance(course, Course)
