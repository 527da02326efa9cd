"""Cut-offs word for word: what is printed is what parts the attempts."""

from collections.abc import Sequence

import numpy as np
import pytest
from tests.simulated.planted import Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import Cut, bear_out, cut_rows
from platebook.analysis.findings.telling.results import Count
from platebook.analysis.variables.columns import Column, Kind
from platebook.analysis.variables.trade_map import Form


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


def test_a_limit_that_hardly_anything_lies_beyond_does_not_part_the_data() -> None:
    """Four of two hundred above 0.05 mm say nothing of what goes on from 0 mm up."""
    many = [*np.linspace(-0.12, 0.05, 196), 0.06, 0.06, 0.07, 0.08]
    cut = _cut("clearance_mm", many)
    assert cut.phrase == "a clearance above 0.00 mm"
    assert 0.3 < cut.inside.mean() < 0.4


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
        "run-out judged slight or clear",
        "with run-out judged none seen",
    )


def test_yes_and_no_have_their_own_phrases() -> None:
    """Nobody reads `burnisher_polished: 0`."""
    cut = _cut("burnisher_polished", [0, 1, 1, 0], kind="yes/no", more=False)
    assert (cut.phrase, cut.rest) == ("an unpolished burnisher", "with a polished burnisher")


def test_a_level_is_said_against_the_rest() -> None:
    """A choice without an order is a level against all others."""
    cut = _cut("seat_bur_shape", [0, 1, 1, 0], kind="level", level="hart")
    assert cut.phrase == "a seat bur of shape hart"


def test_a_place_for_the_level_is_filled() -> None:
    """Nobody reads "checks of the fit: 0: 12 of 15"."""
    cut = _cut("fit_checks", [0, 0, 0, 1, 2, 3], kind="rank", more=False)
    assert (cut.phrase, cut.rest) == (
        "no checks of the fit",
        "with 1-2 or 3-5 or 6+ checks of the fit",
    )


def test_a_number_is_printed_with_as_many_decimals_as_part_the_values() -> None:
    """Ratios of 0.501 and 0.502 are not told apart by "above 0.50"."""
    cut = _cut("pilot_ratio", [0.501] * 6 + [0.502] * 3)
    assert (cut.phrase, int(cut.inside.sum())) == ("a pilot-to-stone ratio above 0.501", 3)


def test_one_value_is_never_a_range() -> None:
    """Most at the usual value: the others are what lies elsewhere."""
    values = [0.5] * 8 + [0.4, 0.6, 0.7]
    away = _cut("runout_mm", values, form="distance")
    near = _cut("runout_mm", values, form="distance", more=False)
    assert (away.phrase, away.rest, int(away.inside.sum())) == (
        "runout mm other than 0.50",
        "at 0.50",
        3,
    )
    assert (near.phrase, near.rest) == ("runout mm of 0.50", "at another than 0.50")


def test_limits_of_the_trade_that_meet_part_nothing_in_two() -> None:
    """The wanted depth error is 0: too much and too little are the outer thirds."""
    cut = _cut("depth_error_mm", [-0.06, -0.04, -0.02, 0.0, 0.02, 0.04, 0.06], form="distance")
    assert cut.phrase == "a depth error below \N{MINUS SIGN}0.02 or above 0.02 mm"


def test_an_evening_s_own_value_is_parted_with_three_evenings_on_each_side() -> None:
    """The nearest third would leave one long evening alone."""
    by_evening = [(1, 4), (2, 4), (3, 4), (4, 2), (5, 2), (9, 8)]
    values = np.array([v for v, of in by_evening for _ in range(of)], dtype=float)
    session = np.array([n for n, (_, of) in enumerate(by_evening) for _ in range(of)])
    column = Column("days_since_practice", "number", process=False, values=values)
    candidate = Candidate(column, "linear", 1.0)
    every = np.ones(len(values), dtype=bool)
    assert cut_rows(candidate, every, more=True).at == (5.0,)
    assert cut_rows(candidate, every, more=True, session=session).at == (3.0,)


def test_what_each_method_wants_is_told_as_wanted() -> None:
    """One method wants a snap, another a drop: the levels alone would count neither right."""
    target = np.array([3.0, 3.0, 4.0, 4.0])
    column = Column("fit", "rank", process=False, values=np.array([3.0, 4, 4, 3]), target=target)
    cut = cut_rows(Candidate(column, "distance", 1.0), np.ones(4, dtype=bool), more=True)
    assert (cut.phrase, cut.inside.tolist()) == (
        "the fit of the stone other than wanted",
        [False, True, False, True],
    )


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
