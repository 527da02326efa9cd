"""Sentences of findings, with their counts and as they stand beside a picture that has these."""

import pytest

from platebook.analysis.findings.telling.counts_in_sentences import (
    against_the_trend,
    at_one_end,
    counted_levels,
    not_at_each_level,
    went_with,
    went_with_levels,
    without_counts,
)
from platebook.analysis.findings.telling.results import Count

NONE, FEW, MANY = (
    Count(label="0", failed=9, of=11, slight=2),
    Count(label="1-2", failed=20, of=21, slight=3),
    Count(label="3-5", failed=1, of=13, slight=0),
)

THE_REST = ", which may be chance; what was asked is the trend over all."


@pytest.mark.parametrize(
    ("sentence", "alone"),
    [
        (
            went_with_levels("high", "fewer checks of the fit", (NONE, FEW, MANY)),
            "High went with fewer checks of the fit.",
        ),
        (
            went_with("high", "a loose fit", "of the others", (NONE, MANY)),
            "High went with a loose fit.",
        ),
        (
            not_at_each_level(NONE, FEW),
            f"Not from level to level: more at 1-2 than at 0{THE_REST}",
        ),
        (
            against_the_trend(NONE, FEW),
            "No steady trend: more at 1-2 than at 0, and chance hardly does that.",
        ),
        (
            at_one_end(FEW, NONE, MANY),
            "At one end only: 1-2, against 3-5 at the other end and 0 in between.",
        ),
        (counted_levels("high", "checks", (MANY,)), "High by checks: 3-5."),
        ("No longer so: 0 of 12, against 1 of 30.", "No longer so: 0 of 12, against 1 of 30."),
    ],
)
def test_beside_a_picture_no_count_is_said_again(sentence: str, alone: str) -> None:
    """What it went with stays, and which levels are meant; what is no finding stays as it is."""
    assert without_counts(sentence) == alone
