"""The next exercise: its offers and reasons, under sign-off, and whether readings are asked."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice import NextExercise, next_exercise
from platebook.advice.exercise import Factor
from platebook.advice.suggestion import SHARE, drawn, readings_asked
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.records import SignOff

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
    assert offered.repeat == 4
    assert offered.readings_asked


def test_who_has_nobody_to_prepare_seats_begins_with_empty_ones() -> None:
    """The burnisher alone, in seats of one's own (common practice); tries end it all the same."""
    offered = _next([], seats="own")
    assert (offered.purpose, offered.part) == ("begin", "burnishing no stone")
    assert "nobody prepares seats for you" in offered.why[0]
    part = {"kind": "part", "part": "burnishing no stone"}
    assert _next(evenings("++", **part), seats="own").purpose == "settings"
    assert _next(evenings("++", **part), seats="given").part == "burnishing"


def test_the_beginning_ends_by_tries_or_by_a_whole_setting() -> None:
    """Two good in a row, four tries, or any whole setting end the first part."""
    part = {"kind": "part", "part": "burnishing"}
    assert _next(evenings("+", **part)).purpose == "begin"
    assert _next(evenings("+", **part)).repeat == 3
    assert _next(evenings("++", **part)).purpose == "settings"
    assert _next(evenings("-+--", **part)).purpose == "settings"
    assert _next(evenings("-")).purpose == "settings"


def test_a_course_without_that_part_begins_with_a_setting() -> None:
    """Nothing is offered that the course does not have."""
    exercises = tuple(e for e in COURSE.exercises if e.kind == "whole")
    offered = next_exercise(two_track_course(exercises=exercises), [], today=SAME_EVENING)
    assert (offered.kind, offered.exercise) == ("whole", "whole")


def test_good_settings_move_the_grade() -> None:
    """Two good ones from the start work at the next grade."""
    assert _next(evenings("++")).grade == "copper-2.0"


def test_a_skill_that_stands_out_brings_its_part() -> None:
    """Four loose ones in wide seats: trouble of width 0.53 of 0.97 by hand."""
    offered = _next(evenings("----", **WIDE))
    assert (offered.purpose, offered.part, offered.grade) == ("remedial", "width", "copper-1.5")
    assert offered.why[0].startswith("4 of your last 4 failures point to width")
    assert "0.53, 55% of all" in offered.why[1]
    assert offered.trouble["width"] == pytest.approx(0.530, abs=0.001)


def test_the_part_ends_and_three_settings_follow() -> None:
    """Two good in a row end it, its trouble is halved, and it cannot come back for three."""
    failed = evenings("----", **WIDE)
    part = {"kind": "part", "part": "width"}
    one = [*failed, *evenings("+", start=4, **part)]
    two = [*failed, *evenings("++", start=4, **part)]
    assert (_next(one).purpose, _next(one).repeat) == ("remedial", 3)
    assert _next(two).purpose == "settings"
    assert _next(two).trouble["width"] == pytest.approx(0.265, abs=0.001)
    later = date(2026, 1, 20)
    more = [*two, *evenings("--", start=6, **WIDE)]
    assert _next(more, today=later).purpose == "settings"
    assert _next([*more, *evenings("-", start=8, **WIDE)], today=later).purpose == "remedial"


def test_one_part_an_evening_is_enough() -> None:
    """A second part on the same evening waits and says so; one under way goes on."""
    part = {"kind": "part", "part": "width"}
    again = [
        *evenings("----", **WIDE),
        *evenings("++", start=4, **part),
        *evenings("---", start=6, **WIDE),
    ]
    offered = _next(again)
    assert offered.purpose == "settings"
    assert offered.why[-1].startswith("Width stands out again, running trouble 0.")
    assert _next(again, today=date(2026, 1, 20)).purpose == "remedial"
    begun = [*evenings("----", **WIDE), *evenings("-", start=4, **part)]
    assert _next(begun).purpose == "remedial"


def test_four_tries_end_the_part_too() -> None:
    """A part that does not succeed is left after four tries; another part does not count."""
    failed = evenings("----", **WIDE)
    part = {"kind": "part", "part": "width"}
    assert _next([*failed, *evenings("-+-", start=4, **part)]).repeat == 1
    assert _next([*failed, *evenings("-+-+", start=4, **part)]).purpose == "settings"
    other = {"kind": "part", "part": "depth"}
    assert _next([*failed, *evenings("++++", start=4, **other)]).repeat == 4


def test_a_part_is_known_by_its_exercise() -> None:
    """An attempt that names only the exercise still counts for its part."""
    failed = evenings("----", **WIDE)
    tries = evenings("++", start=4, kind="part", exercise="part-width")
    assert _next([*failed, *tries]).purpose == "settings"


def test_good_settings_instead_of_the_part_let_it_go() -> None:
    """Who goes on and gets better is not held to the part."""
    attempts = [*evenings("----", **WIDE), *evenings("++++", start=4)]
    assert _next(attempts).purpose == "settings"


def test_a_pause_brings_a_refresher_a_grade_below() -> None:
    """After more than 14 days two settings a grade below come first and move points only."""
    before = evenings("++")
    offered = _next(before, today=date(2026, 2, 1))
    assert (offered.purpose, offered.grade, offered.repeat) == ("refresher", "copper-1.5", 2)
    assert offered.why[0].startswith("19 days passed without practice, more than 14")
    assert _next(before, today=date(2026, 1, 27)).purpose == "settings"
    refreshed = [*before, *evenings("+", start=24)]
    assert _next(refreshed, today=date(2026, 2, 3)).repeat == 1
    done = [*before, *evenings("+-", start=24)]
    after = _next(done, today=date(2026, 2, 3))
    assert (after.purpose, after.grade, after.success) == ("settings", "copper-2.0", 0.40)


def test_who_goes_on_after_a_pause_is_taken_at_their_word() -> None:
    """Settings at the working grade count as always, and the refresher is over."""
    attempts = [*evenings("++"), *evenings("++", "copper-2.0", start=24)]
    assert _next(attempts, today=date(2026, 2, 3)).grade == "copper-2.5"


def test_another_grade_by_choice_moves_the_work() -> None:
    """A teacher's or setter's choice is followed."""
    attempts = [*evenings("+"), *evenings("-", "copper-2.5", start=1)]
    offered = _next(attempts)
    assert offered.grade == "copper-2.5"
    assert offered.success == pytest.approx(0.8 * 0.40)


def _at_the_top(more: str = "") -> list[Attempt]:
    return evenings("+" * 6 + more, "copper-3.0")


def test_doing_well_at_the_top_proves_the_easier_grades() -> None:
    """Above 0.80 with an easier grade open a set of five is offered there; it moves points only."""
    offered = _next(_at_the_top())
    assert (offered.purpose, offered.grade, offered.repeat) == ("proving", "copper-2.5", 5)
    assert "5 good ones to go" in offered.why[0]
    proving = [*_at_the_top(), *evenings("+-", "copper-2.5", start=6)]
    later = _next(proving)
    assert (later.purpose, later.repeat, later.success) == ("proving", 3, offered.success)


def test_between_two_proving_sets_lies_a_row_of_its_own() -> None:
    """After five proving settings five at the own grade follow."""
    proved = [*_at_the_top(), *evenings("+--++", "copper-2.5", start=6)]
    assert (_next(proved).purpose, _next(proved).grade) == ("settings", "copper-3.0")
    own = [*proved, *evenings("+++++", "copper-3.0", start=11)]
    assert _next(own, today=date(2026, 1, 20)).purpose == "proving"


def test_a_finished_track_opens_the_next() -> None:
    """Fifteen good at the last copper grade pass all four; sterling is open after copper 2.0."""
    offered = _next(evenings("+" * 15, "copper-3.0"), today=date(2026, 1, 21))
    assert (offered.purpose, offered.grade) == ("next track", "sterling-2.0")
    assert offered.why[0].startswith("All 4 grades")


def test_everything_passed_keeps_the_hand_in() -> None:
    """With all tracks passed the last grade goes on."""
    done = [*evenings("+" * 15, "copper-3.0"), *evenings("+" * 15, "sterling-2.5", start=15)]
    offered = _next(done, today=date(2026, 2, 4))
    assert (offered.purpose, offered.grade) == ("settings", "sterling-2.5")


def test_a_track_can_be_asked_for() -> None:
    """Another track starts at its first grade; an unknown one is a programming fault."""
    assert _next(evenings("+-"), track="sterling").grade == "sterling-2.0"
    assert _next(evenings("+-"), track="brass").grade == "brass-2.0"
    with pytest.raises(ValueError, match="no track 'tin'"):
        _next([], track="tin")


def test_an_optional_grade_is_followed_only_when_chosen() -> None:
    """A setting at an optional grade counts for points and does not climb the ladder."""
    attempts = [*evenings("+-"), *evenings("+", "brass-2.0", start=2)]
    assert _next(attempts, track="copper").success == pytest.approx(0.416)


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
    assert after(evenings("++"), course=PLAIN).grade == SECOND
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


def test_going_on_at_the_grade_after_it_was_signed_is_ones_own_choice() -> None:
    """As ever: a setting at another grade keeps the work there."""
    log = [*evenings(ENOUGH), *evenings("+", start=12)]
    assert after(log, (FIRST, "a00011")).grade == FIRST


def test_a_grade_that_slipped_back_holds_the_work_again() -> None:
    """Until it is passed and signed once more."""
    log = [*evenings(ENOUGH), *evenings("-" * 12, start=12)]
    found = after(log, (FIRST, "a00011"))
    assert found.grade == FIRST
    assert any("has slipped back" in told for told in found.changes)


def test_failures_still_lead_down_under_sign_off() -> None:
    """What holds the work holds it from above only."""
    log = [*evenings(ENOUGH), *evenings("------", grade=SECOND, start=12)]
    assert after(log, (FIRST, "a00011")).grade == FIRST


def test_a_harder_grade_by_choice_is_not_forbidden() -> None:
    """The setter is the one who sets; the points of the easier one go on counting."""
    log = evenings("+" * 12, grade="copper-2.5")
    found = after(log)
    assert found.grade == "copper-2.5"
    assert any("waits for an instructor's sign-off" in why for why in found.why)


def test_a_course_without_sign_off_is_as_ever() -> None:
    """Whatever was signed, for every number of settings."""
    for count in range(1, 30):
        log = evenings(("+-++" * 8)[:count])
        assert after(log, (FIRST, "a00003"), course=PLAIN) == after(log, course=PLAIN)
