"""Ids of records, changes and revisions: UUID version 7 (RFC 9562), rising in the order given out.

An id carries the time it was given out, so records sort by it where nothing else orders them. A
clock that stands still or is set back does not break that order: within one `Ids` every id is
higher than the one before (RFC 9562, section 6.2).
"""

from datetime import UTC, datetime, timedelta

import uuid_utils

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_NANOSECONDS = 1_000_000


class Ids:
    """Gives out ids for one open logbook; it remembers the last millisecond it used."""

    def __init__(self) -> None:
        self._last_ms = 0

    def take(self, count: int, now: datetime) -> tuple[str, ...]:
        """`count` new ids, rising, and higher than all given out before."""
        now_ms = (now - _EPOCH) // timedelta(milliseconds=1)
        self._last_ms = max(now_ms, self._last_ms + 1)
        moment = self._last_ms * _NANOSECONDS
        return tuple(sorted(str(uuid_utils.uuid7(nanoseconds=moment)) for _ in range(count)))

    def one(self, now: datetime) -> str:
        """One new id."""
        return self.take(1, now)[0]
