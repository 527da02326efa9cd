"""What goes with failure: planted habits are found, bad logs get an answer in words."""

import warnings
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.find import mechanisms
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import columns
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


def _shallow_cuts() -> list[Attempt]:
    """Seven high ones, six of them cut shallow; thirty good ones, five of them shallow."""
    high = [Attempt(result=("high",), stone_diameter_mm=2.0, seat_depth_mm=0.34)] * 6
    other = [Attempt(result=("high",), stone_diameter_mm=2.0, seat_depth_mm=0.40)]
    good = [
        Attempt(result=("good",), stone_diameter_mm=2.0, seat_depth_mm=0.36 if i < 5 else 0.40)
        for i in range(30)
    ]
    return [*high, *other, *good]


def test_shallow_cuts_are_the_mechanism_of_high_stones() -> None:
    """AttemptLog on both sides (geometry: needed depth of a 2 mm stone is 0.384 mm)."""
    log = attempt_log(_shallow_cuts())
    (shown,) = mechanisms(log, columns(log))
    assert (shown.variable, shown.family, shown.defect) == (
        "depth_error_mm",
        "depth of the seat",
        "high",
    )
    assert [(count.failed, count.of) for count in shown.counts] == [(6, 7), (5, 30)]


def test_a_mechanism_is_shown_as_one_and_never_as_a_lead() -> None:
    """The depth goes with high by definition, so no lead speaks of it."""
    findings = find(_shallow_cuts()).findings
    assert [(f.variable, f.status) for f in findings if f.family == "depth of the seat"] == [
        ("depth_error_mm", "mechanism")
    ]
    assert findings[-1].sentence == "6 of 7 high ones were cut shallow, against 5 of 30 others."
    assert findings[-1].odds_ratio is None


def test_a_mechanism_as_frequent_elsewhere_is_not_shown() -> None:
    """Where the good ones are as shallow, nothing is explained."""
    rows = [
        Attempt(result=r, stone_diameter_mm=2.0, seat_depth_mm=0.3) for r in (("high",), ("good",))
    ]
    log = attempt_log(rows * 10)
    assert mechanisms(log, columns(log)) == []
