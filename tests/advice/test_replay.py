"""A log played again ends at the same place; a part exercise is as long as the course says."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice.replay import Replay
from platebook.advice.skill_traces import PARTS_IN_USE
from platebook.analysis.grades.whole_settings import whole_settings
from platebook.practice.attempt import Attempt
from platebook.values import replace

COURSE = two_track_course()
EASIEST, SECOND = (grade.id for grade in COURSE.grades[:2])


def _state(replay: Replay) -> tuple[object, ...]:
    return (
        replay.ladder(),
        replay.traces,
        replay.remedy,
        replay.way.track,
        replay.settings,
        replay.attempts,
        replay.offer(replay.way.last_day),
    )


def _log(signs: str) -> list[Attempt]:
    """Every third attempt at the second grade, every seventh a part."""
    log: list[Attempt] = []
    for number, sign in enumerate(signs):
        grade = SECOND if number % 3 == 2 else EASIEST
        kind = {"kind": "part", "part": "width"} if number % 7 == 6 else {}
        log += evenings(sign, grade=grade, start=number, **kind)
    return log


@given(st.text("+-", max_size=30))
def test_at_once_and_one_by_one_are_the_same(signs: str) -> None:
    """Whatever came out, and wherever it was set."""
    log = _log(signs)
    at_once, one_by_one = Replay.of(COURSE, log), Replay(COURSE)
    for attempt in log:
        one_by_one.log(attempt)
    assert _state(at_once) == _state(one_by_one)


def test_what_counts_is_listed_once() -> None:
    """Its settings are those of the log; parts and what was not judged are attempts alone."""
    log = [*_log("++-+--+"), Attempt(grade=EASIEST)]
    replay = Replay.of(COURSE, log)
    assert tuple(replay.settings) == whole_settings(COURSE, log)
    assert (len(replay.settings), len(replay.attempts)) == (6, 8)


@pytest.mark.parametrize(
    ("signs", "over", "left"),
    [
        ("", False, 5),
        ("+++", False, 2),
        ("++++", True, 1),
        ("++--", False, 1),
        ("++--+", True, 0),
    ],
)
def test_a_row_of_five_with_four_to_pass(signs: str, over: bool, left: int) -> None:  # noqa: FBT001
    """The course's own numbers: over with four good ones, or when the row is full."""
    tries = replace(Replay(COURSE).row_of("depth"), results=tuple(s == "+" for s in signs))
    assert (tries.is_over, tries.left) == (over, left)


def test_without_numbers_of_its_own_a_course_has_the_rules() -> None:
    """Two good ones, or four tries."""
    exercises = tuple(e.model_copy(update={"row": None, "pass_at": None}) for e in COURSE.exercises)
    row = Replay(two_track_course(exercises=exercises)).row_of("depth")
    assert (row.row, row.pass_at) == (PARTS_IN_USE.row, PARTS_IN_USE.pass_at)
