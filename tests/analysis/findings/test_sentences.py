"""Sentences, word for word: counts in every finding, never a cause."""

from collections.abc import Sequence

import numpy as np
import pytest
from tests.builders import an_attempt

from platebook.analysis.findings import sentences
from platebook.analysis.findings.candidates import Candidate
from platebook.analysis.findings.cutoffs import Cut, cut
from platebook.analysis.findings.mechanisms import Mechanism
from platebook.analysis.findings.results import Count, MoreNeeded
from platebook.analysis.findings.sentences import counts
from platebook.analysis.variables.columns import Column, Kind
from platebook.analysis.variables.outcomes import counted
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
    return cut(Candidate(column, form, 1.0), np.ones(len(values), dtype=bool), more=more)


CLEARANCE = [-0.06, -0.02, 0.0, 0.01, 0.02, 0.03, 0.06, 0.07, 0.08, 0.09]


def test_the_main_sentence() -> None:
    """The sentence of the design, from its counts."""
    counts = (Count(label="", failed=7, of=10), Count(label="", failed=2, of=15))
    assert sentences.went_with("loose", "a clearance above 0.05 mm", "below it", counts) == (
        "Loose went with a clearance above 0.05 mm: 7 of 10, against 2 of 15 below it."
    )


def test_a_limit_of_the_trade_is_the_cut_where_it_parts_the_data() -> None:
    """A clearance of 0.05 mm (common practice) has attempts on both sides here."""
    found = _cut("clearance_mm", CLEARANCE)
    assert (found.phrase, found.rest) == ("a clearance above 0.05 mm", "below it")
    assert int(found.inside.sum()) == 4


def test_without_a_limit_a_third_of_the_data_is_cut_off() -> None:
    """Nine hammers: the heaviest three."""
    found = _cut("hammer_g", [40, 45, 50, 55, 60, 65, 70, 75, 80])
    assert (found.phrase, found.rest) == ("a hammer above 65 g", "at or below it")
    assert int(found.inside.sum()) == 3


def test_the_lower_third_is_cut_where_less_goes_with_the_defect() -> None:
    """The lightest three."""
    found = _cut("hammer_g", [40, 45, 50, 55, 60, 65, 70, 75, 80], more=False)
    assert (found.phrase, found.rest) == ("a hammer below 55 g", "at or above it")


def test_the_cut_never_looks_at_how_it_came_out() -> None:
    """A cut is made from the values alone; both sides together are all attempts with a value."""
    values = [*CLEARANCE, float("nan")]
    found = _cut("clearance_mm", values)
    assert (found.inside | found.outside).tolist() == [True] * 10 + [False]


def test_too_much_and_too_little_are_said_together() -> None:
    """A distance names both ends."""
    found = _cut("pilot_ratio", [0.30, 0.32, 0.33, 0.34, 0.35, 0.36], form="distance")
    assert found.phrase == "a pilot-to-stone ratio below 0.33 or above 0.34"
    assert found.rest == "in between"


def test_ranks_are_said_by_their_levels() -> None:
    """Run-out is named, not numbered."""
    found = _cut("runout", [1, 1, 1, 1, 2, 2, 3], kind="rank")
    assert (found.phrase, found.rest) == (
        "run-out slight or clear",
        "with run-out none seen",
    )


def test_yes_and_no_have_their_own_phrases() -> None:
    """Nobody reads `burnisher_polished: 0`."""
    found = _cut("burnisher_polished", [0, 1, 1, 0], kind="yes/no", more=False)
    assert (found.phrase, found.rest) == ("an unpolished burnisher", "with a polished burnisher")


def test_a_level_is_said_against_the_rest() -> None:
    """A choice without an order is a level against all others."""
    found = _cut("seat_bur_shape", [0, 1, 1, 0], kind="level", level="hart")
    assert found.phrase == "a seat bur of shape hart"


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.125, "A lead this strong turns up in 1 such log in 8 with nothing behind it."),
        (0.5, "A lead this strong turns up in 1 such log in 2 with nothing behind it."),
        (0.005, "A lead this strong turns up in under 1 such log in 150 with nothing behind it."),
    ],
)
def test_chance_is_said_in_logs(share: float, text: str) -> None:
    """No p-value: so many such logs."""
    assert sentences.chance(share) == text


def test_a_mechanism_counts_both_sides() -> None:
    """How many of the high ones were cut shallow, and how many of the others."""
    found = Mechanism("depth_error_mm", "depth of the seat", "high", "cut shallow", 6, 7, 10, 40)
    assert (
        sentences.mechanism(found) == "6 of 7 high ones were cut shallow, against 10 of 40 others."
    )


def test_what_was_checked_is_said() -> None:
    """The more is looked at, the more turns up by chance."""
    assert sentences.checked(18, ["loose", "gap", "high"]) == (
        "Checked 18 variables against failure as a whole and against 3 defects "
        "(loose, gap and high)."
    )


def test_too_few_attempts_say_how_many_more() -> None:
    """A range, not a promise."""
    assert sentences.outlook(
        "counts only", MoreNeeded(low=8, high=15), found=False, claimed=False
    ) == (
        "Not enough yet to say what goes with failure: that takes 20 judged attempts with 6 "
        "failed and 6 good. About 8 to 15 more."
    )


def test_a_lead_that_may_never_settle_offers_blocks() -> None:
    """Capped at 200, with the honest alternative."""
    text = sentences.outlook("leads", MoreNeeded(low=40, high=200), found=True, claimed=False)
    assert text == (
        "Worth watching, not settled: 40 more attempts may settle it, or even 200 may not. "
        "Balanced blocks settle it sooner."
    )


def test_counts_tell_slight_ones_from_those_that_fail() -> None:
    """A slight defect passes as good (bench practice: severity 1 is a remark), so it is said."""
    log = (
        an_attempt(result=("high",), severity=(1,)),
        an_attempt(result=("high", "loose"), severity=(2, 1)),
        an_attempt(result=("good",)),
    )
    assert counts(counted(log)) == (
        "3 attempts judged, 1 failed. Seen: 2 high (1 slight), 1 loose."
    )
