"""Sessions: which attempts were made in one sitting, and where in it each attempt stands.

A pause of over three hours, from the last start plus its minutes, begins a session. A day whose
hours nobody wrote down is one session. Attempts without any date are one session a plate.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from platebook.practice.attempt import Attempt

PAUSE = timedelta(hours=3)


@dataclass(frozen=True, slots=True)
class Place:
    """Where one attempt stands in time; None where nobody wrote down what it needs.

    `session` counts from 0, the orders from 1. `days_since_practice` is the time between this
    session and the last start before it, the same for all attempts of a session.
    """

    session: int
    order_in_session: int | None
    order_on_plate: int | None
    minutes_into_session: float | None
    days_since_practice: float | None


def _ends(attempt: Attempt, began: datetime) -> datetime:
    minutes = attempt.minutes or 0.0
    return began + timedelta(minutes=min(max(minutes, 0.0), 24 * 60))


def _begins_session(previous: Attempt, attempt: Attempt) -> bool:
    if previous.began is None or attempt.began is None:
        return previous.began is not attempt.began or previous.plate != attempt.plate
    if previous.day_only or attempt.day_only:
        return previous.began.date() != attempt.began.date()
    return attempt.began - _ends(previous, previous.began) > PAUSE


def _days(previous: Attempt, attempt: Attempt) -> float | None:
    if previous.began is None or attempt.began is None:
        return None
    if previous.day_only or attempt.day_only:
        return float((attempt.began.date() - previous.began.date()).days)
    return (attempt.began - previous.began).total_seconds() / 86_400


def places(attempts: Sequence[Attempt]) -> tuple[Place, ...]:
    """The place of each attempt; the attempts are one setter's, in order (`in_order`)."""
    found: list[Place] = []
    plates: dict[tuple[int, str], int] = {}
    session, order, days = -1, 0, None
    start: datetime | None = None
    previous: Attempt | None = None
    for attempt in attempts:
        if previous is None or _begins_session(previous, attempt):
            days = None if previous is None else _days(previous, attempt)
            session, order, start = session + 1, 0, attempt.began
        order += 1
        on_plate = None
        if attempt.plate:
            key = (session, attempt.plate)
            on_plate = plates[key] = plates.get(key, 0) + 1
        minutes = None
        if start is not None and attempt.began is not None and not attempt.day_only:
            minutes = (attempt.began - start).total_seconds() / 60
        dated = order if attempt.began is not None else None
        found.append(Place(session, dated, on_plate, minutes, days))
        previous = attempt
    return tuple(found)
