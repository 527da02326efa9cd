"""Trouble by skill: steps by hand, and when it brings a part exercise."""

import pytest

from platebook.advice.defect_skills import SKILLS, Skill
from platebook.advice.skill_traces import SkillTraces


def _against(**shares: float) -> dict[Skill, float]:
    return {skill: shares.get(skill, 0.0) for skill in SKILLS}


def test_trouble_starts_at_a_tenth_and_moves_by_fifteen_percent() -> None:
    """By hand: 0.85 x 0.1 + 0.15 = 0.235 for the blamed one, 0.085 for the others."""
    traces = SkillTraces.at_first().after(_against(width=1.0))
    assert traces.of("width") == pytest.approx(0.235)
    assert traces.of("depth") == pytest.approx(0.085)


def test_a_skill_stands_out_after_failures_that_point_at_it() -> None:
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
