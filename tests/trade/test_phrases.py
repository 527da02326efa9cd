"""Counts, lists and days as a sentence has them."""

from datetime import UTC, date, datetime, timedelta

from platebook.trade.phrases import (
    count_of,
    day_words,
    days_ago,
    full_day,
    moment_words,
    number_in_words,
    recent_day,
    several,
    stretch_words,
)

DAY = date(2026, 3, 12)


def test_a_count_goes_with_its_noun() -> None:
    """One has the noun as it is; none and more have its plural."""
    counted = [count_of(n, "seat") for n in range(3)] + [
        count_of(n, "try", "tries") for n in (1, 2)
    ]
    assert counted == ["0 seats", "1 seat", "2 seats", "1 try", "2 tries"]


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
