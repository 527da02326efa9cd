"""Progress in words: each rate with its interval, and no promise."""

from datetime import timedelta

from tests.builders import BEGAN, an_attempt, some_course

from platebook.analysis.grades.progress import Progress, progress
from platebook.practice.attempt import Attempt
from platebook.reports.text.progress_text import grade_line, progress_lines

COURSE = some_course()


def _settings(*results: str, grade: str = "copper-1.5") -> list[Attempt]:
    return [
        an_attempt(
            grade=grade, result=(r,), began=BEGAN + timedelta(minutes=20 * n), attempt_id=f"{n:03}"
        )
        for n, r in enumerate(results)
    ]


def _line(shown: Progress, grade: str = "copper-1.5") -> str:
    found = shown.grade(grade)
    assert found is not None
    return grade_line(found)


def test_an_empty_log_has_grades_ahead_and_no_rate() -> None:
    """Nothing is counted, and nothing is said of when practice was last."""
    head, *grades = progress_lines(progress(COURSE, []))
    assert head == "0 whole settings counted."
    assert len(grades) == len(COURSE.grades)
    assert not any("%" in line for line in grades)


def test_a_rate_stands_with_its_interval() -> None:
    """0 of 20 good: Wilson 0 to 0.1611, Newcombe, Stat Med 1998;17:857."""
    line = _line(progress(COURSE, _settings(*["loose"] * 20)))
    assert "0 of 20 good (0 %, 95 % interval 0-16 %)." in line
    assert "0 of 11 points: 11 good ones to go." in line


def test_the_other_end_is_the_mirror_image() -> None:
    """20 of 20 good: Wilson 0.8389 to 1, the same source turned round."""
    line = _line(progress(COURSE, _settings(*["good"] * 20)))
    assert "20 of 20 good (100 %, 95 % interval 84-100 %)." in line
    assert line.startswith("* 1.5 mm in copper: passed.")


def test_few_settings_are_not_enough_yet() -> None:
    """And forecast nothing."""
    line = _line(progress(COURSE, _settings("good", "loose")))
    assert line.startswith("> 1.5 mm in copper: working on it.")
    assert "Not enough yet: 2 of 5 settings." in line
    assert "At this rate" not in line


def test_a_forecast_is_a_range_or_says_that_it_is_far() -> None:
    """Half good is far from a grade that wants four of five."""
    far = _line(progress(COURSE, _settings(*["loose"] * 12)))
    assert "more than 200 attempts off" in far
    near = _line(progress(COURSE, _settings(*["good"] * 9)))
    assert "2 good ones to go." in near
    assert "At this rate 2 to " in near


def test_a_grade_that_slips_back_says_what_is_due() -> None:
    """Passed with eleven good ones, then failure after failure."""
    line = _line(progress(COURSE, _settings(*["good"] * 11, *["loose"] * 12)))
    assert line.startswith("! 1.5 mm in copper: slipping back.")
    assert "a proving row is due" in line


def test_what_does_not_count_is_counted_apart() -> None:
    """Parts and what was not judged, in a number."""
    log = [*_settings("good"), an_attempt(kind="part", part="width"), an_attempt(result=None)]
    head = progress_lines(progress(COURSE, log, today=BEGAN.date()))[0]
    assert head == (
        "1 whole setting counted; 2 others (parts, blocks, not judged, no grade) left out of "
        "points; last practice today."
    )


def test_days_are_said_as_people_say_them() -> None:
    """Today, yesterday, then by number."""
    heads = [
        progress_lines(
            progress(COURSE, _settings("good"), today=BEGAN.date() + timedelta(days=days))
        )[0]
        for days in (0, 1, 9)
    ]
    assert [h.rpartition("last practice ")[2] for h in heads] == [
        "today.",
        "yesterday.",
        "9 days ago.",
    ]
