"""Results and severities as people type them."""

import pytest
from tests.builders import an_attempt

from platebook.practice.results import (
    as_typed,
    failed,
    fails,
    read_result,
    read_severity,
    result_or_reason,
    severity_of,
    slight_words,
    too_many_severities,
    verdict,
)


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


@pytest.mark.parametrize(
    ("typed", "result"),
    [
        ("good", ("good",)),
        ("OK", ("good",)),
        ("0", ("good",)),
        ("loose", ("loose",)),
        ("loose;tilted", ("loose", "tilted")),
        ("tilted + Loose", ("tilted", "loose")),
        ("high, chipped;", ("high", "chipped")),
        ("proud", ("high",)),
        ("too deep", ("low",)),
        ("1;4", ("loose", "tilted")),
        ("off mark", ("off mark",)),
        ("culet out", ("culet out",)),
        ("", None),
        (" ; ", None),
    ],
)
def test_results(typed: str, result: tuple[str, ...] | None) -> None:
    """Good or defects in the order typed, by name, other name or key; nothing is not judged."""
    assert read_result(typed) == (result, "")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("good;loose", "good alone"),
        ("loose;loose", "loose stands twice"),
        ("high;proud", "high stands twice"),
        ("wobbly", "one of: good, loose, high"),
        ("lose", "loose, or one of: good, loose, high"),
        ("missed", "one of: good, loose, high"),
    ],
)
def test_results_that_cannot_be(typed: str, says: str) -> None:
    """A contradiction or an unknown word leaves the whole result unread."""
    result, expected = read_result(typed)
    assert result is None
    assert says in expected


@pytest.mark.parametrize(
    ("typed", "result"), [("good", ("good",)), ("Missed", ("missed",)), ("", None)]
)
def test_part_results(typed: str, result: tuple[str, ...] | None) -> None:
    """A part exercise is good or missed."""
    assert read_result(typed, part=True) == (result, "")


@pytest.mark.parametrize("typed", ["loose", "good;missed"])
def test_part_results_that_cannot_be(typed: str) -> None:
    """A defect says more than a part exercise can."""
    result, expected = read_result(typed, part=True)
    assert result is None
    assert expected.startswith("good or missed")


@pytest.mark.parametrize(
    ("typed", "severity"),
    [
        ("2", (2,)),
        ("2;1", (2, 1)),
        ("3 1", (3, 1)),
        ("1 + 3", (1, 3)),
        (";3", (2, 3)),
        ("1;;3", (1, 2, 3)),
        ("slight", (1,)),
        ("Lost; clear", (3, 2)),
        ("", None),
        ("2;", (2,)),
    ],
)
def test_severities(typed: str, severity: tuple[int, ...] | None) -> None:
    """Digits or words in the order of the defects; a gap between two is clear."""
    assert read_severity(typed) == (severity, "")


@pytest.mark.parametrize("typed", ["0", "4", "-1", "2;x", "1.5", "22"])
def test_severities_that_cannot_be(typed: str) -> None:
    """Only 1, 2 and 3 are severities."""
    severity, expected = read_severity(typed)
    assert severity is None
    assert expected.startswith("1 slight, 2 clear or 3 lost")


@pytest.mark.parametrize(
    ("severity", "result", "fits"),
    [
        (None, ("loose",), True),
        ((2,), ("loose", "tilted"), True),
        ((2, 1), ("loose", "tilted"), True),
        ((2, 1), ("loose",), False),
        ((1,), ("good",), False),
        ((1,), None, False),
    ],
)
def test_never_more_severities_than_defects(
    severity: tuple[int, ...] | None, result: tuple[str, ...] | None, *, fits: bool
) -> None:
    """Fewer are filled in later; more mean that one of the two is mistyped."""
    assert (too_many_severities(severity, result) == "") == fits


def test_how_a_slight_fault_counts_is_said_as_it_is_judged() -> None:
    """A stricter course fails it; of a defect that fails at any severity that is said."""
    said = slight_words()
    assert said == (
        "A slight fault counts as good and is noted with it; one that is loose never does."
    )
    assert not fails("gap", 1)
    assert fails("loose", 1)
    assert slight_words(failure_from=1) == "A slight fault counts as failed."
    assert fails("gap", 1, failure_from=1)


@pytest.mark.parametrize(
    ("result", "severity", "words", "typed"),
    [
        (("good",), (), "good", "good"),
        (("high", "gap"), (2, 1), "high, clearly + gap, slight", "high 2; gap 1"),
        (("loose", "gap"), (3,), "loose, setting lost + gap", "loose 3; gap"),
        (("loose",), (1, 2), "loose, slight", "loose 1"),
        ((), (), "not judged", ""),
    ],
)
def test_a_verdict_in_words_and_as_it_is_typed(
    result: tuple[str, ...], severity: tuple[int, ...], words: str, typed: str
) -> None:
    """Each severity beside its own defect; one that nobody noted is not made up."""
    assert (verdict(result, severity), as_typed(result, severity)) == (words, typed)


def test_what_was_not_judged_says_why_where_that_is_known() -> None:
    """In the place of its result."""
    judged = an_attempt(result=("loose",), ended="finished")
    broke, nothing = an_attempt(result=None, ended="tool broke"), an_attempt(result=None)
    assert result_or_reason(judged) == ("loose",)
    assert [result_or_reason(a) for a in (broke, nothing)] == [("tool broke",), ("not judged",)]
