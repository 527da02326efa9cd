"""Findings as habits: the sides of every kind of variable, and whether they still hold."""

from datetime import timedelta

import pytest
from tests.builders import BEGAN, an_attempt

from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.telling.habits import habits
from platebook.analysis.findings.telling.results import Count, Finding, Status
from platebook.practice.attempt import Attempt


def a_finding(variable: str, direction: str, status: Status = "lead") -> Finding:
    """A finding about loose in this direction."""
    counts = (Count(label="a", failed=1, of=2), Count(label="b", failed=0, of=2))
    return Finding(
        variable=variable,
        family=variable,
        defect="loose",
        direction=direction,
        status=status,
        counts=counts,
        odds_ratio=None,
        low=None,
        high=None,
        posterior=None,
        share=None,
        sentence="",
    )


def a_log(evenings: int = 8, *, until: int = 8) -> list[Attempt]:
    """Six settings an evening; every other one is rough, dry and worked, and loose, until then."""
    made = []
    for number in range(6 * evenings):
        evening, place = divmod(number, 6)
        bad = number % 2 == 0 and evening < until
        made.append(
            an_attempt(
                attempt_id=f"{number:03d}",
                began=BEGAN + timedelta(days=evening, minutes=20 * place),
                burnisher_polished=not bad,
                metal_state="worked" if bad else "annealed today",
                support="hand" if bad else "pitch",
                handpiece="stand" if bad else "pendant",
                magnification=2.0 if bad else 5.0,
                result=("loose",) if bad else ("good",),
            )
        )
    return made


@pytest.mark.parametrize(
    ("variable", "direction", "phrase"),
    [
        ("burnisher_polished", "no", "an unpolished burnisher"),
        ("metal_state", "higher", "metal worked"),
        ("handpiece", "stand", "a handpiece of kind stand"),
        ("magnification", "lower", "a magnification below 5×"),
    ],
)
def test_every_kind_of_variable_has_its_two_sides(
    variable: str, direction: str, phrase: str
) -> None:
    """Yes or no, a choice with an order, one without, a number: the side that failed is counted."""
    (habit,) = habits(FindingsLog.of(a_log()), [a_finding(variable, direction)])
    here, there = habit.counts
    assert (here.failed, here.of, there.failed, there.of) == (24, 24, 0, 24)
    assert habit.phrase == phrase
    assert habit.retired is None


def test_a_lead_that_is_done_no_more_is_retired_too() -> None:
    """Four evenings without it; none of their settings lay on its side."""
    (habit,) = habits(FindingsLog.of(a_log(until=4)), [a_finding("metal_state", "higher")])
    assert habit.retired is not None
    assert (habit.retired.counts[0].of, habit.retired.counts[1].of) == (0, 24)


def test_what_has_no_sides_gives_no_habit() -> None:
    """A mechanism, a variable the log lost or that never changed, a measured defect."""
    unlike = a_finding("metal_state", "higher").model_copy(update={"defect": "wide seat"})
    found = [
        a_finding("depth_error_mm", "shallow", "mechanism"),
        a_finding("ovality_mm", "higher"),
        a_finding("metal", "higher"),
        unlike,
    ]
    assert habits(FindingsLog.of(a_log()), found) == ()
    assert habits(FindingsLog.of([]), [a_finding("metal_state", "higher")]) == ()
