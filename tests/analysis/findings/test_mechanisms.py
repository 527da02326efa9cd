"""Mechanisms: what is true by definition is counted, never discovered."""

from platebook.analysis import find
from platebook.analysis.findings.mechanisms import mechanisms
from platebook.analysis.variables.columns import columns
from platebook.analysis.variables.outcomes import counted
from platebook.practice.attempt import Attempt


def _log() -> list[Attempt]:
    """Seven high ones, six of them cut shallow; thirty good ones, five of them shallow."""
    high = [Attempt(result=("high",), stone_diameter_mm=2.0, seat_depth_mm=0.34)] * 6
    other = [Attempt(result=("high",), stone_diameter_mm=2.0, seat_depth_mm=0.40)]
    good = [
        Attempt(result=("good",), stone_diameter_mm=2.0, seat_depth_mm=0.36 if i < 5 else 0.40)
        for i in range(30)
    ]
    return [*high, *other, *good]


def test_shallow_cuts_are_the_mechanism_of_high_stones() -> None:
    """Counted on both sides (geometry: needed depth of a 2 mm stone is 0.384 mm)."""
    log = counted(_log())
    assert [
        (m.variable, m.defect, m.k, m.of, m.others, m.of_others)
        for m in mechanisms(log, columns(log))
    ] == [("depth_error_mm", "high", 6, 7, 5, 30)]


def test_a_mechanism_is_shown_as_one_and_never_as_a_lead() -> None:
    """The depth goes with high by definition, so no lead speaks of it."""
    found = find(_log()).findings
    assert [(f.variable, f.status) for f in found if f.family == "depth of the seat"] == [
        ("depth_error_mm", "mechanism")
    ]
    assert found[-1].sentence == "6 of 7 high ones were cut shallow, against 5 of 30 others."
    assert found[-1].odds_ratio is None


def test_a_mechanism_as_frequent_elsewhere_is_not_shown() -> None:
    """Where the good ones are as shallow, nothing is explained."""
    rows = [
        Attempt(result=r, stone_diameter_mm=2.0, seat_depth_mm=0.3) for r in (("high",), ("good",))
    ]
    log = counted(rows * 10)
    assert mechanisms(log, columns(log)) == ()
