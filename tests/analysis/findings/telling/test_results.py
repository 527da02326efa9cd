"""What a log can carry, and when claims are decided."""

import itertools

import pytest

from platebook.analysis.findings.telling.results import (
    evidence,
    last_checkpoint,
    next_checkpoint,
    to_claim,
    to_leads,
)


@pytest.mark.parametrize(
    ("attempts", "failures", "expected"),
    [
        (0, 0, "counts only"),
        (19, 8, "counts only"),
        (20, 5, "counts only"),
        (20, 6, "leads"),
        (20, 15, "counts only"),
        (31, 10, "leads"),
        (32, 7, "leads"),
        (32, 8, "claims"),
    ],
)
def test_the_thresholds_are_those_of_the_evidence_rules(
    attempts: int, failures: int, expected: str
) -> None:
    """Twenty with six and six for leads, thirty-two with eight failures for claims."""
    assert evidence(attempts, failures) == expected


def test_checkpoints_grow_by_1_45_after_152_and_by_150_at_most() -> None:
    """32, 48, 72, 104, 152, then each 1.45 times the one before it (worked by hand)."""
    points = [32]
    while points[-1] < 700:
        points.append(next_checkpoint(points[-1]))
    assert points == [32, 48, 72, 104, 152, 220, 320, 463, 613, 763]


def test_between_checkpoints_the_last_one_stands() -> None:
    """Before the first there is none; each stands until the next."""
    assert [last_checkpoint(n) for n in (0, 31, 32, 47, 48, 219, 220)] == [
        None,
        None,
        32,
        32,
        48,
        152,
        220,
    ]


@pytest.mark.parametrize("failures", [0, 3, 10])
def test_how_many_more_is_a_range_that_can_be_reached(failures: int) -> None:
    """At least what is missing to twenty attempts, never more than 200."""
    low, high = to_leads(10, failures)
    assert 10 <= low <= high <= 200


def test_a_stronger_lead_needs_fewer_attempts() -> None:
    """More effect or more information an attempt: sooner settled; no effect at all: 200."""
    sizes = [to_claim(40, 0.12, (size, size))[0] for size in (0.0, 0.6, 0.9, 1.5)]
    assert sizes[0] == 200
    assert all(more >= fewer for more, fewer in itertools.pairwise(sizes))
