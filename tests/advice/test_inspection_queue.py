"""The inspection queue: each reason by itself, in order, with one position drawn at random."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from tests.builders import an_attempt, some_course

from platebook.advice.inspection_queue import Due, due_on, waiting
from platebook.analysis.grades.progress import progress
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection

COURSE = some_course()
GRADE = COURSE.grades[0].id
FIRST = datetime(2026, 3, 3, 18, 30, tzinfo=UTC)
TODAY = date(2026, 3, 4)


def some(*results: str, **values: Any) -> list[Attempt]:
    """Whole settings at the first grade of one evening, in order."""
    return [
        an_attempt(
            attempt_id=f"a{n}",
            setter_id="s",
            grade=GRADE,
            kind="whole",
            began=FIRST + timedelta(minutes=n),
            result=tuple(result.split("+")),
            **values,
        )
        for n, result in enumerate(results)
    ]


def look(attempt_id: str, days_ago: int = 1) -> Inspection:
    """Somebody's look so many days ago."""
    looked = FIRST - timedelta(days=days_ago - 1)
    return Inspection(attempt_id=attempt_id, inspector="Tutor", result=("good",), looked=looked)


def queue(attempts: list[Attempt], *looks: Inspection, drawn: str = "") -> tuple[Due, ...]:
    """What is due of this setter today, where this attempt was drawn."""
    standing = progress(COURSE, attempts, today=TODAY)
    return due_on(waiting(COURSE, attempts, looks, standing, {drawn}), TODAY)


def told(rows: tuple[Due, ...]) -> list[tuple[str, str]]:
    """Reason and sentence of each."""
    return [(row.why, row.sentence) for row in rows if row.why != "drawn"]


def test_nothing_to_look_at_is_no_queue() -> None:
    """No attempts, none judged, or all looked at."""
    assert queue([]) == ()
    assert queue(some("good"), look("a0")) == ()


def test_who_is_stuck_comes_first() -> None:
    """Two good of eight at one grade, before what keeps coming back; the last failure is meant."""
    rows = queue(some("high", "high", "good", "loose", "high", "good", "low", "high"))
    assert rows[0].why == "stuck"
    assert rows[0].sentence.startswith("stuck: 2 of the last 8 at ")
    assert rows[0].attempt_id == "a7"


def test_who_may_move_up_is_told() -> None:
    """Two good ones before the grade is passed."""
    points = COURSE.grades[0].points
    rows = queue(some(*["good"] * (points.up_at - 2)))
    assert rows[0].why == "ready to move up"
    assert "2 good ones to go" in rows[0].sentence


def test_a_verdict_that_contradicts_a_reading_is_told() -> None:
    """Called good, though the stone drops in and moves (bench practice: then it is too wide)."""
    rows = queue(some("good", fit="drops in and moves"), look("z"))
    assert told(rows) == [("verdict", "called good, though the fit was drops in and moves")]


def test_what_keeps_coming_back_is_told_by_defect_and_by_clock() -> None:
    """Three times among the last eight."""
    rows = queue(some("high", "good", "high", "good", "high"), look("z"))
    assert told(rows) == [("again", "high 3 times in the last 5")]
    rows = queue(some("high", "low", "tilted", "good", clock=4), look("z"))
    assert told(rows) == [("again", "at 4 o'clock 3 times in the last 4: posture or light")]


def test_two_weeks_without_a_look_are_told() -> None:
    """Never, or not since a day; a look yesterday is enough."""
    assert told(queue(some("good"))) == [("not looked at", "never looked at")]
    old = queue(some("good"), look("z", days_ago=20))
    assert told(old) == [("not looked at", "not looked at since 12 February")]
    assert told(queue(some("good"), look("z"))) == []


def test_the_position_drawn_stands_whatever_else_is_due() -> None:
    """By its own right where nothing else is, and no more once it was looked at."""
    attempts = some("good", "high", "good", "loose")
    rows = queue(attempts, look("z"), drawn="a1")
    assert [(r.attempt_id, r.why, r.drawn) for r in rows] == [("a1", "drawn", True)]
    assert queue(attempts, look("a1"), drawn="a1") == ()


def test_an_attempt_stands_once_with_its_most_pressing_reason() -> None:
    """Drawn and never looked at: the reason that comes first is told, and that it is drawn."""
    (row,) = queue(some("good"), drawn="a0")
    assert (row.why, row.drawn) == ("not looked at", True)


@pytest.mark.parametrize(
    ("attempts", "why"),
    [
        (some("high", "high", "good", "loose", "high", "good", "low", "high"), "stuck"),
        (some(*["good"] * (COURSE.grades[0].points.up_at - 2)), "ready to move up"),
        (some("high", "good", "high", "good", "high"), "again"),
    ],
)
def test_a_drawn_one_is_given_no_reason_that_tells_its_verdict(
    attempts: list[Attempt], why: str
) -> None:
    """The reason is told of another attempt, and of the drawn one that it is drawn."""
    plain = next(r for r in queue(attempts, look("z")) if r.why == why)
    rows = queue(attempts, look("z"), drawn=plain.attempt_id)
    assert [r.sentence for r in rows if r.drawn] == ["drawn at random"]
    (other,) = (r for r in rows if r.why == why)
    assert (other.sentence, other.attempt_id != plain.attempt_id) == (plain.sentence, True)


def test_a_drawn_one_is_not_said_to_contradict_its_reading() -> None:
    """That would tell that it was called good."""
    rows = queue(some("good", fit="drops in and moves"), look("z"), drawn="a0")
    assert [(r.why, r.sentence) for r in rows] == [("drawn", "drawn at random")]
