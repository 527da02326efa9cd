"""One measure of support: the interval of the difference decides, whatever else was found."""

from typing import Any

import pytest

from platebook.analysis.findings.deciding.support import support_of, supported
from platebook.analysis.findings.telling.results import WORDS, Count, Finding, Shift
from platebook.reports.text.figures import FINDINGS


def _sides(first: tuple[int, int], second: tuple[int, int]) -> tuple[Count, Count]:
    here, there = (Count(label="", failed=k, of=n) for k, n in (first, second))
    return here, there


def _finding(first: tuple[int, int], second: tuple[int, int], **changed: Any) -> Finding:
    keys: dict[str, Any] = {
        "variable": "runout",
        "family": "run-out",
        "defect": "loose",
        "direction": "higher",
        "status": "claim",
        "counts": _sides(first, second),
        "odds_ratio": 2.0,
        "low": 1.2,
        "high": 3.4,
        "posterior": 0.9,
        "share": 0.01,
        "sentence": "Loose went with run-out clear.",
    }
    return Finding(**(keys | changed))


def test_the_difference_is_newcombes() -> None:
    """56 of 70 against 48 of 80: 0.20 (0.0524 to 0.3339), Newcombe 1998 (method 10), table II."""
    support = support_of(_sides((56, 70), (48, 80)), "claim")
    rounded = tuple(round(v, 4) for v in (support.difference, support.low, support.high))
    assert (rounded, support.unit) == ((0.2, 0.0524, 0.3339), "share of attempts")


def test_a_claim_whose_interval_holds_no_difference_is_worth_watching() -> None:
    """3 of 10 against 6 of 40 may be chance by themselves, whatever stands beside them."""
    (shown,) = supported([_finding((3, 10), (6, 40))])
    assert shown.support is not None
    assert (shown.status, shown.support.word) == ("lead", "worth watching")
    assert shown.support.low < 0.0
    assert shown.notes == (
        "Beside practice, size and grade it stands out, but there may be no difference.",
        "A lead this strong turns up in 1 such log in 100 with nothing behind it.",
    )


def test_a_claim_that_its_counts_bear_out_stays_one() -> None:
    """8 of 10 against 6 of 48."""
    (shown,) = supported([_finding((8, 10), (6, 48))])
    assert shown.support is not None
    assert (shown.status, shown.support.word, shown.support.low > 0.0) == (
        "claim",
        "well supported",
        True,
    )


@pytest.mark.parametrize("counts", [((1, 10), (8, 40)), ((2, 10), (8, 40)), ((0, 0), (8, 40))])
def test_what_its_counts_contradict_is_not_shown(
    counts: tuple[tuple[int, int], tuple[int, int]],
) -> None:
    """Fewer on the side that is meant to have more, or just as many, or nothing counted."""
    assert supported([_finding(*counts, status="lead")]) == ()


def test_what_rests_on_a_measured_response_is_supported_by_it() -> None:
    """No stone came out high, and yet the tables stood higher."""
    shift = Shift(
        response="table height",
        variable="runout",
        family="run-out",
        direction="higher",
        status="claim",
        by=0.04,
        low=0.02,
        high=0.06,
        unit="mm",
        measured=40,
        posterior=0.97,
        share=0.01,
        sentence="the table stood higher",
    )
    (shown,) = supported([_finding((0, 10), (0, 40), shifts=(shift,))])
    assert shown.support is not None
    assert (shown.status, shown.support.difference, shown.support.unit) == ("claim", 0.04, "mm")


def test_other_than_two_sides_are_no_comparison() -> None:
    """One side alone says nothing of a difference."""
    with pytest.raises(ValueError, match="1 sides"):
        support_of(_sides((1, 2), (1, 2))[:1], "claim")


def test_the_words_are_those_of_screens_and_pages() -> None:
    """JSON says of a finding what the app says of it."""
    assert {status: sign.words for status, sign in FINDINGS.items()} == dict(WORDS)
