"""The values behind a finding: those that its counts count."""

import numpy as np
import pytest
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.telling.raw_values import RawValues, raw_values
from platebook.analysis.findings.telling.results import Count, Finding
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.practice.attempt import Attempt

WIDE_SEATS = Plan(attempts=64, causes=(Cause("clearance_mm", "loose", size=2.0),))


def a_finding(variable: str, defect: str = "any", direction: str = "higher") -> Finding:
    """A lead about this variable."""
    return Finding(
        variable=variable,
        family=variable,
        defect=defect,
        direction=direction,
        status="lead",
        counts=(),
        odds_ratio=None,
        low=None,
        high=None,
        posterior=None,
        share=None,
        sentence="",
    )


def seats() -> list[Attempt]:
    """Twelve seats 1.90 to 2.01 mm wide for 2 mm stones, the wider half loose; two unmeasured."""
    rows = [
        Attempt(
            result=("loose",) if i >= 6 else ("good",),
            stone_diameter_mm=2.0,
            seat_diameter_mm=1.90 + i / 100,
            fit="drops in"
            if i >= 6
            else ("enters with a firm push", "enters tilted and snaps")[i % 2],
            seat_bur_shape="hart" if i % 3 else "ball",
        )
        for i in range(12)
    ]
    return [*rows, Attempt(result=("loose",)), Attempt(result=("good",))]


def values_of(variable: str, defect: str = "any", direction: str = "higher") -> RawValues | None:
    """What stands behind one lead about those seats."""
    (values,) = raw_values(FindingsLog.of(seats()), [a_finding(variable, defect, direction)])
    return values


def test_values_are_parted_by_the_defect() -> None:
    """Clearance is the seat less the stone; the two without a reading are only counted."""
    values = values_of("clearance_mm", "loose")
    assert values is not None
    assert values.showed == pytest.approx([i / 100 - 0.1 for i in range(6, 12)])
    assert values.others == pytest.approx([i / 100 - 0.1 for i in range(6)])
    assert (values.unmeasured, values.unit) == (2, "mm")
    assert [word for word, _ in values.sides] == ["loose", "others"]


@pytest.mark.parametrize(
    ("variable", "direction"),
    [("hammer_g", "higher"), ("seat_bur_shape", "ball"), ("nobody_knows", "lower")],
)
def test_what_has_no_order_has_no_values(variable: str, direction: str) -> None:
    """Never written down, a choice without an order, a name that nobody knows."""
    assert values_of(variable, direction=direction) is None


def test_two_values_are_told_by_their_counts() -> None:
    """A column of two values has nothing to lay out, and a defect never seen has no sides."""
    rows = [Attempt(result=("good",), seat_bur_uses=i % 2) for i in range(8)]
    asked = [a_finding("seat_bur_uses"), a_finding("seat_bur_uses", "chipped")]
    assert raw_values(FindingsLog.of(rows), asked) == (None, None)
    assert raw_values(FindingsLog.of([]), asked) == (None, None)


def test_a_choice_with_an_order_is_cut_between_two_of_its_values() -> None:
    """The cut lies between ranks, and each rank has its word."""
    values = values_of("fit")
    assert values is not None
    assert values.showed == (4.0,) * 6
    (cut,) = values.cuts
    assert cut % 1 == 0.5
    assert values.value_text(4.0) == "drops in"


def test_counts_and_values_tell_the_same() -> None:
    """Beyond the cut lie as many values as the finding's own sentence counts."""
    attempts = planted(WIDE_SEATS, 5).attempts
    findings = find(attempts).findings
    behind = raw_values(FindingsLog.of(attempts), findings)
    compared = 0
    for finding, values in zip(findings, behind, strict=True):
        if values is None or len(values.cuts) != 1 or finding.direction not in {"higher", "lower"}:
            continue
        (cut,) = values.cuts
        sides = [np.array(group) for _, group in values.sides]
        beyond = [int((s > cut if finding.direction == "higher" else s < cut).sum()) for s in sides]
        here, there = finding.counts
        assert Count(label=here.label, failed=beyond[0], of=sum(beyond)) == here
        every = sum(len(s) for s in sides)
        assert there.of == every - sum(beyond)
        assert every + values.unmeasured == len(attempt_log(attempts))
        compared += 1
    assert compared
