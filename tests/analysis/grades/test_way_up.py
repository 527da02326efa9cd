"""The way up: where the work is, the row an evening begins with, and how each grade stands."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.advice.evenings import FIRST_EVENING, evenings
from tests.advice.two_track_course import two_track_course

from platebook.analysis.grades.states import State, grade_states
from platebook.analysis.grades.way_up import WAY_IN_USE, Ladder, Opening, WayRule, WayUp
from platebook.analysis.grades.whole_settings import as_whole_settings
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.values import replace

COURSE = two_track_course()
FIRST, SECOND, THIRD, LAST = (grade.id for grade in COURSE.ladder())
BY_HAND = WayRule(start=0.55, up=0.65, down=0.30, moved=0.475, ahead=1, row=3)
"""The constants that the steps by hand are for, whatever is in use."""


def _way(log: list[Attempt], rule: WayRule = BY_HAND, course: Course = COURSE) -> WayUp:
    way = WayUp(course, rule)
    for attempt in log:
        way.take(attempt, *as_whole_settings(course, (attempt,)))
    return way


def _evening(number: int) -> date:
    return (FIRST_EVENING + timedelta(weeks=number)).date()


def _states(log: list[Attempt]) -> list[State]:
    return list(grade_states(_way(log)).values())[:4]


def test_success_keeps_four_fifths_of_itself() -> None:
    """By hand: 0.55, 0.64, 0.712 is above 0.65 and moves up, where it is 0.475."""
    one, two = _way(evenings("+")).ladder(), _way(evenings("++")).ladder()
    assert one.grade == FIRST
    assert one.success == pytest.approx(0.64)
    assert (two.grade, two.success) == (SECOND, 0.475)


def test_failures_move_the_work_back() -> None:
    """By hand: 0.475, 0.38, 0.304, 0.2432 is below 0.30."""
    up = evenings("++")
    assert _way([*up, *evenings("--", SECOND, start=2)]).ladder().grade == SECOND
    assert _way([*up, *evenings("---", SECOND, start=2)]).ladder().grade == FIRST


def test_an_odd_stone_counts_at_its_grade_and_moves_no_work() -> None:
    """It was meant for the grade worked at; one chosen at another grade takes the work along."""
    up = evenings("+++", SECOND)
    odd = evenings("+", FIRST, start=3, proposed="metal;grade by stone")
    way = _way([*up, *odd])
    assert (way.ladder().grade, way.counters.so_far(FIRST).points) == (SECOND, 1)
    assert _way([*up, *evenings("+", FIRST, start=3)]).ladder().grade == FIRST


def test_the_work_runs_one_grade_ahead_of_what_is_passed() -> None:
    """However well it goes at the second grade, the third one waits for the first to be passed."""
    ahead = [*evenings("++"), *evenings("++++++", SECOND, start=2)]
    way = _way(ahead)
    assert (way.ladder().grade, way.ceiling(way.ladder())) == (SECOND, 1)
    assert way.on_from(way.ladder()) is None
    passed = _way([*ahead, *evenings("+++++", SECOND, start=8)])
    assert passed.counters.is_passed(FIRST)
    assert passed.ladder().grade == THIRD


def test_with_nothing_ahead_a_grade_opens_when_the_one_before_is_passed() -> None:
    """Ten good ones are not enough, eleven are."""
    strict = replace(BY_HAND, ahead=0)
    assert _way(evenings("+" * 10), strict).ladder().grade == FIRST
    assert _way(evenings("+" * 11), strict).ladder().grade == SECOND


def test_a_passed_grade_is_left_and_not_gone_back_to() -> None:
    """What is set there feeds its watch and leaves the work where it is; so do failures above."""
    passed = [*evenings("+" * 11, start=0)]
    there = _way([*passed, *evenings("+-+", start=11)]).ladder()
    assert there == _way(passed).ladder()
    assert there.grade == SECOND
    failing = _way([*passed, *evenings("-" * 9, SECOND, start=11)])
    assert failing.ladder().grade == SECOND
    assert failing.back_from(failing.ladder()) is None


def test_a_choice_is_followed_and_keeps_what_is_left_behind() -> None:
    """A setting further up moves the work there; the way back finds the success that was left."""
    chosen = _way([*evenings("+"), *evenings("+", LAST, start=1)]).ladder()
    assert chosen.grade == LAST
    assert chosen.success == pytest.approx(0.8 * 0.475 + 0.2)
    back = chosen.moved_to(FIRST, BY_HAND)
    assert back.success == pytest.approx(0.64)


def test_an_evening_begins_with_the_grade_that_is_to_be_passed() -> None:
    """Three settings there, which move its points and not the work; skipped by who goes on."""
    log = [*evenings("++"), *evenings("+" * 6, SECOND, start=2)]
    way = _way(log)
    assert way.opening(_evening(0)) is None
    assert way.opening(_evening(1)) == Opening("proving", FIRST, 3)
    begun = _way([*log, *evenings("-", start=8)])
    assert begun.opening(_evening(1)) == Opening("proving", FIRST, 2)
    assert begun.ladder() == way.ladder()
    assert _way([*log, *evenings("-++", start=8)]).opening(_evening(1)) is None
    assert _way([*log, *evenings("+", SECOND, start=8)]).opening(_evening(1)) is None


def test_a_passed_grade_is_tested_again_after_weeks() -> None:
    """Two weeks after it was last set; the next time five weeks after that, then twelve."""
    log = [*evenings("+" * 11), *evenings("+-" * 6, SECOND, start=11)]
    last = _evening(1)
    way = _way(log, replace(BY_HAND, retest_share=0.2))
    for days, due in ((13, None), (14, Opening("re-test", FIRST, 3))):
        assert way.opening(last + timedelta(days=days)) == due
    more = evenings("+-" * 8, SECOND, start=23)
    tested = [*log, *more, *evenings("+++", start=40), *evenings("+-" * 10, SECOND, start=43)]
    again = _way(tested)
    asked = [again.opening(_evening(5) + timedelta(days=days)) for days in (34, 35)]
    assert [o.purpose for o in asked if o is not None] == ["refresher", "re-test"]


def test_a_disturbed_watch_is_looked_at_again_after_two_weeks() -> None:
    """A failure in the re-test leaves the watch above rest, and it is tested sooner."""
    log = [*evenings("+" * 11), *evenings("+-" * 14, SECOND, start=11)]
    tested = [*log, *evenings("+--", start=40), *evenings("+-" * 6, SECOND, start=43)]
    opening = _way(tested).opening(_evening(5) + timedelta(days=14))
    assert opening is not None
    assert (opening.purpose, opening.grade) == ("re-test", FIRST)


def test_re_tests_take_a_bounded_share() -> None:
    """With twenty settings in the log three more would be above 12 in 100."""
    few = [*evenings("+" * 11), *evenings("+-" * 4, SECOND, start=11)]
    assert _way(few).opening(_evening(2) + timedelta(days=14)) != Opening("re-test", FIRST, 3)


def test_a_pause_asks_for_a_refresher() -> None:
    """More than fourteen days: two settings a grade below, or where one left off."""
    day = _evening(0) + timedelta(days=15)
    assert _way(evenings("++")).opening(day) == Opening("refresher", FIRST, 2)
    assert _way(evenings("+-")).opening(day) == Opening("refresher", FIRST, 2)
    assert _way(evenings("++")).opening(day - timedelta(days=1)) != Opening("refresher", FIRST, 2)


def test_how_many_in_a_row_move_the_work() -> None:
    """Two good ones from the first grade; none move it back from there."""
    way = _way(evenings("+-"))
    assert way.in_a_row(way.ladder(), failed=False) == 2
    assert way.in_a_row(way.ladder(), failed=True) is None


@pytest.mark.parametrize(
    ("log", "states"),
    [
        ([], ["practised", "ahead", "ahead", "ahead"]),
        (evenings("++"), ["tried", "practised", "ahead", "ahead"]),
        (evenings("+" * 11), ["passed", "practised", "ahead", "ahead"]),
        (evenings("+" * 11 + "----"), ["slipping", "practised", "ahead", "ahead"]),
        (evenings("+" * 15, LAST), ["passed"] * 4),
        (evenings("-", THIRD), ["ahead", "ahead", "practised", "ahead"]),
    ],
    ids=["nothing", "moved up", "passed", "slipped", "all passed", "chosen"],
)
def test_how_each_grade_stands(log: list[Attempt], states: list[State]) -> None:
    """One state a grade; of those not passed, the one that the work is at is practised."""
    assert _states(log) == states


def test_a_finished_track_practises_the_first_grade_of_the_next() -> None:
    """It is where the next exercise is."""
    states = grade_states(_way(evenings("+" * 15, LAST)))
    assert [g for g, state in states.items() if state == "practised"] == ["sterling-2.0"]


@given(
    st.lists(
        st.tuples(st.sampled_from([g.id for g in COURSE.grades]), st.sampled_from("+-?")),
        max_size=60,
    )
)
def test_at_most_one_grade_of_a_track_is_practised(log: list[tuple[str, str]]) -> None:
    """Whatever was set where; and on the track of the work one is, unless all of it is passed."""
    attempts = [a for n, (grade, sign) in enumerate(log) for a in evenings(sign, grade, start=n)]
    way = _way(attempts, WAY_IN_USE)
    states = grade_states(way)
    for track in COURSE.tracks():
        of_track = [g.id for g in COURSE.grades if g.track == track]
        practised = [g for g in of_track if states[g] == "practised"]
        assert len(practised) <= 1
        if track == way.track and practised:
            assert practised == [way.ladder().grade]


@given(st.text("+-", max_size=80))
def test_success_stays_a_share_and_the_place_a_grade(signs: str) -> None:
    """Whatever happens at the grades offered, success lies in 0 to 1."""
    way = WayUp(COURSE)
    for number, sign in enumerate(signs):
        opening = way.opening(_evening(number // 8))
        grade = opening.grade if opening is not None else way.ladder().grade
        (attempt,) = evenings(sign, grade, start=number)
        way.take(attempt, *as_whole_settings(COURSE, (attempt,)))
        ladder: Ladder = way.ladder()
        assert 0 <= ladder.success <= 1
        assert ladder.place <= way.ceiling(ladder)
