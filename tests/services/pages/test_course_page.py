"""The course as a page: grades with where they stand, exercises with when they are good."""

from pathlib import Path

from tests.services.bench import ADA, a_row, ada_at, logged
from tests.services.school import desk_of

from platebook.practice.courses.course_file import load_course, shipped_course
from platebook.services.answers import progress
from platebook.services.classes.enrolment import Details, new_class
from platebook.services.classes.listed_names import SOMEBODY_NEW, read_names
from platebook.services.pages.course_page import StandsAt, course_view
from platebook.services.people.at_the_bench import view_class
from platebook.services.people.teachers import begin_teaching

SHIPPED = load_course(shipped_course("small-to-large"))


def test_every_grade_and_exercise_is_on_the_page(tmp_path: Path) -> None:
    """In the course's order, each with its stone, its sheet and its points."""
    view = course_view(ada_at(tmp_path))
    assert view.title == SHIPPED.title
    assert [row.title for row in view.grades] == [grade.title for grade in SHIPPED.grades]
    assert [row.title for row in view.exercises] == [e.title for e in SHIPPED.exercises]
    first = view.grades[0]
    assert first.about[0].startswith("Stones of 1.5 mm")
    assert any("passed at 11" in said for said in first.about)
    assert f"Opens after {SHIPPED.grades[0].title}." in view.grades[1].about
    assert any("of 100 who fail 35, 48; of 100 who fail 50, 4." in said for said in first.odds)
    assert any("32 have a false alarm within 100 settings" in said for said in first.odds)


def test_a_whole_setting_says_how_a_slight_fault_counts(tmp_path: Path) -> None:
    """Beside when it is good; a part has its criterion and nothing beside it."""
    rows = {row.exercise: " ".join(row.about) for row in course_view(ada_at(tmp_path)).exercises}
    said = {e.kind: "A slight fault counts as good" in rows[e.id] for e in SHIPPED.exercises}
    assert said == {"whole": True, "block": True, "part": False}


def test_a_grade_says_how_it_stands(tmp_path: Path) -> None:
    """Counts where something was logged, and the state in a word."""
    session = ada_at(tmp_path)
    grade = SHIPPED.grades[0]
    small = {"grade": grade.id, "stone_diameter_mm": "1.48"}
    logged(session, a_row(**small, result="good"), a_row(**small, result="loose"))
    view = course_view(session)
    row, second = view.grades[:2]
    assert (row.right, row.about[0]) == ("practised", "1 of 2 whole settings good.")
    of, to_go = len(SHIPPED.grades), progress(session).grades[0].good_to_go
    assert view.stands == StandsAt(row.title, 1, of, 0, to_go, second.title, second.about[0])


def test_a_teacher_sees_the_course_of_the_class_in_view(tmp_path: Path) -> None:
    """With no grade practised; without a class the course that is offered first."""
    session = begin_teaching(desk_of(tmp_path, "tutor"), name="Isolde Crane")
    assert course_view(session).title == SHIPPED.title
    listed = read_names(session, [ADA], {ADA: SOMEBODY_NEW})
    made = new_class(session, "Thursday", listed, Details(course="large-to-small"))
    view_class(session, made.term.class_id)
    view = course_view(session)
    assert view.title == load_course(shipped_course("large-to-small")).title
    assert (view.stands, {row.right for row in view.grades}) == (None, {""})
