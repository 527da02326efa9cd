"""Which names may be one person's."""

import pytest

from platebook.practice.names import may_be_one, one_letter_off


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
