"""One setter's log: attempts in order with their sessions, and how each of them came out.

| function | gives |
|---|---|
| `places` | where each attempt stands in time: its session, and its order there |
| `attempt_log` | the attempts that are judged, with n truths for each outcome |
| `recent` | those of them that findings rest on: a log has a present |

A pause of over three hours, from the last start plus its minutes, begins a session. A day whose
hours nobody wrote down is one session. Attempts without any date are one session a plate.
"""

import calendar
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

import numpy as np

from platebook.analysis.arrays import Truths, Whole
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.courses.course import Course
from platebook.practice.defects import MISSED, defects
from platebook.practice.results import COMPUTED, failed, fails, severity_of
from platebook.values import Value, replace

PAUSE = timedelta(hours=3)
ANY = "any"
LEAST_EVENTS = 4
LEAST_READINGS_ALIKE = 2


class Place(Value):
    """Where one attempt stands in time; None where nobody wrote down what it needs.

    `session` counts from 0, the orders from 1. `days_since_practice` are the whole days of the
    calendar between this session and the last start before it, the same for all attempts of a
    session; 0 for a second one on one day.
    """

    session: int
    order_in_session: int | None
    order_on_plate: int | None
    minutes_into_session: float | None
    days_since_practice: int | None


class AttemptLog(Value, eq=False):
    """One setter's attempts that count, in order, with n truths for each outcome.

    `events` has one row of n truths a defect that was seen at all; `failing` says which of those
    events fail by the course's rule. `session` numbers them, ascending. `before` counts the judged
    attempts that came before these and are left out.
    """

    attempts: tuple[Attempt, ...]
    places: tuple[Place, ...]
    session: Whole
    failed: Truths
    events: Mapping[str, Truths]
    failing: Mapping[str, Truths]
    before: int = 0

    def __len__(self) -> int:
        return len(self.attempts)

    @property
    def failures(self) -> int:
        """How many attempts failed."""
        return int(self.failed.sum())

    def outcomes(self, least_events: int = LEAST_EVENTS) -> tuple[str, ...]:
        """Failure of any kind, then each defect seen often enough to be followed by itself.

        What is computed from stone and sheet is left out: nothing is to be found out about it.
        """
        seen = tuple(
            defect
            for defect, hit in self.events.items()
            if defect not in COMPUTED and int(hit.sum()) >= least_events
        )
        return (ANY, *seen)

    def shares(self) -> dict[str, float]:
        """Each defect's share of all failing defects; empty where nothing failed."""
        failing = {defect: int(bad.sum()) for defect, bad in self.failing.items()}
        total = sum(failing.values())
        return {defect: count / total for defect, count in failing.items() if count}

    def truths(self, outcome: str) -> Truths:
        """The n truths of one outcome."""
        return self.failed if outcome == ANY else self.events[outcome]

    def slight(self, outcome: str) -> Truths:
        """Which attempts show the outcome and pass as good all the same; none of the failures."""
        if outcome == ANY:
            return np.zeros(len(self), dtype=bool)
        return self.events[outcome] & ~self.failing[outcome]

    def first(self, count: int) -> "AttemptLog":
        """The log as it stood after its first `count` attempts."""
        return self._part(slice(0, count))

    def since(self, start: int) -> "AttemptLog":
        """The log without its first `start` attempts; places in time stay what they were."""
        return self._part(slice(start, None))

    def _part(self, rows: slice) -> "AttemptLog":
        kept = {defect: hit[rows] for defect, hit in self.events.items() if hit[rows].any()}
        session = self.session[rows]
        return AttemptLog(
            attempts=self.attempts[rows],
            places=self.places[rows],
            session=session - session[:1].sum(),
            failed=self.failed[rows],
            events=kept,
            failing={defect: self.failing[defect][rows] for defect in kept},
            before=self.before + (rows.start or 0),
        )


class Window(Value):
    """Which judged attempts findings rest on; None for no such limit.

    The latest `most`, of the `months` before the newest one and on or after the day `since`,
    whichever is least. Attempts without a date are limited by their number alone, and where a day
    is asked for they are not known to lie after it.
    """

    most: int | None = None
    months: int | None = None
    since: date | None = None

    def start(self, log: AttemptLog) -> int:
        """The place of the first attempt inside."""
        limits = [day for day in (self.since, self._months_before(log)) if day is not None]
        start = max(len(log) - self.most, 0) if self.most is not None else 0
        if not limits:
            return start
        first = max(limits)
        dated = (n for n, a in enumerate(log.attempts) if a.began and a.began.date() >= first)
        return max(start, next(dated, len(log)))

    def _months_before(self, log: AttemptLog) -> date | None:
        newest = log.attempts[-1].began if len(log) else None
        if self.months is None or newest is None:
            return None
        month = newest.year * 12 + newest.month - 1 - self.months
        year, month = month // 12, month % 12 + 1
        return date(year, month, min(newest.day, calendar.monthrange(year, month)[1]))


LATELY = Window(most=400, months=12)
"""A log has a present: what ended long ago goes with nothing today.

The twelve months reach back from the newest attempt, not from today. So the same attempts give the
same answer on any day, and who is away for a year still finds what their log said when they left.
Who comes back after two years begins anew with the first attempt: a hand is another one after so
long (judgement), and what was well supported then is no more said of it. The answer tells how many
attempts are left out and how all of them are asked (`EVERYTHING`)."""

EVERYTHING = Window()


def recent(log: AttemptLog, window: Window) -> AttemptLog:
    """The part of the log inside the window."""
    start = window.start(log)
    return log.since(start) if start else log


def _begins_session(previous: Attempt, attempt: Attempt) -> bool:
    if previous.began is None or attempt.began is None:
        return previous.began is not attempt.began or previous.plate != attempt.plate
    if previous.day_only or attempt.day_only:
        return previous.began.date() != attempt.began.date()
    worked = timedelta(minutes=min(max(previous.minutes or 0.0, 0.0), 24 * 60))
    return attempt.began - (previous.began + worked) > PAUSE


def _days(previous: Attempt, attempt: Attempt) -> int | None:
    if previous.began is None or attempt.began is None:
        return None
    return (attempt.began.date() - previous.began.date()).days


def places(attempts: Sequence[Attempt]) -> tuple[Place, ...]:
    """The place of each attempt; the attempts are one setter's, in order (`in_order`)."""
    in_time: list[Place] = []
    plates: dict[tuple[int, str], int] = {}
    session, order = -1, 0
    days: int | None = None
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
        in_time.append(Place(session, dated, on_plate, minutes, days))
        previous = attempt
    return tuple(in_time)


def _counts(attempt: Attempt) -> bool:
    result = attempt.result
    return bool(result) and attempt.kind != "part" and MISSED not in (result or ())


_READINGS = (
    "seat_diameter_mm",
    "seat_depth_mm",
    "seat_go_mm",
    "stone_depth_mm",
    "spindle_tilt_deg",
    "table_height_mm",
    "table_tilt_deg",
)


def typed_once(ordered: Sequence[Attempt]) -> tuple[Attempt, ...]:
    """The attempts (`in_order`) without those that are the one before once more.

    Two rows in a row are one attempt where they agree in everything but id and time, two or more
    readings of its own among it: no two seats come out alike to the last hundredth in all. A log
    typed in or imported twice would else prove everything twice.
    """
    alone = list(ordered[:1])
    for attempt in ordered[1:]:
        if not _same_again(alone[-1], attempt):
            alone.append(attempt)
    return tuple(alone)


def _same_again(before: Attempt, attempt: Attempt) -> bool:
    if before.result != attempt.result or before.stone_diameter_mm != attempt.stone_diameter_mm:
        return False
    read = [getattr(attempt, name) for name in _READINGS]
    if sum(value is not None for value in read) < LEAST_READINGS_ALIKE:
        return False
    if read != [getattr(before, name) for name in _READINGS]:
        return False
    return replace(attempt, attempt_id=before.attempt_id, began=before.began) == before


def attempt_log(attempts: Sequence[Attempt], course: Course | None = None) -> AttemptLog:
    """The attempts that count, in order, each once; sessions are told from parts too."""
    ordered = typed_once(in_order(attempts))
    judged = [
        (attempt, place)
        for attempt, place in zip(ordered, places(ordered), strict=True)
        if _counts(attempt)
    ]
    rows = tuple(attempt for attempt, _ in judged)
    failure_from = course.failure_from if course is not None else 2
    enclosed = [course is not None and course.encloses(attempt.grade) for attempt in rows]
    failures = [
        bool(failed(attempt, failure_from=failure_from, enclosed=closed))
        for attempt, closed in zip(rows, enclosed, strict=True)
    ]
    events: dict[str, Truths] = {}
    failing: dict[str, Truths] = {}
    for defect, known in defects().items():
        severity = [
            severity_of(attempt, defect) if known.fails != "enclosed" or closed else None
            for attempt, closed in zip(rows, enclosed, strict=True)
        ]
        hit = np.array([s is not None for s in severity], dtype=bool)
        if hit.any():
            events[defect] = hit
            failing[defect] = np.array(
                [fails(defect, s, failure_from=failure_from, enclosed=True) for s in severity],
                dtype=bool,
            )
    return AttemptLog(
        attempts=rows,
        places=tuple(place for _, place in judged),
        session=np.array([place.session for _, place in judged], dtype=np.intp),
        failed=np.array(failures, dtype=bool),
        events=events,
        failing=failing,
    )
