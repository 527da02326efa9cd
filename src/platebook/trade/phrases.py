"""Counts, lists and days as a sentence has them, alike on every floor of the house.

They stand on the lowest one because every sentence needs them. What a program reads (JSON, a
spreadsheet, an address) has its numbers and ISO days instead.
"""

from collections.abc import Sequence
from datetime import date, datetime

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def count_of(number: int, noun: str, plural: str | None = None) -> str:
    """A number with its noun: 1 attempt, 3 attempts; `plural` where an s is not enough."""
    return f"{number} {noun_for(number, noun, plural)}"


def noun_for(number: int, noun: str, plural: str | None = None) -> str:
    """A noun as it stands with a number that is written apart from it: attempt, attempts."""
    return noun if number == 1 else plural or f"{noun}s"


def number_in_words(number: int) -> str:
    """A whole number as a word up to ten, "no" for none; in digits beyond."""
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


def several(words: Sequence[str], last: str = "and") -> str:
    """Words joined as a sentence has them: a, b and c; `last` joins the last two."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def of_hundred(share: float) -> str:
    """A share, or a difference of two, as a whole number of a hundred: 72."""
    return f"{round(100 * share)}".replace("-", "\N{MINUS SIGN}")


def may_be(low: float, high: float) -> str:
    """The band in which a share may lie, in numbers of a hundred: "may be 51 to 87"."""
    return f"may be {of_hundred(low)} to {of_hundred(high)}"


def share_with_band(share: float, low: float, high: float, what: str = "") -> str:
    """A share of a hundred with its band behind: "72 in 100 come out good (may be 51 to 87)"."""
    return f"{of_hundred(share)} in 100{f' {what}' if what else ''} ({may_be(low, high)})"


BAND_HEAD = "in 100 (may be)"
"""Stands over a column of `share_in_column`."""


def share_in_column(share: float | None, low: float | None, high: float | None) -> str:
    """A share with its band under `BAND_HEAD`: "62 (40 to 80)"; empty where one is not known."""
    if share is None or low is None or high is None:
        return ""
    return f"{of_hundred(share)} ({of_hundred(low)} to {of_hundred(high)})"


def as_sentence(words: str) -> str:
    """Words as a sentence has them, with a capital and a full stop."""
    return f"{words[:1].upper()}{words[1:].removesuffix('.')}."


def days_ago(days: int) -> str:
    """How long ago a person says a day was: today, yesterday, 3 days ago."""
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")


def recent_day(day: date, today: date) -> str:
    """Today, yesterday, the name of a day of the last week, or the date."""
    days = (today - day).days
    if days in {0, 1}:
        return days_ago(days)
    return f"{day:%A}" if 1 < days < 7 else day_words(day, today)


def full_day(day: date) -> str:
    """A day with its year, as a person writes it: 12 March 2026."""
    return f"{day.day} {day:%B} {day.year}"


def day_words(day: date, today: date) -> str:
    """A day as people say it: 12 March, and with its year where that is another one."""
    return f"{day.day} {day:%B}" if day.year == today.year else full_day(day)


def moment_words(moment: datetime) -> str:
    """A day and the time on its clock: 12 March 2026 at 18:30."""
    return f"{full_day(moment)} at {moment:%H:%M}"


def stretch_words(first: date, last: date) -> str:
    """From one day to another: 8 January to 26 March 2026; a single day stands alone."""
    end = full_day(last)
    return end if first == last else f"{day_words(first, last)} to {end}"
