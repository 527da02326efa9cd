"""Sentences, word for word: counts in every finding, never a cause."""

import pytest
from tests.builders import an_attempt

from platebook.analysis.findings import sentences
from platebook.analysis.findings.results import Count, MoreNeeded
from platebook.analysis.variables.attempt_log import attempt_log


def test_the_main_sentence() -> None:
    """The sentence of the design, from its counts."""
    counts = (Count(label="", failed=7, of=10), Count(label="", failed=2, of=15))
    assert sentences.went_with("loose", "a clearance above 0.05 mm", "below it", counts) == (
        "Loose went with a clearance above 0.05 mm: 7 of 10, against 2 of 15 below it."
    )


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
    counts = (Count(label="high", failed=6, of=7), Count(label="others", failed=10, of=40))
    assert sentences.mechanism("high", "cut shallow", counts) == (
        "6 of 7 high ones were cut shallow, against 10 of 40 others."
    )


def test_what_was_checked_is_said() -> None:
    """The more is looked at, the more turns up by chance."""
    assert sentences.variables_checked(18, ["loose", "gap", "high"]) == (
        "Checked 18 variables against failure as a whole and against 3 defects "
        "(loose, gap and high)."
    )


def test_too_few_attempts_say_how_many_more() -> None:
    """A range, not a promise."""
    assert sentences.outlook(
        "counts only", MoreNeeded(low=8, high=15), shown=False, claimed=False
    ) == (
        "Not enough yet to say what goes with failure: that takes 20 judged attempts with 6 "
        "failed and 6 good. About 8 to 15 more."
    )


def test_a_lead_that_may_never_settle_offers_blocks() -> None:
    """Capped at 200, with the honest alternative."""
    text = sentences.outlook("leads", MoreNeeded(low=40, high=200), shown=True, claimed=False)
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
    assert sentences.log_counts(attempt_log(log)) == (
        "3 attempts judged, 1 failed. Seen: 2 high (1 slight), 1 loose."
    )
