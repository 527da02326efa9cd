"""The ladder: steps by hand, and where a setter of a known rate stays."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.advice.ladder import Ladder

LADDER = Ladder(("a", "b", "c"))


def _after(signs: str, ladder: Ladder = LADDER) -> Ladder:
    for sign in signs:
        ladder = ladder.after(failed=sign == "-")
    return ladder


def test_two_good_ones_move_up_from_the_start() -> None:
    """By hand: 0.40, 0.52, 0.616 > 0.55, then 0.40 at the next grade."""
    assert _after("+").success == pytest.approx(0.52)
    assert _after("+").grade == "a"
    assert (_after("++").grade, _after("++").success) == ("b", 0.40)


def test_six_failures_move_down() -> None:
    """By hand: 0.40 x 0.8 to the fifth is 0.131, to the sixth 0.105 < 0.12."""
    second = _after("++")
    assert (_after("-----", second).grade, _after("------", second).grade) == ("b", "a")
    assert _after("------", second).success == 0.40


def test_the_ends_hold_and_success_runs_on() -> None:
    """At the last grade success goes past 0.55, at the first below 0.12."""
    last = replace(LADDER, place=2)
    assert _after("+++++", last).success > 0.8
    assert _after("+++++", last).grade == "c"
    assert _after("------").success < 0.12
    assert _after("------").grade == "a"


def test_a_choice_keeps_what_is_left_behind() -> None:
    """Success is remembered for the way back; a new grade starts at 0.40."""
    ladder = _after("+").moved_to("c")
    assert ladder.success == 0.40
    assert ladder.moved_to("a").success == pytest.approx(0.52)


def test_how_many_in_a_row_move_it() -> None:
    """Two good ones move the first grade up, none move it down; at the last none move it up."""
    assert (LADDER.in_a_row(failed=False), LADDER.in_a_row(failed=True)) == (2, None)
    last = replace(LADDER, place=2, success=0.40)
    assert (last.in_a_row(failed=False), last.in_a_row(failed=True)) == (None, 6)


@given(st.text("+-", max_size=80))
def test_success_stays_a_share_and_the_place_a_grade(signs: str) -> None:
    """Whatever happens, success lies in 0 to 1 and the place in the track."""
    ladder = _after(signs)
    assert 0 <= ladder.success <= 1
    assert ladder.grade in LADDER.grades
