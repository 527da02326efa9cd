"""Results and severities as people type them."""

import pytest

from platebook.practice.looks import read_result, read_severity, too_many_severities


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
