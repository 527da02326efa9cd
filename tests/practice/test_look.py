"""When a result counts as a failure."""

import pytest
from tests.builders import an_attempt

from platebook.practice.look import failed, severity_of


@pytest.mark.parametrize(
    ("result", "severity", "expected"),
    [
        (None, None, None),
        (("good",), None, False),
        (("missed",), None, True),
        (("high",), None, True),
        (("high",), (1,), False),
        (("high",), (2,), True),
        (("loose",), (1,), True),
        (("high", "tilted"), (1, 1), False),
        (("high", "tilted"), (1, 3), True),
        (("high", "tilted"), (1,), True),
        (("culet out",), None, False),
        (("culet out", "gap"), (3, 1), False),
    ],
)
def test_loose_or_severity_two_fails(
    result: tuple[str, ...] | None, severity: tuple[int, ...] | None, *, expected: bool | None
) -> None:
    """Severity 1 is good with a remark; a missing one is clear; loose fails at any."""
    assert failed(an_attempt(result=result, severity=severity)) is expected


def test_a_stricter_course_and_an_enclosed_point() -> None:
    """A course may fail severity 1, and a grade may count the point standing out."""
    slight = an_attempt(result=("high",), severity=(1,))
    assert failed(slight, failure_from=1) is True
    out = an_attempt(result=("culet out",))
    assert failed(out, enclosed=True) is True


def test_severity_of_one_defect() -> None:
    """In the order of the result, 2 where it was left out, None for a defect that is not there."""
    attempt = an_attempt(result=("high", "tilted"), severity=(3,))
    assert [severity_of(attempt, name) for name in ("high", "tilted", "gap")] == [3, 2, None]
    assert severity_of(an_attempt(), "good") is None


@pytest.mark.parametrize(
    ("rescued", "expected"), [(None, False), ("no", False), ("recut", True), ("bigger stone", True)]
)
def test_what_was_rescued_is_never_as_good(rescued: str | None, expected: bool) -> None:  # noqa: FBT001 - one outcome a row
    """A seat that was recut, or that took a larger stone, failed once (common practice)."""
    assert failed(an_attempt(result=("good",), rescued=rescued)) is expected
    assert failed(an_attempt(result=None, rescued=rescued)) is None
