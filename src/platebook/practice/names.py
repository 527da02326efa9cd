"""Names of people that may be one person's: the same, one letter off, or in another order."""

from platebook.practice.records import name_key

SHORTEST = 4
"""Names with fewer letters differ by one letter too easily to be taken for one another."""


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
    return min(len(first), len(second)) >= SHORTEST and one_letter_off(first, second)


def _numbers(words: list[str]) -> list[str]:
    """The words with a digit: "Student 1" and "Student 2" are told apart on purpose."""
    return [word for word in words if any(map(str.isdigit, word))]


def _words(name: str) -> list[str]:
    return name_key(name.replace(",", " ")).split()


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
