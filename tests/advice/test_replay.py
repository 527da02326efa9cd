"""A log played again ends at the same place; a part exercise is over by tries or by rows."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice.ladder import IN_USE
from platebook.advice.replay import Replay, Tries
from platebook.analysis.grades.whole_settings import whole_settings
from platebook.practice.attempt import Attempt

COURSE = two_track_course()
EASIEST, SECOND = (grade.id for grade in COURSE.grades[:2])


def _state(replay: Replay) -> tuple[object, ...]:
    return (
        replay.ladder(),
        replay.traces,
        replay.remedy,
        replay.track,
        replay.settings,
        replay.attempts,
        replay.offer(replay.last_day),
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


ROWS = replace(IN_USE, row=5, row_pass=4)


def _tries(signs: str) -> Tries:
    return Tries("depth", tuple(sign == "+" for sign in signs))


@pytest.mark.parametrize(
    ("signs", "over", "left"),
    [("", False, 4), ("+", False, 3), ("++", True, 2), ("-+-", False, 1), ("-+-+", True, 0)],
)
def test_two_in_a_row_or_four_tries(signs: str, over: bool, left: int) -> None:  # noqa: FBT001
    """The rule in use ends a part by two good in a row or by four tries."""
    tries = _tries(signs)
    assert (tries.is_over(IN_USE), tries.left(IN_USE)) == (over, left)


@pytest.mark.parametrize(
    ("signs", "over", "left"),
    [
        ("++++", False, 6),
        ("++-++", True, 5),
        ("++--+", False, 5),
        ("++--+-++++", True, 0),
        ("----------", True, 0),
    ],
)
def test_rows_of_five_with_four_to_pass(signs: str, over: bool, left: int) -> None:  # noqa: FBT001
    """By rows a part ends with a full row of four good ones, or after two rows."""
    tries = _tries(signs)
    assert (tries.is_over(ROWS), tries.left(ROWS)) == (over, left)
