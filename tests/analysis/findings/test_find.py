"""What goes with failure: planted habits are found, bad logs get an answer in words."""

import dataclasses
import warnings
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.telling.mechanisms import mechanisms
from platebook.analysis.findings.telling.results import Findings
from platebook.analysis.variables.attempt_log import EVERYTHING, Window, attempt_log
from platebook.analysis.variables.columns import columns
from platebook.practice.attempt import Attempt
from platebook.values import replace

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
    assert first.sentence.startswith("Loose went with more clearance: ")
    assert [count.of for count in first.counts] != [0, 0]
    assert first.low is not None
    assert first.low > 1.0


def test_the_same_attempts_give_the_same_answer_in_any_row_order() -> None:
    """Rows are put in order first, and every draw comes from the seed."""
    attempts = planted(dataclasses.replace(WIDE_SEATS, attempts=40), 6).attempts
    assert find(tuple(reversed(attempts))) == find(attempts)


def test_attempts_of_two_setters_are_refused() -> None:
    """A log is one person's; a class has its own function."""
    with pytest.raises(ValueError, match="one setter"):
        find([Attempt(setter="Ana"), Attempt(setter="Ben")])


@pytest.mark.parametrize("count", [0, 1, 5, 19])
def test_a_short_log_gets_counts_and_how_many_more(count: int) -> None:
    """Below twenty attempts nothing is said but counts and what is missing."""
    answer = find(planted(dataclasses.replace(WIDE_SEATS, attempts=32), 7).attempts[:count])
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
    attempts = planted(dataclasses.replace(WIDE_SEATS, attempts=24), 8).attempts
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
    """Counted on both sides (geometry: needed depth of a 2 mm stone is 0.384 mm)."""
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


BEGAN = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)


GOOD_LOG = planted(Plan(attempts=48, causes=(Cause("clearance_mm", "loose", size=2.0),)), 11)


def _quietly(attempts: list[Attempt] | tuple[Attempt, ...]) -> Findings:
    with warnings.catch_warnings(), np.errstate(all="raise", under="ignore"):
        warnings.simplefilter("error")
        return find(attempts)


def _reasons(attempts: list[Attempt] | tuple[Attempt, ...]) -> dict[str, str]:
    """Why variables could not be judged, by name."""
    return {unjudged.variable: unjudged.reason for unjudged in _quietly(attempts).not_judged}


def test_only_results_and_nothing_else() -> None:
    """With no set-up and no readings there is nothing to check, and it says so."""
    bare = [Attempt(result=("loose",) if i % 3 == 0 else ("good",)) for i in range(60)]
    answer = _quietly(bare)
    assert [f for f in answer.findings if f.status != "mechanism"] == []
    assert answer.checked == "Nothing could be checked yet."
    assert answer.failures == 20


def test_columns_that_never_change_are_named_as_not_judged() -> None:
    """One bur, one speed, one metal: constant columns say nothing and are told."""
    rows = [
        Attempt(result=("loose",) if i % 3 == 0 else ("good",), speed_step="slow", punch="copper")
        for i in range(40)
    ]
    reasons = _reasons(rows)
    assert reasons == {"speed_step": "never changed", "punch": "never changed"}


def test_readings_left_out_when_things_went_well_are_not_judged() -> None:
    """Measured on every failure and on few good ones: a gap that would itself look like a cause."""
    rows = [
        replace(a, seat_diameter_mm=a.seat_diameter_mm if a.result != ("good",) else None)
        for a in GOOD_LOG.attempts
    ]
    reasons = _reasons(rows)
    assert reasons["clearance_mm"].startswith("measured on ")


def test_what_moves_only_with_the_grade_is_not_judged() -> None:
    """A sheet chosen by the grade cannot be told from the grade."""
    reasons = {
        unjudged.variable: unjudged.reason for unjudged in _quietly(GOOD_LOG.attempts).not_judged
    }
    assert reasons["wall_ratio"] == "no change but with the grade"


def test_times_out_of_order_are_put_in_order() -> None:
    """The clock decides, not the row."""
    shuffled = [GOOD_LOG.attempts[i] for i in np.random.default_rng(1).permutation(48)]
    assert _quietly(shuffled) == _quietly(GOOD_LOG.attempts)


def test_attempts_at_the_same_second_get_an_answer() -> None:
    """An import that knows one time for all rows is one session."""
    rows = [replace(a, began=BEGAN) for a in GOOD_LOG.attempts]
    assert _quietly(rows).attempts == 48


def test_attempts_without_any_time_get_an_answer() -> None:
    """Rows keep the order they came in."""
    rows = [replace(a, began=None, attempt_id=None) for a in GOOD_LOG.attempts]
    assert _quietly(rows).attempts == 48


def test_a_course_changed_midway_gets_an_answer() -> None:
    """Grades of two courses are simply different grades."""
    rows = [
        replace(a, course="other" if i > 24 else "first", grade=f"grade {i // 8}")
        for i, a in enumerate(GOOD_LOG.attempts)
    ]
    assert _quietly(rows).attempts == 48


def test_absurd_numbers_do_not_break_the_answer() -> None:
    """A typing error of a thousand millimetres stays in the log and breaks nothing."""
    rows = [
        replace(a, seat_bur_mm=1900.0, hammer_g=1e9, minutes=1e7) if i == 5 else a
        for i, a in enumerate(GOOD_LOG.attempts)
    ]
    assert _quietly(rows).attempts == 48


def test_a_value_outside_the_list_is_a_level_of_its_own() -> None:
    """What was typed is kept, and can go with failure like any listed value."""
    rows = [
        Attempt(
            began=BEGAN + timedelta(days=i // 6, minutes=12 * (i % 6)),
            result=("marred",) if i % 3 == 0 else ("good",),
            lubricant="soap" if i % 3 == 0 else "wax",
        )
        for i in range(72)
    ]
    first = _quietly(rows).findings[0]
    assert (first.variable, first.direction) == ("lubricant", "soap")
    assert [(c.failed, c.of) for c in first.counts] == [(24, 24), (0, 48)]


def test_a_perfect_predictor_has_a_finite_odds_ratio() -> None:
    """Every loose stone with wide seats, none without: the prior keeps the size finite."""
    rows = [
        replace(
            a,
            result=("loose",)
            if (a.seat_diameter_mm or 0) > (a.stone_diameter_mm or 0) + 0.01
            else ("good",),
        )
        for a in GOOD_LOG.attempts
    ]
    first = _quietly(rows).findings[0]
    assert first.family == "width of the seat"
    assert first.odds_ratio is not None
    assert 1.0 < first.odds_ratio < 200.0


def test_of_two_values_the_odds_ratio_is_of_the_side_that_is_spoken_of() -> None:
    """Loose goes with no polish: the odds are many times as high, not nearly 0 times for "yes"."""
    rows = [
        replace(a, burnisher_polished=i % 3 > 0, result=("loose",) if i % 3 == 0 else ("good",))
        for i, a in enumerate(GOOD_LOG.attempts)
    ]
    first = next(f for f in _quietly(rows).findings if f.variable == "burnisher_polished")
    assert (first.direction, first.odds_ratio_per) == (
        "no",
        "the first count's side against the second's",
    )
    assert first.odds_ratio is not None
    assert first.low is not None
    assert first.high is not None
    assert 1.0 < first.low < first.odds_ratio < first.high


def test_result_words_that_count_nowhere() -> None:
    """Empty results, missed parts and culet out where the grade is free are no failures."""
    rows = [Attempt(result=r) for r in (None, (), ("missed",), ("culet out",), ("good",))]
    answer = _quietly(rows)
    assert (answer.attempts, answer.failures) == (2, 0)


@pytest.mark.slow
def test_five_thousand_attempts_get_an_answer() -> None:
    """Years of settings, all asked at once: the planted habit still stands first.

    What 20,000 take is a benchmark's question.
    """
    log = planted(Plan(attempts=5_000, causes=(Cause("clearance_mm", "loose", size=0.5),)), 12)
    first = find(log.attempts, window=EVERYTHING).findings[0]
    assert (first.family, first.status) == ("width of the seat", "claim")


def _ended_habit() -> list[Attempt]:
    """Wide seats come loose in the first 104 attempts, and in the 104 after them they do not."""
    first = planted(WIDE_SEATS, 5).attempts
    later = planted(dataclasses.replace(WIDE_SEATS, causes=()), 6).attempts
    last, begin = first[-1].began, later[0].began
    assert last is not None
    assert begin is not None
    by = last - begin + timedelta(days=3)
    return [*first, *(replace(a, began=a.began + by) for a in later if a.began is not None)]


@pytest.mark.slow
def test_a_habit_that_ended_is_no_finding_of_today() -> None:
    """It is listed with its date; asked of the time since, nothing is said of it."""
    attempts = _ended_habit()
    found = find(attempts)
    (gone,) = [f for f in found.retired if f.family == "width of the seat"]
    assert gone.retired is not None
    assert abs(gone.retired.attempt - 105) <= 16
    assert "width of the seat" not in {f.family for f in found.findings if f.status == "claim"}
    since = attempts[104].began
    assert since is not None
    lately = find(attempts, window=Window(since=since.date()))
    assert (lately.attempts, lately.retired) == (104, ())
    assert find(attempts[:104]).findings[0].family == "width of the seat"
