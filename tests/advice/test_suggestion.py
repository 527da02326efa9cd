"""The next exercise: its offers and reasons, under sign-off, and whether readings are asked."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st
from tests.advice.evenings import FIRST_EVENING, evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice import NextExercise, next_exercise
from platebook.advice.exercise import Factor
from platebook.advice.skill_traces import PARTS_IN_USE
from platebook.advice.suggestion import SHARE, drawn, readings_asked
from platebook.analysis.grades.way_up import WAY_IN_USE
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.records import SignOff
from platebook.values import replace

COURSE = two_track_course()
SAME_EVENING = date(2026, 1, 13)
WIDE = {"fit": "drops in and moves"}


def _next(attempts: list[Attempt], today: date = SAME_EVENING, **more: object) -> NextExercise:
    return next_exercise(COURSE, attempts, today=today, **more)  # type: ignore[arg-type]


def test_a_first_evening_burnishes_a_prepared_seat() -> None:
    """With nothing logged the course begins with its last step (common practice)."""
    offered = _next([])
    assert (offered.purpose, offered.kind, offered.part) == ("begin", "part", "burnishing")
    assert (offered.grade, offered.exercise) == ("copper-1.5", "part-burnishing")
    assert offered.repeat == 5
    assert offered.readings_asked


def test_who_has_nobody_to_prepare_seats_begins_with_empty_ones() -> None:
    """The burnisher alone, in seats of one's own (common practice); tries end it all the same."""
    offered = _next([], seats="own")
    assert (offered.purpose, offered.part) == ("begin", "burnishing no stone")
    assert "nobody prepares seats for you" in offered.why[0]
    part = {"kind": "part", "part": "burnishing no stone"}
    assert _next(evenings("++++", **part), seats="own").purpose == "settings"
    assert _next(evenings("++++", **part), seats="given").part == "burnishing"


def test_the_beginning_ends_by_tries_or_by_a_whole_setting() -> None:
    """The course's four good ones, five tries, or any whole setting end the first part."""
    part = {"kind": "part", "part": "burnishing"}
    assert _next(evenings("+", **part)).purpose == "begin"
    assert _next(evenings("+", **part)).repeat == 4
    assert _next(evenings("++++", **part)).purpose == "settings"
    assert _next(evenings("-+--+", **part)).purpose == "settings"
    assert _next(evenings("-")).purpose == "settings"


def test_a_course_without_that_part_begins_with_a_setting() -> None:
    """Nothing is offered that the course does not have."""
    exercises = tuple(e for e in COURSE.exercises if e.kind == "whole")
    offered = next_exercise(two_track_course(exercises=exercises), [], today=SAME_EVENING)
    assert (offered.kind, offered.exercise) == ("whole", "whole")


def test_good_settings_move_the_grade() -> None:
    """Eleven good ones pass the first grade, and the next one opens; ten do not."""
    assert _next(evenings("+" * 10), date(2026, 1, 20)).grade == "copper-1.5"
    assert _next(evenings("+" * 11), date(2026, 1, 20)).grade == "copper-2.0"


def test_a_skill_that_stands_out_brings_its_part() -> None:
    """Four loose ones in wide seats: trouble of width 0.530 of 0.97 by hand."""
    offered = _next(evenings("----", **WIDE))
    assert (offered.purpose, offered.part, offered.grade) == ("remedial", "width", "copper-1.5")
    assert offered.why[0].startswith("4 of your last 4 failures point to width")
    assert offered.trouble["width"] == pytest.approx(0.530, abs=0.001)


def test_the_part_ends_and_three_settings_follow() -> None:
    """The course's four good ones end it, its trouble is halved, and three settings follow."""
    failed = evenings("----", **WIDE)
    part = {"kind": "part", "part": "width"}
    one = [*failed, *evenings("+", start=4, **part)]
    four = [*failed, *evenings("++++", start=4, **part)]
    assert (_next(one).purpose, _next(one).repeat) == ("remedial", 4)
    assert _next(four).purpose == "settings"
    assert _next(four).trouble["width"] == pytest.approx(0.265, abs=0.001)
    later = date(2026, 1, 20)
    more = [*four, *evenings("--", start=8, **WIDE)]
    assert _next(more, today=later).purpose == "settings"
    assert _next([*more, *evenings("-", start=10, **WIDE)], today=later).purpose == "remedial"


def test_so_many_parts_an_evening_are_enough() -> None:
    """One more on the same evening waits and says so; one under way goes on."""
    part = {"kind": "part", "part": "width"}
    row = [*evenings("----", **WIDE), *evenings("++++", **part)]
    log = [*row * (PARTS_IN_USE.an_evening or 0), *evenings("----", **WIDE)]
    again = [
        replace(a, attempt_id=f"b{n:03d}", began=FIRST_EVENING + timedelta(minutes=n))
        for n, a in enumerate(log)
    ]
    offered = _next(again)
    assert offered.purpose == "settings"
    assert offered.why[-1].startswith("Width stands out again; ")
    assert _next(again, today=date(2026, 1, 20)).purpose == "remedial"
    begun = [*evenings("----", **WIDE), *evenings("-", start=4, **part)]
    assert _next(begun).purpose == "remedial"


def test_a_full_row_ends_the_part_too() -> None:
    """A part that does not succeed is left after the course's five tries; others do not count."""
    failed = evenings("----", **WIDE)
    part = {"kind": "part", "part": "width"}
    assert _next([*failed, *evenings("-+-+", start=4, **part)]).repeat == 1
    assert _next([*failed, *evenings("-+-+-", start=4, **part)]).purpose == "settings"
    other = {"kind": "part", "part": "depth"}
    assert _next([*failed, *evenings("++++", start=4, **other)]).repeat == 5


def test_a_part_is_known_by_its_exercise() -> None:
    """An attempt that names only the exercise still counts for its part."""
    failed = evenings("----", **WIDE)
    tries = evenings("++++", start=4, kind="part", exercise="part-width")
    assert _next([*failed, *tries]).purpose == "settings"


def test_good_settings_instead_of_the_part_let_it_go() -> None:
    """Who goes on and gets better is not held to the part."""
    attempts = [*evenings("----", **WIDE), *evenings("++++", start=4)]
    assert _next(attempts).purpose == "settings"


def test_a_pause_brings_a_refresher_a_grade_below() -> None:
    """After more than 14 days two settings a grade below come first and move points only."""
    before = [*evenings("+"), *evenings("+", "copper-2.0", start=1)]
    offered = _next(before, today=date(2026, 2, 1))
    assert (offered.purpose, offered.grade, offered.repeat) == ("refresher", "copper-1.5", 2)
    assert offered.why[0].startswith("19 days passed without practice, more than 14")
    refreshed = [*before, *evenings("+", start=24)]
    assert _next(refreshed, today=date(2026, 2, 3)).repeat == 1
    done = [*before, *evenings("+-", start=24)]
    after = _next(done, today=date(2026, 2, 3))
    assert (after.purpose, after.grade) == ("settings", "copper-2.0")
    assert after.success == pytest.approx(0.8 * WAY_IN_USE.moved + 0.2)


def test_who_goes_on_after_a_pause_is_taken_at_their_word() -> None:
    """Settings at the working grade count as always, and the refresher is over."""
    attempts = [*evenings("++"), *evenings("+", "copper-2.0", start=24)]
    offered = _next(attempts, today=date(2026, 2, 3))
    assert (offered.purpose, offered.grade) == ("settings", "copper-2.0")


def test_another_grade_by_choice_moves_the_work() -> None:
    """A teacher's or setter's choice is followed."""
    attempts = [*evenings("+"), *evenings("-", "copper-2.5", start=1)]
    offered = _next(attempts)
    assert offered.grade == offered.practised == "copper-2.5"
    assert offered.success == pytest.approx(0.8 * WAY_IN_USE.moved)


def test_an_evening_begins_with_the_grade_to_be_passed() -> None:
    """The row is at the easier grade, the work stays practised, and each state is its own."""
    attempts = [*evenings("++"), *evenings("+", "copper-2.0", start=2)]
    offered = _next(attempts, today=date(2026, 1, 20))
    assert (offered.purpose, offered.grade, offered.state) == ("proving", "copper-1.5", "tried")
    assert (offered.practised, offered.repeat) == ("copper-2.0", WAY_IN_USE.row)
    done = [*attempts, *evenings("+" * WAY_IN_USE.row, start=8)]
    after = _next(done, today=date(2026, 1, 20))
    assert (after.purpose, after.grade, after.state) == ("settings", "copper-2.0", "practised")


def test_a_finished_track_opens_the_next() -> None:
    """Fifteen good at the last copper grade pass all four; sterling is open after copper 2.0."""
    offered = _next(evenings("+" * 15, "copper-3.0"), today=date(2026, 1, 21))
    assert (offered.purpose, offered.grade) == ("next track", "sterling-2.0")
    assert offered.why[0].startswith("All 4 grades")


def test_everything_passed_keeps_the_hand_in() -> None:
    """With all tracks passed the last grade goes on, after a re-test where one is due."""
    done = [*evenings("+" * 15, "copper-3.0"), *evenings("+" * 15, "sterling-2.5", start=15)]
    offered = _next(done, today=date(2026, 2, 4))
    assert (offered.purpose, offered.state) == ("re-test", "passed")
    assert offered.practised == "sterling-2.5"
    tested = [*done, *evenings("+" * WAY_IN_USE.row, offered.grade, start=32)]
    assert _next(tested, today=date(2026, 2, 10)).grade == "sterling-2.5"


def test_a_track_can_be_asked_for() -> None:
    """Another track starts at its first grade; an unknown one is a programming fault."""
    assert _next(evenings("+-"), track="sterling").grade == "sterling-2.0"
    assert _next(evenings("+-"), track="brass").grade == "brass-2.0"
    with pytest.raises(ValueError, match="no track 'tin'"):
        _next([], track="tin")


def test_an_optional_grade_is_followed_only_when_chosen() -> None:
    """A setting at an optional grade counts for points and does not climb the ladder."""
    attempts = [*evenings("+-"), *evenings("+", "brass-2.0", start=2)]
    assert _next(attempts, track="copper").success == pytest.approx(
        0.8 * (0.8 * WAY_IN_USE.start + 0.2)
    )


def test_a_lead_to_settle_offers_a_block() -> None:
    """A block of eight with its plan; the next one is numbered on."""
    factors = (Factor(name="burnish_passes", low="1", high="3+"),)
    offered = _next(evenings("+-"), lead_to_settle=factors)
    assert (offered.purpose, offered.kind, offered.exercise) == ("block", "block", "block")
    assert offered.block is not None
    assert (offered.block.number, len(offered.block.runs), offered.repeat) == (1, 8, 8)
    again = [*evenings("+-"), *evenings("+", start=2, kind="block", block="b1")]
    second = _next(again, lead_to_settle=factors)
    assert second.block is not None
    assert second.block.number == 2


def test_blocks_move_neither_ladder_nor_traces() -> None:
    """Eight failed block settings leave success and trouble as they were."""
    before = _next(evenings("+-"))
    block = evenings("-" * 6, start=2, kind="block", block="b1", **WIDE)
    after = _next([*evenings("+-"), *block])
    assert (after.success, after.trouble) == (before.success, before.trouble)


def test_readings_are_asked_by_grade_and_lot() -> None:
    """While learning always; over seeds at a passed grade only sometimes."""
    assert all(_next(evenings("+-"), seed=seed).readings_asked for seed in range(10))
    done = [*evenings("+" * 15, "copper-3.0"), *evenings("+" * 15, "sterling-2.5", start=15)]
    asked = {_next(done, today=date(2026, 2, 4), seed=seed).readings_asked for seed in range(20)}
    assert asked == {True, False}


def test_two_setters_are_a_programming_fault() -> None:
    """Logs of several people are never merged."""
    mixed = evenings("+", setter="Ann") + evenings("+", setter="Bo", start=1)
    with pytest.raises(ValueError, match="2 setters"):
        _next(mixed)


@how(deadline=None, max_examples=60)
@given(
    st.lists(
        st.builds(
            Attempt,
            grade=st.sampled_from([None, "copper-1.5", "copper-2.5", "brass-2.0", "other"]),
            kind=st.sampled_from([None, "whole", "part", "block"]),
            part=st.sampled_from([None, "width", "depth", "seeing"]),
            result=st.sampled_from([None, ("good",), ("loose",), ("missed",), ("high", "gap")]),
        ),
        max_size=40,
    )
)
def test_any_log_gets_an_answer(attempts: list[Attempt]) -> None:
    """Whatever was logged, an exercise of the course is offered with a reason."""
    offered = _next(attempts)
    assert COURSE.grade(offered.grade) is not None
    assert offered.exercise is not None
    assert offered.repeat >= 1
    assert offered.why
    assert offered == _next(attempts)


PASSED = evenings("+" * 11)


def test_a_grade_being_learned_always_asks() -> None:
    """Until the grade is passed every attempt's readings are asked."""
    assert all(
        readings_asked(COURSE, evenings("+" * n), grade="copper-1.5", seed=seed)
        for n in range(11)
        for seed in range(5)
    )


def test_a_block_and_a_part_always_ask() -> None:
    """A block at a passed grade still asks."""
    for seed in range(20):
        assert readings_asked(COURSE, PASSED, grade="copper-1.5", kind="block", seed=seed)
        assert readings_asked(COURSE, PASSED, grade="copper-1.5", kind="part", seed=seed)


def test_no_grade_counts_as_learning() -> None:
    """Without a grade of the course everything is asked."""
    assert readings_asked(COURSE, PASSED, grade=None)
    assert readings_asked(COURSE, PASSED, grade="elsewhere")


def test_a_passed_grade_asks_a_third_by_lot() -> None:
    """Over 3000 draws the share is a third within three standard errors (0.026)."""
    asked = [drawn(20260101, n) for n in range(3000)]
    assert abs(sum(asked) / 3000 - SHARE) < 0.026


def test_the_lot_does_not_depend_on_the_results() -> None:
    """The same number of attempts and seed asks alike, however the last one came out."""
    for seed in range(40):
        good = readings_asked(COURSE, [*PASSED, *evenings("+", start=11)], grade="copper-1.5")
        bad = readings_asked(COURSE, [*PASSED, *evenings("-", start=11)], grade="copper-1.5")
        assert good == bad
        once = readings_asked(COURSE, PASSED, grade="copper-1.5", seed=seed)
        assert once == drawn(seed, 11)


ASKS = two_track_course(sign_off=True)
PLAIN = two_track_course()
FIRST, SECOND = (grade.id for grade in ASKS.grades[:2])
ENOUGH = "+" * 12


def after(attempts: list[Attempt], *signed: tuple[str, str], course: Course = ASKS) -> NextExercise:
    """What comes next a day after the last attempt, with these grades signed after these."""
    began = attempts[-1].began
    assert began is not None
    given = [
        SignOff(setter_id="s", course=course.id, grade=g, signed_by="Tutor", attempt_id=a)
        for g, a in signed
    ]
    today = (began + timedelta(days=1)).date()
    return next_exercise(course, attempts, today=today, sign_offs=given)


def test_the_work_stays_at_the_grade_until_it_is_signed_off() -> None:
    """With its points it waits and says so; without them it says what is wanted."""
    few, enough = after(evenings("++")), after(evenings(ENOUGH))
    assert (few.grade, enough.grade) == (FIRST, FIRST)
    assert after(evenings(ENOUGH), course=PLAIN).practised == SECOND
    assert f"The work moves up when {few.grade_title} is passed and signed off." in few.why
    told = f"{enough.grade_title} has 11 of 11 points; it waits for an instructor's sign-off."
    assert told in enough.why
    assert f"{enough.grade_title} signed off: on to 2.0 mm in copper." in enough.changes
    assert not any("the work moves up to" in why for why in (*few.why, *enough.why))


def test_signed_off_it_goes_on_at_once() -> None:
    """The next exercise is at the next grade, and one failure there does not bring it back."""
    signed = (FIRST, "a00011")
    log = evenings(ENOUGH)
    assert after(log, signed).grade == SECOND
    one_more = [*log, *evenings("-", grade=SECOND, start=12)]
    assert after(one_more, signed).grade == SECOND


def test_going_on_at_the_grade_after_it_was_signed_feeds_its_watch() -> None:
    """A passed grade is not practised again by a setting there."""
    log = [*evenings(ENOUGH), *evenings("+", start=12)]
    assert after(log, (FIRST, "a00011")).practised == SECOND


def test_a_grade_that_slipped_back_holds_the_work_again() -> None:
    """Until it is passed and signed once more."""
    log = [*evenings(ENOUGH), *evenings("-" * 12, start=12)]
    found = after(log, (FIRST, "a00011"))
    assert found.grade == FIRST
    assert any("has slipped back" in told for told in found.changes)


def test_failures_lead_down_to_a_grade_that_is_not_passed() -> None:
    """By choice a grade too far; a signed one is not gone back to."""
    log = [*evenings("+"), *evenings("------", grade=SECOND, start=1)]
    assert after(log).grade == FIRST
    passed = [*evenings(ENOUGH), *evenings("------", grade=SECOND, start=12)]
    assert after(passed, (FIRST, "a00011")).practised == SECOND


def test_a_harder_grade_by_choice_is_not_forbidden() -> None:
    """The setter is the one who sets; enough points there are enough for the easier ones."""
    log = evenings("+" * 12, grade="copper-2.5")
    found = after(log)
    assert found.practised == "copper-2.5"
    assert any("waits for an instructor's sign-off" in why for why in found.why)


def test_a_course_without_sign_off_is_as_ever() -> None:
    """Whatever was signed, for every number of settings."""
    for count in range(1, 30):
        log = evenings(("+-++" * 8)[:count])
        assert after(log, (FIRST, "a00003"), course=PLAIN) == after(log, course=PLAIN)
