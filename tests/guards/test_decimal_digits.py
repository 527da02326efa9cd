"""What is asked to be a digit is one that `int` reads.

`str.isdigit` holds for a superscript two as well, a key of some keyboards, which `int` refuses
(Python's library reference, `str.isdigit` and `str.isdecimal`).
"""

from pathlib import Path

SOURCE = Path(__file__).parents[2] / "src" / "platebook"


def test_digits_are_asked_for_as_decimals() -> None:
    """No file of the program asks `isdigit`."""
    files = sorted(SOURCE.rglob("*.py"))
    assert files
    assert [file.name for file in files if ".isdigit(" in file.read_text("utf-8")] == []
