"""Upstream: what the seats that were measured say of what came before them.

Loose or not tells little of why; how wide each seat came out over its bur tells far more. Overcut
and depth error of every measured seat, of parts and unjudged attempts too, are asked about each
variable that comes before the seat in the work, beside practice, grade, bur and evening.

| function | answers |
|---|---|
| `upstream` | what went with wide and with deep seats: leads and claims of each response |
| `seats_by_response` | the measured seats that it rests on |

Claims are decided as those of failure are (`claims`): at checkpoints of the number of measured
seats, by a parametric bootstrap, at a share of their own (`claims.SEAT_SHARE`). With fewer than 20
seats, or seats that all read the same, nothing is asked.
"""

import functools
from collections import Counter
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from platebook.analysis.findings.asking.candidates import Candidate, Candidates, candidates
from platebook.analysis.findings.asking.search import AskedGroup, PreparedLog, placed_cells
from platebook.analysis.findings.deciding.claims import (
    SEAT_SHARE,
    Decisions,
    FoundFamily,
    LeadLimit,
    decided,
    standing_out,
    well_supported,
)
from platebook.analysis.findings.measured.heights import Height
from platebook.analysis.findings.measured.measured_responses import (
    enough_measured,
    measured_depth_error,
    measured_overcut,
)
from platebook.analysis.findings.telling.results import LEAST_FOR_LEADS, last_checkpoint
from platebook.analysis.findings.telling.sentences import SeatsChecked
from platebook.analysis.measurements.seat_readings import NO_TOOLS, Worth
from platebook.analysis.models.bayes_factors import Cell, prior_for
from platebook.analysis.models.censored import (
    DEPTH,
    OVERCUT,
    Measurement,
    Measurements,
    Response,
    spreads,
)
from platebook.analysis.models.null_model import GRADE_SD, Nuisance, nuisance
from platebook.analysis.variables.attempt_log import (
    EVERYTHING,
    AttemptLog,
    Place,
    Window,
    places,
    typed_once,
)
from platebook.analysis.variables.columns import Column, columns
from platebook.analysis.variables.trade_map import expectation, expected_of
from platebook.practice.attempt import Attempt, in_order
from platebook.values import Value, replace

MOST_SEATS = 500
"""The latest so many measured seats are used; hands change."""

MOST_CLAIMS = 2
SEAT_LEAD_SHARE = 0.2
"""A lead of what moved the seats is shown where at most one in five logs with nothing behind them
has one as strong. Less than for failure (`claims.LEAD_SHARE`), since a shift is told behind another
finding's sentence and lends it weight, and two responses are asked. Of 60 simulated logs of 40
attempts with nothing behind their seats a third showed a lead of either response, and 0.78 at 0.5.
With wear planted 0.5 showed it in 0.73 of the logs instead of 0.68, and something else in 0.18
instead of 0.08."""

SEATS_A_BUR = 10
"""Burs are told apart where there are so many seats for each (judgement)."""


class Seats(Value, eq=False):
    """Measured seats of one setter in order, as a log in which nothing is judged."""

    log: AttemptLog
    measurements: Measurements

    def __len__(self) -> int:
        return len(self.measurements)

    def first(self, count: int) -> "Seats":
        """The seats as they stood after the first `count`."""
        return Seats(_first(self.log, count), self.measurements.chosen(np.arange(count)))

    def inside(self, window: Window) -> "Seats":
        """Those inside the window."""
        start = window.start(self.log)
        if not start:
            return self
        kept = self.measurements.chosen(np.arange(start, len(self)))
        return Seats(self.log.since(start), replace(kept, rows=kept.rows - start))


class Upstream(Value, eq=False):
    """What one response says; `checked` counts the variables that could be asked about.

    `measured` seats were used, the latest of the `counted` ones that were ever measured.
    """

    response: Response
    measured: int
    checked: int
    families: tuple[FoundFamily, ...]
    counted: int = 0

    @property
    def seats_checked(self) -> SeatsChecked:
        """What was looked at, as a sentence says it."""
        return SeatsChecked(self.response, self.measured, self.counted, self.checked)


def prepared_seats(seats: Seats) -> PreparedLog:
    """One response of one log made ready: only what comes before the seat is asked about it."""
    recorded = _what_is_recorded(seats.log)
    adjusted = _beside_burs(seats.log, recorded.plain)
    height = Height(seats.measurements, spreads(adjusted, seats.measurements))
    make = functools.partial(upstream_cell, height.name)
    asked = tuple(
        AskedGroup(group, {height.name: placed_cells(group, make)})
        for group in recorded.judged.groups
        if enough_measured(group, seats.measurements)
    )
    return PreparedLog(seats.log, recorded.columns, recorded.judged, adjusted, (height,), asked)


@functools.lru_cache(maxsize=2)
def _first(log: AttemptLog, count: int) -> AttemptLog:
    """The first attempts of a log that two responses are read from, the same for both."""
    return log.first(count)


class _Recorded(Value, eq=False):
    """Adjusting columns, what comes before a seat, and what can be judged of that in one log."""

    plain: Nuisance
    columns: tuple[Column, ...]
    judged: Candidates


@functools.lru_cache(maxsize=4)
def _what_is_recorded(log: AttemptLog) -> _Recorded:
    """The same for all responses of one log."""
    plain = nuisance(log)
    before = columns(log, wanted=expected_of(frozenset({OVERCUT.name, DEPTH.name})))
    return _Recorded(plain, before, candidates(before, log, plain))


def upstream_cell(response: str, candidate: Candidate) -> Cell | None:
    """The cell with its prior; None for a variable that does not come before the seat."""
    if expectation(candidate.column.variable, response) is None:
        return None
    weight, mean, sd = prior_for(candidate, response)
    return Cell(candidate, response, weight, mean, sd)


def _bur_of(attempt: Attempt) -> str:
    return attempt.seat_bur or f"{attempt.seat_bur_shape or ''} {attempt.seat_bur_mm or ''}"


def _beside_burs(log: AttemptLog, adjusted: Nuisance) -> Nuisance:
    """Each bur may be a little off its mark; told apart only where each has cut enough."""
    burs = Counter(_bur_of(attempt) for attempt in log.attempts)
    if not 2 <= len(burs) <= len(log) // SEATS_A_BUR:
        return adjusted
    marks = np.array([[float(_bur_of(a) == bur) for bur in sorted(burs)] for a in log.attempts])
    return adjusted.with_columns(marks, sd=GRADE_SD)


def seats_measured(
    attempts: Sequence[Attempt],
    response: Response,
    measure: Callable[[Attempt], Measurement | None],
) -> Seats:
    """The measured seats of one setter; sessions are told from all attempts."""
    return _seats(_placed(attempts), response, measure)


def _placed(attempts: Sequence[Attempt]) -> list[tuple[Attempt, Place]]:
    ordered = typed_once(in_order(attempts))
    return list(zip(ordered, places(ordered), strict=True))


def _seats(
    placed: Sequence[tuple[Attempt, Place]],
    response: Response,
    measure: Callable[[Attempt], Measurement | None],
) -> Seats:
    rows = [
        (attempt, place, measurement)
        for attempt, place in placed
        if (measurement := measure(attempt)) is not None
    ]
    nothing = np.zeros(len(rows), dtype=bool)
    log = AttemptLog(
        attempts=tuple(attempt for attempt, _, _ in rows),
        places=tuple(place for _, place, _ in rows),
        session=np.array([place.session for _, place, _ in rows], dtype=np.intp),
        failed=nothing,
        events={},
        failing={},
    )
    return Seats(log, Measurements.of(response, [measurement for _, _, measurement in rows]))


def _claimed(
    seats: Seats, seed: int, window: Window, decisions: Decisions | None
) -> tuple[str, ...]:
    """Families that the last checkpoint supports, from the seats up to it alone.

    `seats` are all that were measured, which are counted.
    """
    checkpoint = last_checkpoint(len(seats))
    if checkpoint is None:
        return ()
    then = seats.first(checkpoint).inside(window)
    if len(then) < LEAST_FOR_LEADS or not then.measurements.varies():
        return ()

    def decide() -> tuple[str, ...]:
        prepared = prepared_seats(then)
        rng = _chance(seed, checkpoint, seats)
        return well_supported(prepared.search, rng, most=MOST_CLAIMS, limit=SEAT_SHARE)

    read = then.measurements
    limits = [values.tolist() for values in (read.low, read.high, read.error, read.step)]
    others = (read.response.name, limits, SEAT_SHARE, seed)
    return decided(decisions, then.log, others, decide)


def _chance(seed: int, count: int, seats: Seats) -> np.random.Generator:
    return np.random.default_rng([seed, count, len(seats.measurements.response.name)])


def upstream(
    attempts: Sequence[Attempt],
    *,
    seed: int,
    worth: Worth = NO_TOOLS,
    window: Window = EVERYTHING,
    decisions: Decisions | None = None,
) -> tuple[Upstream, ...]:
    """What each response says of the seats inside the window, of which the latest 500 are used.

    Nothing is found where fewer than 20 were measured. `decisions` keeps what checkpoints decided,
    where there is a place for it.
    """
    every = _by_response(attempts, worth)
    return tuple(_answer(seats, seed, window, decisions) for seats in every)


def seats_by_response(
    attempts: Sequence[Attempt], *, worth: Worth = NO_TOOLS, window: Window = EVERYTHING
) -> Mapping[str, Seats]:
    """The seats that `upstream` rests on, by the name of what was measured of them."""
    every = _by_response(attempts, worth)
    return {seats.measurements.response.name: _used(seats, window)[1] for seats in every}


def _by_response(attempts: Sequence[Attempt], worth: Worth) -> list[Seats]:
    """The measured seats, a response each.

    Responses read on the same attempts share one log, so that it is made ready once.
    """
    placed = _placed(attempts)
    measured = [_seats(placed, *way) for way in _ways(worth)]
    logs = {tuple(map(id, seats.log.attempts)): seats.log for seats in measured}
    return [replace(seats, log=logs[tuple(map(id, seats.log.attempts))]) for seats in measured]


def _ways(worth: Worth) -> tuple[tuple[Response, Callable[[Attempt], Measurement | None]], ...]:
    return (
        (OVERCUT, functools.partial(measured_overcut, worth=worth)),
        (DEPTH, measured_depth_error),
    )


def _used(measured: Seats, window: Window) -> tuple[Seats, Seats]:
    """The seats measured since the day asked for, and the latest of them that are used."""
    every = measured.inside(Window(since=window.since)) if window.since else measured
    return every, every.inside(replace(window, most=MOST_SEATS))


def _answer(measured: Seats, seed: int, window: Window, decisions: Decisions | None) -> Upstream:
    every, seats = _used(measured, window)
    window, response = replace(window, most=MOST_SEATS), every.measurements.response
    if len(seats) < LEAST_FOR_LEADS or not seats.measurements.varies():
        return Upstream(response, len(seats), 0, (), len(every))
    prepared = prepared_seats(seats)
    # A claim that today's seats can no longer judge does not take the place of a lead.
    asked = prepared.families_asked()
    claimed = [family for family in _claimed(every, seed, window, decisions) if family in asked]
    standing = standing_out(
        prepared.search,
        claimed,
        _chance(seed, len(seats), seats),
        leads=LeadLimit(most=1, share=SEAT_LEAD_SHARE),
    )
    return Upstream(response, len(seats), len(prepared.variables_asked()), standing, len(every))
