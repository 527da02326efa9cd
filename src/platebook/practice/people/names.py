"""Names of people that may be one person's.

The same, one letter off, in another order, or sounding alike beside the same family name.

What sounds alike is told by the letters that carry a name: its vowels and a silent h go, a doubled
letter is one, and letters spoken alike are one letter. Two given names sound alike that begin with
the same letter, are at most two letters off and leave the same: Lin and Lynn, Jon and John, Sara
and Sarah, Steven and Stephen (judgement; `bench/doubles.py` measures the false alarms).
"""

import re
import unicodedata
from functools import lru_cache

from platebook.practice.records import name_key

SHORTEST = 4
"""Names with fewer letters differ by one letter too easily to be taken for one another."""

MOST_OFF = 2
"""So many letters may be other, more or less in a given name that sounds alike."""

_SPOKEN_ALIKE = (("ph", "f"), ("ck", "k"), ("c", "k"), ("q", "k"), ("z", "s"), ("v", "f"))
_SILENT = re.compile(r"[aeiouyh]")
_DOUBLED = re.compile(r"(.)\1+")


def may_be_one(name: str, other: str) -> bool:
    """Whether two names may be one person's, without case, commas and order of their words."""
    one, two = _words(name), _words(other)
    if not one or not two:
        return False
    if one == two or sorted(one) == sorted(two):
        return True
    if _numbers(one) != _numbers(two):
        return False
    first, second = " ".join(one), " ".join(two)
    if min(len(first), len(second)) >= SHORTEST and one_letter_off(first, second):
        return True
    return one[1:] == two[1:] != () and sound_alike(one[0], two[0])


def _numbers(words: tuple[str, ...]) -> list[str]:
    """The words with a digit: "Student 1" and "Student 2" are told apart on purpose."""
    return [word for word in words if any(map(str.isdigit, word))]


@lru_cache(maxsize=4096)
def _words(name: str) -> tuple[str, ...]:
    """The words of a name without case, the family name last: "Moor, Fay" is fay moor.

    Kept, because everyone of a school is laid beside everyone else.
    """
    family, _, given = name.partition(",")
    return tuple(name_key(f"{given} {family}".replace(",", " ")).split())


def sound_alike(first: str, second: str) -> bool:
    """Whether two given names sound alike: one first letter, two letters off, the same skeleton."""
    same = first[:1] == second[:1] and _skeleton(first) == _skeleton(second)
    return same and letters_off(first, second) <= MOST_OFF


def _skeleton(name: str) -> str:
    plain = "".join(c for c in unicodedata.normalize("NFD", name) if not unicodedata.combining(c))
    for spelt, spoken in _SPOKEN_ALIKE:
        plain = plain.replace(spelt, spoken)
    return _DOUBLED.sub(r"\1", _SILENT.sub("", plain))


def letters_off(first: str, second: str) -> int:
    """The fewest letters to put in, leave out or change that make one the other (Levenshtein)."""
    row = list(range(len(second) + 1))
    for place, letter in enumerate(first, start=1):
        before, row = row, [place]
        for other, (above, across) in enumerate(zip(before[1:], before, strict=False)):
            row.append(min(above + 1, row[-1] + 1, across + (letter != second[other])))
    return row[-1]


def one_letter_off(first: str, second: str) -> bool:
    """Whether one letter more, less or other, or two neighbours swapped, makes one the other."""
    if abs(len(first) - len(second)) > 1:
        return False
    start = 0
    while start < min(len(first), len(second)) and first[start] == second[start]:
        start += 1
    a, b = first[start:], second[start:]
    if len(a) == len(b):
        swapped = len(a) > 1 and a[:2] == b[1::-1] and a[2:] == b[2:]
        return a[1:] == b[1:] or swapped
    return a[1:] == b if len(a) > len(b) else a == b[1:]
