"""The ladder: steps by hand, and where a setter of a known rate stays."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.advice.defect_skills import SKILLS, Skill
from platebook.advice.ladder import Ladder, SkillTraces


def _against(**shares: float) -> dict[Skill, float]:
    return {skill: shares.get(skill, 0.0) for skill in SKILLS}


def test_trouble_starts_at_a_tenth_and_moves_by_fifteen_percent() -> None:
    """By hand: 0.85 x 0.1 + 0.15 = 0.235 for the blamed one, 0.085 for the others."""
    traces = SkillTraces.at_first().after(_against(width=1.0))
    assert traces.of("width") == pytest.approx(0.235)
    assert traces.of("depth") == pytest.approx(0.085)


def test_a_skill_stands_out_after_four_failures() -> None:
    """By hand: 0.447 after three is not above 0.45; after four 0.530 of 0.843, that is 63 %."""
    traces = SkillTraces.at_first()
    seen = []
    for _ in range(4):
        traces = traces.after(_against(width=1.0))
        seen.append(traces.weakest())
    assert seen == [None, None, None, "width"]
    assert traces.share("width") == pytest.approx(0.629, abs=0.001)


def test_trouble_everywhere_stands_out_nowhere() -> None:
    """Where every failure blames several skills alike none has 45 % of it."""
    traces = SkillTraces.at_first()
    for _ in range(30):
        traces = traces.after(_against(width=1.0, depth=1.0, burnishing=1.0))
    assert traces.of("width") > 0.9
    assert traces.weakest() is None


def test_a_tie_goes_to_the_earlier_step() -> None:
    """Of two equal skills the one earlier in the work is taken."""
    trouble = tuple(0.5 if s in {"depth", "burnishing"} else 0.0 for s in SKILLS)
    assert SkillTraces(trouble).weakest() == "depth"


def test_a_part_exercise_halves_its_own_skill() -> None:
    """Only the trained skill's trouble is halved."""
    traces = SkillTraces.at_first().halved("depth")
    assert (traces.of("depth"), traces.of("width")) == (0.05, 0.1)


def test_no_trouble_at_all_has_no_share() -> None:
    """Nothing divides by zero."""
    traces = SkillTraces((0.0,) * len(SKILLS))
    assert traces.share("width") == 0.0
    assert traces.weakest() is None


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
