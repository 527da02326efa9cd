"""Rows of an exercise: full ones count, the one under way is told beside them."""

from datetime import timedelta

from tests.builders import BEGAN, an_attempt, an_exercise, some_course

from platebook.analysis.grades.exercise_rows import ExerciseRow, exercise_rows
from platebook.practice.attempt import Attempt

COURSE = some_course(
    exercises=(
        an_exercise("whole"),
        an_exercise("width", kind="part", part="width", row=5, pass_at=4),
        an_exercise("seeing", kind="part", part="seeing", row=12, pass_at=10),
        an_exercise("line", row=5, pass_at=4),
    )
)


def tries(signs: str, **values: object) -> list[Attempt]:
    """Tries at a part, + good and - missed, a minute apart."""
    results = {"+": ("good",), "-": ("missed",)}
    return [
        Attempt(
            began=BEGAN + timedelta(minutes=n),
            kind="part",
            part="width",
            result=results[sign],
        ).with_values(**values)
        for n, sign in enumerate(signs)
    ]


def the_row(attempts: list[Attempt]) -> ExerciseRow:
    """The one exercise that was begun."""
    (row,) = exercise_rows(COURSE, attempts)
    return row


def test_four_of_five_pass_a_row() -> None:
    """And the next one is told as far as it goes."""
    row = the_row(tries("++-++" + "-+"))
    assert (row.good, row.of, row.passed, row.now_good, row.now_of) == (4, 5, True, 1, 2)
    assert row.sentence == "Width: 4 of 5 good in the last row, passed; 1 of 2 so far in this one."


def test_the_last_full_row_decides() -> None:
    """Three of five are not enough, whatever the row before had."""
    row = the_row(tries("+++++" + "--+++"))
    assert (row.good, row.passed, row.tries) == (3, False, 10)
    assert row.sentence.endswith("3 of 5 good in the last row, 4 are needed.")


def test_a_row_under_way_passes_nothing() -> None:
    """Even where four of four were good."""
    row = the_row(tries("++++"))
    assert (row.good, row.passed, row.now_good, row.now_of) == (None, False, 4, 4)


def test_a_plate_judged_at_once_is_a_row_of_its_own() -> None:
    """The newest one, in the course's proportion."""
    plate = tries("+" * 5 + "-", part="seeing", plate="R", began=BEGAN)
    later = tries("+" * 4 + "--", part="seeing", plate="R", began=BEGAN + timedelta(days=30))
    row = the_row([*plate, *later])
    assert (row.good, row.of, row.pass_at, row.passed) == (4, 6, 5, False)


def test_whole_settings_in_a_line_are_a_row_too() -> None:
    """By the exercise that they name; a plain setting is in none."""
    log = [an_attempt(exercise="line", result=(r,)) for r in ("good",) * 4 + ("loose",)]
    row = the_row([*log, an_attempt(exercise="whole")])
    assert (row.exercise, row.good, row.passed) == ("line", 4, True)


def test_nothing_begun_is_nothing() -> None:
    """Nor is what was not judged."""
    assert exercise_rows(COURSE, tries("+", result=None)) == ()
