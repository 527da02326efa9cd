"""Words of other languages for headings and values, from the one table of them: `data/words.csv`.

One row a word: what it is a word `of` (a heading, a field whose value it means, a month, a line of
totals), what it `means`, its language, and its source ("memory" where it was written down without
one). A row more is a word more; a word may mean several things, and the cells of its column then
say which.
"""

import functools
import re
import unicodedata
from collections.abc import Iterable, Mapping

from platebook.practice.fields import fields
from platebook.tables import csv_rows

TIME = "time"
"""What a heading means whose cells are the time of day, to be joined to the day beside it."""

ROW_ID = "row id"
"""What a heading means whose cells tell the rows of the sheet apart."""

_ROUND = str.maketrans({"ø": " diameter ", "⌀": " diameter ", "°": " ", "œ": "oe", "æ": "ae"})
_SIGNS = re.compile(r"[\W_]+")


@functools.lru_cache(maxsize=8192)
def bare(text: str) -> str:
    """What spellings of one word share: no case, accents, signs and outer blanks.

    A text of nothing but signs is itself.
    """
    form = unicodedata.normalize("NFKD", text.casefold().translate(_ROUND))
    letters = "".join([sign for sign in form if not unicodedata.combining(sign)])
    return " ".join(_SIGNS.sub(" ", letters).split()) or text.strip()


@functools.cache
def _rows() -> tuple[Mapping[str, str], ...]:
    return tuple(csv_rows("platebook.exchange.sheets", "words.csv"))


def _by_word(of: str) -> Mapping[str, tuple[str, ...]]:
    meanings: dict[str, tuple[str, ...]] = {}
    for row in _rows():
        if row["of"] == of:
            word = bare(row["word"])
            meanings[word] = tuple(dict.fromkeys((*meanings.get(word, ()), row["means"])))
    return meanings


@functools.cache
def meanings(of: str) -> Mapping[str, str]:
    """What each word of a field (or of months, severities, yes and no) means.

    A word that may mean several values, as "Silber" does, is left to be asked about.
    """
    return {word: means[0] for word, means in _by_word(of).items() if len(means) == 1}


@functools.cache
def several_meanings(of: str) -> Mapping[str, tuple[str, ...]]:
    """The words that may mean several values of a field, with those in order of likelihood."""
    return {word: means for word, means in _by_word(of).items() if len(means) > 1}


@functools.cache
def heading_meanings() -> Mapping[str, tuple[str, ...]]:
    """The fields that each heading may mean, its name and label on screens among the words."""
    known = dict(_by_word("heading"))
    for field in fields().values():
        for name in (field.name, field.label):
            word = bare(name)
            known[word] = tuple(dict.fromkeys((field.name, *known.get(word, ()))))
    return known


def month_of(word: str) -> int | None:
    """The number of a month by its name or a short form of it; None for another word."""
    number = meanings("month").get(bare(word))
    return int(number) if number else None


def is_total(cells: Iterable[str]) -> bool:
    """Whether one of these cells names a line of totals: "Summe", "Total May", "average:"."""
    return any(_names_a_total(cell) for cell in cells)


_LONGEST_TOTAL = 30


@functools.lru_cache(maxsize=8192)
def _names_a_total(cell: str) -> bool:
    if len(cell) > _LONGEST_TOTAL or not cell[:1].strip() or cell[0].isdecimal():
        return False
    words = meanings("total")
    word = bare(cell)
    if word in words:
        return True
    first, *rest = word.split(" ")
    return first in words and len(rest) <= 2 and all(_may_follow(part) for part in rest)


def _may_follow(part: str) -> bool:
    return part.isdecimal() or month_of(part) is not None or part in {"good", "gut", "bon", "mm"}
