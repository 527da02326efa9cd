"""Evenings in numbers and words: what came out of one day, the one before, the usual gap."""

from datetime import date, timedelta

import pytest
from tests.builders import BEGAN, an_attempt, some_course

from platebook.analysis.periods.evenings import (
    A_WEEK,
    MOST_DAYS,
    evening_on,
    last_evening_before,
    usual_gap,
)
from platebook.practice.attempt import Attempt
from platebook.trade.phrases import day_words, stretch_words

COURSE = some_course()
DAY = BEGAN.date()


def settings(*results: str, day: int = 0) -> list[Attempt]:
    """A setting a quarter of an hour, each with this result, so many days on."""
    return [
        an_attempt(
            attempt_id=f"{day:03d}{place}",
            began=BEGAN + timedelta(days=day, minutes=15 * place),
            grade="copper-2.0",
            result=(result,),
        )
        for place, result in enumerate(results)
    ]


@pytest.mark.parametrize(
    ("results", "words"),
    [
        (("good", "good"), "2 of 2 good"),
        (("good", "high"), "1 of 2 good, 1 high"),
        (("loose", "loose", "good"), "1 of 3 good, 2 loose"),
        (("loose", "loose", "high", "good"), "1 of 4 good, 2 loose, 1 high"),
        (("loose", "high", "good"), "1 of 3 good, 1 loose, 1 high"),
        (("loose", "high", "high", "low"), "0 of 4 good, 2 high, 1 loose and others"),
    ],
)
def test_an_evening_is_counted_and_its_failures_named(results: tuple[str, ...], words: str) -> None:
    """By the course's rule, the most frequent defect of what failed first."""
    evening = evening_on(DAY, settings(*results), COURSE)
    assert evening is not None
    assert evening.words == words


def test_a_slight_defect_is_no_failure() -> None:
    """Severity 1 is a remark: counted good, and not what failures were."""
    slight = an_attempt(grade="copper-2.0", result=("high",), severity=(1,))
    evening = evening_on(DAY, [slight], COURSE)
    assert evening is not None
    assert evening.words == "1 of 1 good"


def test_part_exercises_stand_beside_settings() -> None:
    """An evening of parts alone is one too; what was not judged is none."""
    part = an_attempt(kind="part", part="width", result=("missed",))
    both = evening_on(DAY, [*settings("good"), part], COURSE)
    alone = evening_on(DAY, [part], COURSE)
    assert both is not None
    assert alone is not None
    assert both.words == "1 of 1 good; 1 part exercise, missed"
    assert alone.words == "1 part exercise, missed"
    assert evening_on(DAY, [an_attempt(result=None)], COURSE) is None


@pytest.mark.parametrize(
    ("results", "words"),
    [
        (("good",), "1 part exercise, good"),
        (("missed", "good"), "1 of 2 part exercises good"),
        (("missed", "missed"), "0 of 2 part exercises good"),
    ],
)
def test_one_part_exercise_has_its_result_and_many_are_counted(
    results: tuple[str, ...], words: str
) -> None:
    """A count of one says nothing that its result does not."""
    parts = [an_attempt(kind="part", part="width", result=(result,)) for result in results]
    evening = evening_on(DAY, parts, COURSE)
    assert evening is not None
    assert evening.words == words


def test_the_last_evening_is_the_last_on_which_anything_was_judged() -> None:
    """Not the day itself, and not one without a verdict."""
    log = [*settings("good"), *settings("high", day=7)]
    log.append(an_attempt(attempt_id="z", began=BEGAN + timedelta(days=9), result=None))
    last = last_evening_before(DAY + timedelta(days=14), log, COURSE)
    assert last is not None
    assert last.day == DAY + timedelta(days=7)
    assert last_evening_before(DAY, log, COURSE) is None


@pytest.mark.parametrize(
    ("days", "gap"), [((), A_WEEK), ((0,), A_WEEK), ((0, 2, 4, 9), 2), ((0, 60), MOST_DAYS)]
)
def test_the_usual_gap_is_the_middle_one_of_the_last_few(days: tuple[int, ...], gap: int) -> None:
    """A week before there are two days; never more than a fortnight."""
    assert usual_gap([a for day in days for a in settings("good", day=day)]) == gap


def test_a_day_has_its_year_only_where_it_is_another_one() -> None:
    """As people say it."""
    assert day_words(date(2026, 3, 12), date(2026, 3, 20)) == "12 March"
    assert day_words(date(2025, 3, 12), date(2026, 3, 20)) == "12 March 2025"


@pytest.mark.parametrize(
    ("first", "words"),
    [
        (date(2026, 1, 8), "8 January to 26 March 2026"),
        (date(2025, 12, 4), "4 December 2025 to 26 March 2026"),
        (date(2026, 3, 26), "26 March 2026"),
    ],
)
def test_a_stretch_of_days_is_said_with_one_year_where_that_is_enough(
    first: date, words: str
) -> None:
    """And a single day stands alone."""
    assert stretch_words(first, date(2026, 3, 26)) == words


def test_the_pace_is_the_middle_gap_and_long_ones_are_pauses() -> None:
    """Four of a quarter of an hour each, then one an hour and a half later."""
    late = an_attempt(
        attempt_id="late",
        began=BEGAN + timedelta(minutes=135),
        grade="copper-2.0",
        result=("good",),
    )
    evening = evening_on(DAY, [*settings("good", "good", "high", "good"), late], COURSE)
    assert evening is not None
    assert evening.pace == "about 15 minutes each, one pause"


def test_three_settings_have_no_pace() -> None:
    """Two gaps are too few to speak of."""
    evening = evening_on(DAY, settings("good", "good", "high"), COURSE)
    assert evening is not None
    assert evening.pace == ""
