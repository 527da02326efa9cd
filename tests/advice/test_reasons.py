"""Why an exercise is offered and what would change it, each sentence with numbers by hand."""

from datetime import date, timedelta

import pytest
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice import NextExercise, next_exercise
from platebook.advice.reasons import Case
from platebook.advice.replay import Offer, Replay
from platebook.practice.attempt import Attempt

COURSE = two_track_course()
SAME_EVENING = date(2026, 1, 13)
WIDE = {"fit": "drops in and moves"}
PART = {"kind": "part", "part": "width"}


def _next(attempts: list[Attempt], today: date = SAME_EVENING) -> NextExercise:
    return next_exercise(COURSE, attempts, today=today)


def _case(attempts: list[Attempt], day: date = SAME_EVENING, offer: Offer | None = None) -> Case:
    """What follows this log; `offer` stands in for what comes next by the rule."""
    replay = Replay.of(COURSE, attempts)
    return Case(replay, offer or replay.offer(day), replay.ladder(), day)


def test_settings_say_how_it_goes_and_what_moves() -> None:
    """Every reason carries its numbers: 1 of 2, running success 0.42 by hand."""
    offered = _next(evenings("+-"))
    assert offered.purpose == "settings"
    assert offered.success == pytest.approx(0.8 * 0.52)
    assert offered.why == (
        "You are working at 1.5 mm in copper: 1 of the last 2 whole settings there came out good.",
        (
            "With the newest counted most, 42 in 100 come out good: above 55 the work moves up to "
            "2.0 mm in copper."
        ),
    )
    assert offered.changes[0] == "2 good settings in a row: on to 2.0 mm in copper."
    assert offered.repeat == 2


def test_slipping_back_is_said() -> None:
    """A passed grade that slips is named in what would change."""
    offered = _next(evenings("+" * 11 + "----"), today=date(2026, 1, 20))
    assert any("1.5 mm in copper has slipped back" in line for line in offered.changes)


def test_a_beginning_counts_its_tries() -> None:
    """Nothing of them before the first, and one is a try and not a tries."""
    part = {"kind": "part", "part": "burnishing"}
    assert len(_case([]).why()) == 1
    assert _case(evenings("-", **part)).why()[1:] == ("1 try so far.",)
    assert _case(evenings("-+-", **part)).why()[1:] == ("3 tries so far.",)


def test_a_beginning_says_what_ends_it() -> None:
    """Two in a row or four tries (docs/methods/next-exercise.md), or a whole setting."""
    assert _case([]).changes() == (
        "2 good ones in a row or 4 tries end the part; then whole settings.",
        "With nobody to prepare a seat, say so: b, then s.",
    )


def test_a_grade_without_a_setting_says_so() -> None:
    """Two good ones moved the work up, and nothing was set there yet."""
    why = _case(evenings("++")).why()
    assert why[0] == "You are working at 2.0 mm in copper: no whole setting there yet."


def test_between_two_grades_both_ways_are_named() -> None:
    """0.8 × 0.40 + 0.2 is 0.52 after a first good one there."""
    case = _case([*evenings("++"), *evenings("+", "copper-2.0", start=2)])
    assert case.why() == (
        "You are working at 2.0 mm in copper: 1 of the last 1 whole setting there came out good.",
        (
            "With the newest counted most, 52 in 100 come out good: above 55 the work moves up to "
            "2.5 mm in copper, below 12 down to 1.5 mm in copper."
        ),
    )


def test_how_many_in_a_row_move_the_work() -> None:
    """From 0.40 two good (0.62) or six failed (0.40 × 0.8⁶ is 0.105); from 0.52 one good (0.62).

    Down from 0.52 seven: 0.52 × 0.8⁶ is 0.136, and × 0.8⁷ 0.109.
    """
    moved = evenings("++")
    assert _case(moved).changes()[:2] == (
        "2 good settings in a row: on to 2.5 mm in copper.",
        "6 failed settings in a row: back to 1.5 mm in copper.",
    )
    assert _case([*moved, *evenings("+", "copper-2.0", start=2)]).changes()[:2] == (
        "One more good setting: on to 2.5 mm in copper.",
        "7 failed settings in a row: back to 1.5 mm in copper.",
    )


def test_only_the_last_eight_are_counted_back() -> None:
    """Four of ten came out good, and four of the last eight."""
    case = _case(evenings("--" + "-+" * 4), offer=Offer("settings", "copper-1.5", 2))
    assert case.why()[0].endswith(
        "at 1.5 mm in copper: 4 of the last 8 whole settings there came out good."
    )


def test_on_a_track_of_one_grade_there_is_nowhere_to_go() -> None:
    """Neither up nor down, and no row of settings is said to move the work."""
    replay = Replay.of(COURSE, evenings("+-"))
    case = Case(replay, Offer("settings", "brass-2.0", 5), replay.ladder("brass"), SAME_EVENING)
    assert case.why()[1].endswith("come out good: there is no other grade on this track.")
    assert not any("in a row" in sentence for sentence in case.changes())


def test_a_part_says_what_points_to_it_and_how_it_goes() -> None:
    """0.85⁴ × 0.1 + 0.15 × (1 + 0.85 + 0.85² + 0.85³) is 0.530 after four wide loose ones."""
    failed = evenings("----", **WIDE)
    counted, trace, working = _case(failed).why()
    assert counted == (
        "4 of your last 4 failures point to width, by common practice and by what you read and saw."
    )
    assert trace.startswith("Its running trouble is 0.53, ")
    assert trace.endswith("a part exercise comes above 0.45 and 45%.")
    assert working.endswith("0 of the last 4 whole settings there came out good.")
    for signs, so_far in (("+", "So far 1 good of 1 try."), ("-+-", "So far 1 good of 3 tries.")):
        assert _case([*failed, *evenings(signs, start=4, **PART)]).why()[-1] == so_far


def test_a_part_says_what_ends_it_and_what_follows() -> None:
    """Two in a row, four tries, then three whole settings (docs/methods/next-exercise.md)."""
    assert _case(evenings("----", **WIDE)).changes() == (
        "2 good ones in a row or 4 tries end the part; at least 3 whole settings follow.",
    )


@pytest.mark.parametrize(
    ("signs", "where"), [("++", "a grade below 2.0 mm in copper"), ("+-", "where you left off")]
)
def test_a_refresher_says_how_long_and_where(signs: str, where: str) -> None:
    """Fifteen days are more than fourteen; below the first grade there is none."""
    case = _case(evenings(signs), SAME_EVENING + timedelta(days=15))
    (why,) = case.why()
    assert why.startswith("15 days passed without practice, more than 14: 2 settings ")
    assert why.endswith(f" {where} to find the hand again.")
    assert case.changes() == ("After 2 attempts the work goes on where it was.",)


def test_a_refresher_under_way_still_says_the_pause() -> None:
    """A week after three weeks off the pause of three weeks is told, and one setting is left."""
    case = _case([*evenings("++"), *evenings("+", start=24)], date(2026, 2, 5))
    assert case.why()[0].startswith("21 days passed without practice, more than 14: 1 setting a ")
    assert case.changes() == ("After 1 attempt the work goes on where it was.",)


def test_a_proving_set_says_what_is_not_passed() -> None:
    """Six good ones: 1 - 0.6 × 0.8⁶ is 0.84; they count below too, so 5 of 11 are to go."""
    case = _case(evenings("+" * 6, "copper-3.0"))
    assert case.why()[0].startswith(
        "At 3.0 mm in copper running success is 0.84, above 0.80, but 2.5 mm in copper is not "
        "passed: 5 good ones to go"
    )
    assert case.changes() == ("After 5 settings the work goes on at its own grade.",)


def test_a_next_track_says_what_is_done_and_how_to_stay() -> None:
    """All four copper grades, and sterling opens."""
    case = _case(evenings("+" * 15, "copper-3.0"), date(2026, 1, 21))
    assert case.why() == (
        "All 4 grades of this track are passed; 2.0 mm in sterling is the next one open.",
    )
    assert case.changes() == ("A setting logged at another grade keeps the work there.",)


def test_a_block_moves_nothing() -> None:
    """Neither points nor the grade, whatever came before."""
    case = _case(evenings("+-"), offer=Offer("block", "copper-1.5", 8, "block"))
    assert case.changes() == ("A block moves neither points nor the working grade.",)


@pytest.mark.parametrize("signs", ["", "+", "-", "?", "+-" * 12, "+" * 30, "-" * 30])
def test_any_log_has_whole_sentences_without_a_repeat(signs: str) -> None:
    """Each begins large and ends with its full stop, and none is said twice."""
    for day in (SAME_EVENING, date(2026, 6, 1)):
        case = _case(evenings(signs), day)
        sentences = (*case.why(), *case.changes())
        assert all(s.endswith(".") and not s[0].islower() for s in sentences)
        assert len(set(sentences)) == len(sentences)
