"""Why an exercise is offered and what would change it, each sentence with numbers by hand."""

from datetime import UTC, date, datetime, timedelta

import pytest
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice import NextExercise, next_exercise
from platebook.advice.reasons import Case
from platebook.advice.replay import Offer, Replay
from platebook.analysis.grades.progress import progress
from platebook.analysis.grades.way_up import WAY_IN_USE
from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD

COURSE = two_track_course()
EASIEST = COURSE.grades[0].id
FIRST_EVENING = date(2026, 1, 8)
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
    """Each reason carries its counts, and no number that only steers the work is shown."""
    offered = _next(evenings("+-"))
    assert offered.purpose == "settings"
    assert offered.why == (
        "You practise 1.5 mm in copper: 1 of the last 2 whole settings there came out good.",
        "2.0 mm in copper opens when 1.5 mm in copper is passed: 11 good ones to go.",
    )
    assert offered.changes == ("When three failures in a row point at width, its exercise comes.",)
    assert offered.repeat == 5


def test_the_share_good_now_is_that_of_progress() -> None:
    """Sixteen settings at one grade: the same share and band as the progress of the grade."""
    log = evenings("-+" * 8)
    shown = progress(COURSE, log).grades[0]
    assert (shown.now, shown.now_low, shown.now_high) != (None, None, None)
    low, high = 100 * (shown.now_low or 0), 100 * (shown.now_high or 0)
    share, band = f"{100 * (shown.now or 0):.0f} in 100", f"may be {low:.0f} to {high:.0f}"
    told = f"About {share} come out good now ({band})."
    assert told in _case(log, offer=Offer("settings", EASIEST, 2)).why()


def test_stuck_is_said_with_what_may_help() -> None:
    """Forty settings, two of five good, every failure loose: by the table width stands out."""
    log, day = evenings("+-+--" * 8, **WIDE), date(2026, 2, 11)
    why = _case(log, day, Offer("settings", EASIEST, 5)).why()
    (stayed,) = [line for line in why if line.startswith("For 40 settings it has stayed low: ")]
    (helps,) = [line for line in why if line.startswith("What may help: ")]
    assert " in 100 come out good now (may be " in stayed
    assert "the exercise for width, to which 20 of the last 20 failures point" in helps
    assert helps.endswith("a teacher's look at the next one.")
    assert not any(line.startswith("What may help") for line in _case(evenings("+-" * 8)).why())


def test_stuck_names_no_exercise_beside_the_one_on_offer() -> None:
    """One answer to which exercise: that of the offer; and for how long it has been low, in all."""
    case = _case(evenings("+-+--" * 12, **WIDE), date(2026, 3, 11))
    assert case.offer.part == "width"
    (stayed,) = [line for line in case.why() if "it has stayed low" in line]
    (helps,) = [line for line in case.why() if line.startswith("What may help")]
    assert stayed.startswith("For 60 settings")
    assert helps == "What may help beside it: a teacher's look at the next one."


def test_who_has_passed_everything_is_told_so() -> None:
    """With what a setting is for then; nothing of it before the last grade of the track is."""
    says = "Every grade of this track is passed"
    replay = Replay(COURSE)
    told = set()
    for number in range(120):
        day = FIRST_EVENING + timedelta(weeks=number // 8)
        offer, ladder = replay.offer(day), replay.ladder()
        if offer.purpose == "settings":
            why = " ".join(Case(replay, offer, ladder, day).why())
            left = bool(replay.way.to_pass(ladder))
            assert (says in why) is not left
            told.add(left)
        began = datetime(day.year, day.month, day.day, 18, number % 8, tzinfo=UTC)
        done = Attempt(kind=offer.kind, part=offer.part, result=(GOOD,))
        replay.log(done.with_values(began=began, grade=offer.grade))
    assert told == {True, False}


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
        "Four good ones or 5 tries end the part; then whole settings.",
        "With nobody to prepare a seat, say so: b, then s.",
    )


def test_a_grade_without_a_setting_says_so() -> None:
    """Eleven good ones opened the next grade, and nothing was set there yet."""
    why = _case(evenings("+" * 11), date(2026, 1, 20)).why()
    assert why == (
        "You practise 2.0 mm in copper: no whole setting there yet.",
        "2.5 mm in copper opens when 2.0 mm in copper is passed: 11 good ones to go.",
    )


def test_where_the_work_is_by_choice_the_way_back_is_said() -> None:
    """From 0.475, kept four fifths of at each of six failures: 0.125 is below 0.15, by hand."""
    chosen = [*evenings("+"), *evenings("-", "copper-2.0", start=1)]
    assert _case(chosen).why() == (
        "You practise 2.0 mm in copper: the one whole setting there failed.",
    )
    assert _case(chosen).changes()[0] == "5 failed settings in a row: back to 1.5 mm in copper."
    last = [*chosen, *evenings("----", "copper-2.0", start=2)]
    assert _case(last).changes()[0] == "One more failed setting: back to 1.5 mm in copper."


def test_only_the_last_eight_are_counted_back() -> None:
    """Four of ten came out good, and four of the last eight."""
    case = _case(evenings("--" + "-+" * 4), offer=Offer("settings", "copper-1.5", 2))
    assert case.why()[0].endswith(
        "1.5 mm in copper: 4 of the last 8 whole settings there came out good."
    )


def test_on_a_track_of_one_grade_there_is_nowhere_to_go() -> None:
    """Neither up nor down, and no row of settings is said to move the work."""
    replay = Replay.of(COURSE, evenings("+-"))
    case = Case(replay, Offer("settings", "brass-2.0", 5), replay.ladder("brass"), SAME_EVENING)
    assert case.why() == ("You practise 2.0 mm in brass: no whole setting there yet.",)
    assert not any("settings in a row" in sentence for sentence in case.changes())


def test_a_part_says_what_points_to_it_and_how_it_goes() -> None:
    """With its counts, and without the trouble that steers it."""
    failed = evenings("----", **WIDE)
    counted, working = _case(failed).why()
    assert counted == (
        "4 of your last 4 failures point to width, by common practice and by what you read and saw."
    )
    assert working.endswith("0 of the last 4 whole settings there came out good.")
    for signs, so_far in (("+", "So far 1 good of 1 try."), ("-+-", "So far 1 good of 3 tries.")):
        assert _case([*failed, *evenings(signs, start=4, **PART)]).why()[-1] == so_far


def test_a_part_says_what_ends_it_and_what_follows() -> None:
    """The course's own row, then three whole settings (docs/methods/next-exercise.md)."""
    assert _case(evenings("----", **WIDE)).changes() == (
        "Four good ones or 5 tries end the part; at least 3 whole settings follow.",
    )


def test_a_skill_in_trouble_says_how_many_failures_bring_its_exercise() -> None:
    """One width failure: 0.235, then 0.350, 0.447 is not above 0.45, then 0.530 is."""
    assert _case(evenings("+")).changes()[-1] == (
        "When four failures in a row point at one skill, its exercise comes."
    )
    assert _case(evenings("-", **WIDE)).changes()[-1] == (
        "When three failures in a row point at width, its exercise comes."
    )


AHEAD = [*evenings("+"), *evenings("+", "copper-2.0", start=1)]
"""A first setting at the first grade, and one at the second by choice."""


@pytest.mark.parametrize(
    ("log", "where", "at"),
    [
        (AHEAD, "a grade below 2.0 mm in copper", "2.0 mm in copper"),
        (evenings("+-"), "where you left off", "1.5 mm in copper"),
    ],
    ids=["below", "here"],
)
def test_a_refresher_says_how_long_and_where(log: list[Attempt], where: str, at: str) -> None:
    """Fifteen days are more than fourteen; below the first grade there is none."""
    case = _case(log, SAME_EVENING + timedelta(days=15))
    (why,) = case.why()
    assert why.startswith("15 days passed without practice, more than 14: 2 settings ")
    assert why.endswith(f" {where} to find the hand again.")
    assert case.changes() == (f"After 2 settings the work goes on at {at}.",)


def test_a_refresher_under_way_still_says_the_pause() -> None:
    """After three weeks off the pause is told for as long as one setting is left."""
    case = _case([*AHEAD, *evenings("+", start=24)], date(2026, 2, 3))
    assert case.why()[0].startswith("21 days passed without practice, more than 14: 1 setting a ")
    assert case.changes() == ("After 1 setting the work goes on at 2.0 mm in copper.",)


def test_a_row_at_the_evenings_beginning_says_what_for() -> None:
    """The work is ahead by choice, and the easier grade has two points of eleven."""
    case = _case([*evenings("++"), *evenings("+", "copper-2.0", start=2)], date(2026, 1, 20))
    row = f"{WAY_IN_USE.row} settings"
    assert case.why() == (
        (
            "1.5 mm in copper is still to be passed, 9 good ones to go: the evening begins with "
            f"{row} there, then on at 2.0 mm in copper."
        ),
    )
    assert case.changes() == (f"After {row} the work goes on at 2.0 mm in copper.",)


def test_a_re_test_says_how_long_the_grade_was_not_set() -> None:
    """Passed in the second week and not set for three."""
    log = [*evenings("+" * 11), *evenings("+-" * 10, "copper-2.0", start=11)]
    then = f"{WAY_IN_USE.row} settings there show whether it still holds."
    assert _case(log, date(2026, 2, 10)).why() == (
        f"1.5 mm in copper is passed and was not set for 21 days: {then}",
    )


def test_a_re_test_of_what_was_never_set_says_so() -> None:
    """The easier grade counts as passed by the harder one."""
    log = evenings("+" * 11 + "+-" * 10, "copper-2.0")
    row = f"{WAY_IN_USE.row} settings"
    offer = Offer("re-test", EASIEST, WAY_IN_USE.row, "whole")
    assert _case(log, offer=offer).why()[0] == (
        f"1.5 mm in copper counts as passed by a harder grade and was never set: {row} there show "
        "whether it holds."
    )


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
