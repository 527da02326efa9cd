"""Attempts for tests, one after another on evenings a week apart."""

from datetime import UTC, datetime, timedelta

from platebook.practice.attempt import Attempt

FIRST_EVENING = datetime(2026, 1, 13, 18, 30, tzinfo=UTC)
ROW = 8
"""Attempts an evening."""


def evenings(signs: str, grade: str = "copper-1.5", **values: object) -> list[Attempt]:
    """One whole setting a sign: `+` is good, `-` loose, `?` not judged; `start` counts from 0."""
    start = values.pop("start", 0)
    assert isinstance(start, int)
    results = {"+": ("good",), "-": ("loose",), "?": None}
    return [
        Attempt(
            attempt_id=f"a{number:05d}",
            began=FIRST_EVENING
            + timedelta(weeks=number // ROW)
            + timedelta(minutes=12 * (number % ROW)),
            grade=grade,
            result=results[sign],
        ).with_values(**values)
        for number, sign in enumerate(signs, start=start)
    ]
