"""Slips of the pen in a course: told at their line, but not of a text that is kept."""

import pytest

from platebook.practice import load_course, read_course, shipped_course

TEXT = shipped_course("small-to-large")


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "stones_mm = [1.5]",
            "stones_mm = [1,5]",
            "[1.5] for one stone, or [1.0, 5.0] for several",
        ),
        ("stones_mm = [1.5]", "stones_mm = [1,75]", "[1.75] for one stone"),
        ("stones_mm = [1.5]", "stones_mm = [2.0, 1]", "[2.0, 1.0] for several"),
        ("stones_mm = [1.5]", "stones_mm = [175]", "diameters from 0.5 to 12 mm"),
        ('sheet = "20 ga"', 'sheet = "20"', 'a thickness with its unit: "20 ga" or "0.8 mm"'),
    ],
)
def test_a_slip_is_told_at_its_line(old: str, new: str, expected: str) -> None:
    """What was read stands before what was expected."""
    text = TEXT.replace(old, new, 1)
    line = text[: text.index(new)].count("\n") + 1
    course, problems = read_course(text, name="mine.toml")
    wrong = [p for p in problems if p.level == "problem"]
    assert (course, [p.line for p in wrong]) == (None, [line])
    assert expected in str(wrong[0])


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("stones_mm = [1.5]", "stones_mm = [2]"),
        ("stones_mm = [1.5]", "stones_mm = [1.0, 5.0]"),
        ('sheet = "20 ga"', 'sheet = "0.8"'),
        ('sheet = "20 ga"', 'sheet = "0,8 mm"'),
    ],
)
def test_what_can_be_meant_so_is_no_slip(old: str, new: str) -> None:
    """One whole size, a row with its decimals, a thickness that a sheet can have."""
    assert [p for p in read_course(TEXT.replace(old, new, 1))[1] if p.level == "problem"] == []


def test_a_text_that_is_kept_is_read_as_it_is() -> None:
    """A logbook that took such a text in goes on with it."""
    text = TEXT.replace("stones_mm = [1.5]", "stones_mm = [1,5]", 1)
    assert load_course(text, kept=True).grades[0].stones_mm == (1.0, 5.0)
