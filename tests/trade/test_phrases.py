"""Counts, lists and days as a sentence has them."""

from datetime import UTC, date, datetime, timedelta

from platebook.trade.phrases import (
    as_sentence,
    count_of,
    day_words,
    days_ago,
    full_day,
    moment_words,
    noun_for,
    number_in_words,
    recent_day,
    several,
    share_in_column,
    share_with_band,
    stretch_words,
)

DAY = date(2026, 3, 12)


def test_a_count_goes_with_its_noun() -> None:
    """One has the noun as it is; none and more have its plural."""
    counted = [count_of(n, "seat") for n in range(3)] + [
        count_of(n, "try", "tries") for n in (1, 2)
    ]
    assert counted == ["0 seats", "1 seat", "2 seats", "1 try", "2 tries"]
    assert [noun_for(n, "line") for n in range(3)] == ["lines", "line", "lines"]


def test_small_numbers_are_words() -> None:
    """Up to ten."""
    assert [number_in_words(n) for n in (0, 1, 10, 11)] == ["no", "one", "ten", "11"]


def test_words_are_joined_as_a_sentence_has_them() -> None:
    """None and one stand as they are; two and more end in "and", or what is asked for."""
    joined = [several(list("abc"[:n])) for n in range(4)]
    assert (joined, several(["a", "b"], "or")) == (["", "a", "a and b", "a, b and c"], "a or b")


def test_a_day_ago_has_its_own_word() -> None:
    """As a person says it."""
    assert [days_ago(n) for n in range(3)] == ["today", "yesterday", "2 days ago"]


def test_a_day_of_the_last_week_has_its_name() -> None:
    """A date before it."""
    today = date(2026, 2, 3)
    said = [recent_day(today - timedelta(days=days), today) for days in (0, 1, 2, 6, 7, 40)]
    assert said == ["today", "yesterday", "Sunday", "Wednesday", "27 January", "25 December 2025"]


def test_a_day_has_its_year_where_it_is_another_one() -> None:
    """Without today, always."""
    of_this_year, of_the_next = day_words(DAY, DAY), day_words(DAY, date(2027, 1, 1))
    assert (of_this_year, of_the_next) == ("12 March", "12 March 2026")
    assert full_day(DAY) == "12 March 2026"


def test_a_moment_has_its_day_and_clock() -> None:
    """The clock is the moment's own."""
    assert moment_words(datetime(2026, 3, 12, 8, 5, tzinfo=UTC)) == "12 March 2026 at 08:05"


def test_a_stretch_has_the_year_where_it_is_needed() -> None:
    """Once in a year, twice over a turn of it; a single day stands alone."""
    stretches = [stretch_words(first, DAY) for first in (DAY, date(2026, 1, 8), date(2025, 1, 8))]
    assert stretches == [
        "12 March 2026",
        "8 January to 12 March 2026",
        "8 January 2025 to 12 March 2026",
    ]


def test_a_share_stands_with_the_band_it_may_lie_in() -> None:
    """In whole numbers of a hundred; in a column the heading says what the brackets are."""
    assert share_with_band(0.281, 0.078, 0.594, "come out good") == (
        "28 in 100 come out good (may be 8 to 59)"
    )
    assert share_with_band(-0.02, -0.2, 0.1).replace("\N{MINUS SIGN}", "-") == (
        "-2 in 100 (may be -20 to 10)"
    )
    assert share_in_column(0.281, 0.078, 0.594) == "28 (8 to 59)"
    assert share_in_column(None, None, None) == ""


def test_words_become_a_sentence_once() -> None:
    """A capital and one full stop."""
    assert (as_sentence("it waits"), as_sentence("It waits.")) == ("It waits.", "It waits.")
