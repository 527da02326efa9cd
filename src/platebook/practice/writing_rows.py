"""Attempts to rows of text that read back as the same attempts."""

from platebook.practice.attempt import Attempt
from platebook.practice.fields import fields
from platebook.practice.text import as_text


def write_row(attempt: Attempt) -> dict[str, str]:
    """The canonical text of every field in the order of the contract, then the course's own.

    A moment carries its offset, and is only a day where only the day was known.
    """
    row = {name: _text(getattr(attempt, name)) for name in fields()}
    if attempt.began is not None and attempt.day_only:
        row["began"] = attempt.began.date().isoformat()
    return row | {name: _text(value) for name, value in attempt.extra}


def _text(value: object) -> str:
    text = as_text(value)
    if text is None:
        raise TypeError(f"no text stands for {value!r}")
    return text
