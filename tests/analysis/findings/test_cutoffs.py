"""Cut-offs word for word, and the values on both sides: those that the counts count."""

from collections.abc import Sequence

import numpy as np
import pytest
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.candidates import Candidate
from platebook.analysis.findings.cutoffs import Cut, RawValues, bear_out, cut_rows, raw_values
from platebook.analysis.findings.results import Count, Finding
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import Column, Kind
from platebook.analysis.variables.trade_map import Form
from platebook.practice.attempt import Attempt


def _cut(
    name: str,
    values: Sequence[float],
    *,
    kind: Kind = "number",
    form: Form = "linear",
    more: bool = True,
    level: str | None = None,
) -> Cut:
    column = Column(name, kind, process=False, values=np.array(values), level=level)
    return cut_rows(Candidate(column, form, 1.0), np.ones(len(values), dtype=bool), more=more)


CLEARANCE = [-0.06, -0.02, 0.0, 0.01, 0.02, 0.03, 0.06, 0.07, 0.08, 0.09]


def test_a_limit_of_the_trade_is_the_cut_where_it_parts_the_data() -> None:
    """A clearance of 0.05 mm (common practice) has attempts on both sides here."""
    cut = _cut("clearance_mm", CLEARANCE)
    assert (cut.phrase, cut.rest) == ("a clearance above 0.05 mm", "below it")
    assert int(cut.inside.sum()) == 4


def test_without_a_limit_a_third_of_the_data_is_cut_off() -> None:
    """Of nine hammers the heaviest three are cut off."""
    cut = _cut("hammer_g", [40, 45, 50, 55, 60, 65, 70, 75, 80])
    assert (cut.phrase, cut.rest) == ("a hammer above 65 g", "at or below it")
    assert int(cut.inside.sum()) == 3


def test_the_lower_third_is_cut_where_less_goes_with_the_defect() -> None:
    """Of nine hammers the lightest three are cut off."""
    cut = _cut("hammer_g", [40, 45, 50, 55, 60, 65, 70, 75, 80], more=False)
    assert (cut.phrase, cut.rest) == ("a hammer below 55 g", "at or above it")


def test_the_cut_never_looks_at_how_it_came_out() -> None:
    """A cut is made from the values alone; both sides together are all attempts with a value."""
    values = [*CLEARANCE, float("nan")]
    cut = _cut("clearance_mm", values)
    assert (cut.inside | cut.outside).tolist() == [True] * 10 + [False]


def test_too_much_and_too_little_are_said_together() -> None:
    """A distance from the wanted value is worded by both its ends."""
    cut = _cut("pilot_ratio", [0.30, 0.32, 0.33, 0.34, 0.35, 0.36], form="distance")
    assert cut.phrase == "a pilot-to-stone ratio below 0.33 or above 0.34"
    assert cut.rest == "in between"


def test_ranks_are_said_by_their_levels() -> None:
    """Run-out is named, not numbered."""
    cut = _cut("runout", [1, 1, 1, 1, 2, 2, 3], kind="rank")
    assert (cut.phrase, cut.rest) == (
        "run-out slight or clear",
        "with run-out none seen",
    )


def test_yes_and_no_have_their_own_phrases() -> None:
    """Nobody reads `burnisher_polished: 0`."""
    cut = _cut("burnisher_polished", [0, 1, 1, 0], kind="yes/no", more=False)
    assert (cut.phrase, cut.rest) == ("an unpolished burnisher", "with a polished burnisher")


def test_a_level_is_said_against_the_rest() -> None:
    """A choice without an order is a level against all others."""
    cut = _cut("seat_bur_shape", [0, 1, 1, 0], kind="level", level="hart")
    assert cut.phrase == "a seat bur of shape hart"


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
    (values,) = raw_values(seats(), [a_finding(variable, defect, direction)])
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
    assert raw_values(rows, asked) == (None, None)
    assert raw_values([], asked) == (None, None)


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
    behind = raw_values(attempts, findings)
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


@pytest.mark.parametrize(
    ("inside", "outside", "expected"),
    [
        ((7, 10), (2, 15), True),
        ((2, 15), (7, 10), False),
        ((3, 10), (6, 20), False),
        ((1, 4), (0, 0), False),
        ((0, 9), (0, 30), False),
    ],
)
def test_counts_bear_out_a_finding_where_the_first_share_is_larger(
    inside: tuple[int, int], outside: tuple[int, int], *, expected: bool
) -> None:
    """Equal shares, or a side without attempts, bear nothing out (by hand)."""
    counts = [Count(label="", failed=k, of=of) for k, of in (inside, outside)]
    assert bear_out(counts) is expected


@pytest.mark.parametrize("seed", [1, 9, 17])
def test_no_finding_is_shown_that_its_counts_speak_against(seed: int) -> None:
    """Leads of logs with nothing planted, where adjusting can turn an effect round."""
    shown = find(planted(Plan(44, per_session=4), [3, seed]).attempts, seed=1).findings
    assert all(bear_out(finding.counts) for finding in shown)
