"""Which names may be one person's."""

import pytest

from platebook.practice.people.names import letters_off, may_be_one, one_letter_off


@pytest.mark.parametrize(
    ("name", "other", "expected"),
    [
        ("Ada Quill", "ada  quill", True),
        ("Ada Quill", "Ada Quil", True),
        ("Ada Quill", "Ada Quiil", True),
        ("Ada Quill", "Aad Quill", True),
        ("Quill, Ada", "Ada Quill", True),
        ("Ada Quill", "Ada Quin", False),
        ("Bo", "Jo", False),
        ("Lin Moor", "Lynn Moor", True),
        ("Moor, Lynn", "Lin Moor", True),
        ("Jon Vale", "John Vale", True),
        ("Sara Osk", "Sarah Osk", True),
        ("Steven Osk", "Stephen Osk", True),
        ("José Vale", "Josie Vale", True),
        ("Lin Moor", "Lynn Vale", False),
        ("Lin", "Lynn", False),
        ("Ada Moor", "Ann Moor", False),
        ("Kristin Moor", "Christine Moor", False),
        ("Anna Moor", "Antonia Moor", False),
        ("", "", False),
        ("Student 1", "Student 2", False),
    ],
)
def test_a_name_one_letter_off_may_be_the_same_person(
    name: str, other: str, *, expected: bool
) -> None:
    """Without case, commas and order; names of few letters only where they are the same."""
    assert may_be_one(name, other) is expected
    assert may_be_one(other, name) is expected


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("abc", "abc", True),
        ("abc", "abcd", True),
        ("abc", "xabc", True),
        ("abc", "axc", True),
        ("abcd", "bacd", True),
        ("abcd", "badc", False),
        ("abc", "abcde", False),
        ("", "a", True),
    ],
)
def test_one_letter_more_less_other_or_swapped(first: str, second: str, *, expected: bool) -> None:
    """The distance of Damerau and Levenshtein is at most one."""
    assert one_letter_off(first, second) is expected


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [("lin", "lynn", 2), ("", "abc", 3), ("kitten", "sitting", 3), ("flaw", "lawn", 2)],
)
def test_letters_off_are_counted(first: str, second: str, expected: int) -> None:
    """As in the examples that every text on the distance has; either way round."""
    assert letters_off(first, second) == letters_off(second, first) == expected
