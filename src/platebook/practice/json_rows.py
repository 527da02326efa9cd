"""Attempts as JSON objects: the record's field names, with numbers and truth values as such."""

from platebook.practice.attempt import Attempt
from platebook.practice.fields import fields
from platebook.practice.writing_rows import write_row

_AS_THEY_ARE = {"integer", "number", "length", "yes/no"}


def json_row(attempt: Attempt) -> dict[str, object]:
    """Every field of the record; an empty one is null, text fields read as in a CSV file.

    `record --from` reads the same object back as the same attempt.
    """
    text = write_row(attempt)
    row: dict[str, object] = {
        name: getattr(attempt, name) if field.type in _AS_THEY_ARE else text[name] or None
        for name, field in fields().items()
    }
    return row | dict(attempt.extra)
