"""How numbers are written for people."""

import pytest

from platebook.reports.figures import counted, interval, millimetres, percent, several


@pytest.mark.parametrize(
    ("length_mm", "text"),
    [(1.98, "1.98"), (2.0, "2.00"), (0.812, "0.812"), (0.81249, "0.812"), (None, "-")],
)
def test_a_length_has_two_decimals_at_least_and_three_at_most(
    length_mm: float | None, text: str
) -> None:
    """To the micrometre, as the record keeps it."""
    assert millimetres(length_mm) == text


def test_shares_are_whole_percent() -> None:
    """15 of 148 with its Wilson interval: Newcombe, Stat Med 1998;17:857."""
    assert (percent(15 / 148), interval(0.0624, 0.1605)) == ("10 %", "6-16 %")


def test_a_noun_goes_with_its_number() -> None:
    """One is one; a noun may have a plural of its own."""
    assert [counted(n, "attempt") for n in (0, 1, 2)] == ["0 attempts", "1 attempt", "2 attempts"]
    assert counted(2, "try", "tries") == "2 tries"


def test_words_are_joined_as_a_sentence_has_them() -> None:
    """None, one, two and three of them."""
    assert several(()) == ""
    assert several(("high",)) == "high"
    assert several(["high", "low"]) == "high and low"
    assert several(("loose", "high", "low")) == "loose, high and low"
