"""What goes with failure: planted habits are found, bad logs get an answer in words."""

import warnings
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.practice.attempt import Attempt

BEGAN = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
WIDE_SEATS = Plan(attempts=104, causes=(Cause("clearance_mm", "loose", size=2.0),))


def test_a_strong_planted_habit_stands_first_and_is_well_supported() -> None:
    """Seats cut too wide go with loose stones: first, claimed, in words and in counts."""
    first = find(planted(WIDE_SEATS, 5).attempts).findings[0]
    assert (first.family, first.defect, first.direction, first.status) == (
        "width of the seat",
        "loose",
        "higher",
        "claim",
    )
    assert first.sentence.startswith("Loose went with a clearance above ")
    assert [count.of for count in first.counts] != [0, 0]
    assert first.low is not None
    assert first.low > 1.0


def test_the_same_attempts_give_the_same_answer_in_any_row_order() -> None:
    """Rows are put in order first, and every draw comes from the seed."""
    attempts = planted(replace(WIDE_SEATS, attempts=40), 6).attempts
    assert find(tuple(reversed(attempts))) == find(attempts)


def test_attempts_of_two_setters_are_refused() -> None:
    """A log is one person's; a class has its own function."""
    with pytest.raises(ValueError, match="one setter"):
        find([Attempt(setter="Ana"), Attempt(setter="Ben")])


@pytest.mark.parametrize("count", [0, 1, 5, 19])
def test_a_short_log_gets_counts_and_how_many_more(count: int) -> None:
    """Below twenty attempts nothing is said but counts and what is missing."""
    answer = find(planted(replace(WIDE_SEATS, attempts=32), 7).attempts[:count])
    assert (answer.attempts, answer.evidence) == (count, "counts only")
    assert [f for f in answer.findings if f.status != "mechanism"] == []
    assert answer.more_needed.low is not None
    assert answer.more_needed.low >= 20 - count


@pytest.mark.parametrize("result", [("good",), ("loose",)])
def test_a_log_without_both_kinds_gets_counts_only(result: tuple[str, ...]) -> None:
    """All good or all failed: there is nothing to compare."""
    attempts = [
        Attempt(result=result, began=BEGAN + timedelta(days=i), seat_bur_mm=1.9 + i / 100)
        for i in range(40)
    ]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        answer = find(attempts)
    assert (answer.attempts, answer.evidence, answer.findings) == (40, "counts only", ())


def test_parts_and_unjudged_attempts_count_nowhere() -> None:
    """Part exercises and attempts without a look are not in the log that findings rest on."""
    attempts = planted(replace(WIDE_SEATS, attempts=24), 8).attempts
    more = [
        Attempt(setter_id="simulated", kind="part", part="width", result=("missed",)),
        Attempt(setter_id="simulated", result=None, began=BEGAN),
    ]
    assert find([*attempts, *more]).attempts == 24
