"""Upstream: what the seats that were measured say of what came before them.

Loose or not tells little of why; how wide each seat came out over its bur tells far more. Overcut
and depth error of every measured seat, of parts and unjudged attempts too, are asked about each
variable that comes before the seat in the work, beside practice, grade, bur and evening.

| function | answers |
|---|---|
| `upstream` | what went with wide and with deep seats: leads and claims of each response |

Claims are decided as those of failure are: at checkpoints of the number of measured seats, by a
parametric bootstrap, at the same share. With fewer than 20 seats, or seats that all read the same,
nothing is asked.
"""

import functools
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from platebook.analysis.bootstrap import Draws, Share, share_as_strong
from platebook.analysis.candidates import Candidate, Candidates, candidates
from platebook.analysis.censored import spreads
from platebook.analysis.columns import columns
from platebook.analysis.counted import Counted
from platebook.analysis.evidence import CLAIM_DRAWS, CLAIM_SHARE, LEAST_FOR_LEADS, last_checkpoint
from platebook.analysis.heights import Height, HeightSource
from platebook.analysis.measured import DEPTH, OVERCUT, Reading, Readings, Response
from platebook.analysis.measured_part import MeasuredPart
from platebook.analysis.nuisance import GRADE_SD, Nuisance, nuisance
from platebook.analysis.ranking import Ranked, rank
from platebook.analysis.responses import depth_reading, overcut_reading
from platebook.analysis.scores import Scores
from platebook.analysis.search import placed_cells
from platebook.analysis.seat_readings import NO_TOOLS, Worth
from platebook.analysis.sessions import places
from platebook.analysis.upstream_map import upstream_cell
from platebook.analysis.variables import variable
from platebook.analysis.weigh import Cell, Prior
from platebook.practice.attempt import Attempt, in_order

MOST_SEATS = 500
"""The latest so many measured seats are used; hands change."""

MOST_CLAIMS = 2
LEAD_DRAWS = 199
LEAST_LEAD_SHARE = 0.2
SEATS_A_BUR = 10
"""Burs are told apart where there are so many seats for each (judgement)."""

_STOP_AT = int(CLAIM_SHARE * (CLAIM_DRAWS + 1))


@dataclass(frozen=True, eq=False)
class Seats:
    """Measured seats of one setter in order, as a log in which nothing is judged."""

    log: Counted
    readings: Readings

    def __len__(self) -> int:
        return len(self.readings)

    def first(self, count: int) -> "Seats":
        """The seats as they stood after the first `count`."""
        return Seats(self.log.first(count), self.readings.some(np.arange(count)))


@dataclass(frozen=True, eq=False)
class FoundBefore:
    """One family that stands out: its rank, the question it was found in, its chance share."""

    ranked: Ranked
    asked: "SeatQuestion"
    share: float
    claimed: bool


@dataclass(frozen=True, eq=False)
class Upstream:
    """What one response says; `checked` counts the variables that could be asked about."""

    response: Response
    measured: int
    checked: int
    found: tuple[FoundBefore, ...]

    @property
    def looked_at(self) -> tuple[Response, int, int]:
        """The response, how many seats were measured, and against how many variables."""
        return self.response, self.measured, self.checked


@dataclass(frozen=True, eq=False)
class SeatQuestion:
    """One response of one log made ready to be scored, as it is and as it might have been."""

    seats: Seats
    adjusted: Nuisance
    height: Height
    parts: tuple[MeasuredPart, ...]

    @classmethod
    def of(cls, seats: Seats, found: Sequence[Candidate] = ()) -> "SeatQuestion":
        """Make it ready, beside the variables already found; their families are not asked again."""
        told = {variable(c.column.variable).family for c in found}
        plain = nuisance(seats.log)
        judged = _judged(seats.log, plain)
        adjusted = _beside_burs(seats.log, plain)
        height = Height(seats.readings, spreads(adjusted, seats.readings))
        if found:
            adjusted = adjusted.adding(np.column_stack([c.filled() for c in found]))
        make = functools.partial(upstream_cell, seats.readings.response.name)
        parts: list[MeasuredPart] = []
        for group in judged.groups:
            placed = placed_cells(
                group, make, lambda c: variable(c.column.variable).family not in told
            )
            part = MeasuredPart.of(group, placed, seats.readings, adjusted, height.known)
            parts += [] if part is None else [part]
        return cls(seats, adjusted, height, tuple(parts))

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Every cell, in the order in which scores give U and V."""
        return tuple(c for part in self.parts for c in part.cells)

    def variables(self) -> int:
        """How many variables are asked about."""
        return len({cell.candidate.column.variable for cell in self.cells})

    def ranked(self) -> tuple[Ranked, ...]:
        """All families, the best first."""
        return rank(self.cells, _side_by_side([p.observed(self.seats.log) for p in self.parts]))

    def share(self, best: Ranked, rng: np.random.Generator, draws: int, stop_at: int = 0) -> Share:
        """How many logs with nothing behind their seats have a best family as strong as this."""
        source = HeightSource.of(self.height, self.adjusted)

        def drawn(rng: np.random.Generator, count: int) -> Scores:
            truth, _ = source.draw(rng, count)
            return _side_by_side([part.drawn(truth) for part in self.parts])

        many = Draws.of(draws, len(self.seats), stop_at)
        return share_as_strong(best.log_odds, drawn, Prior.of(self.cells), rng, draws=many)


def _side_by_side(found: Sequence[Scores]) -> Scores:
    if not found:
        return Scores(np.zeros((1, 0)), np.zeros((1, 0)))
    return Scores(np.hstack([one.u for one in found]), np.hstack([one.v for one in found]))


def _judged(log: Counted, adjusted: Nuisance) -> Candidates:
    return candidates(columns(log), log, adjusted)


def _bur_of(attempt: Attempt) -> str:
    return attempt.seat_bur or f"{attempt.seat_bur_shape or ''} {attempt.seat_bur_mm or ''}"


def _beside_burs(log: Counted, adjusted: Nuisance) -> Nuisance:
    """Each bur may be a little off its mark; told apart only where each has cut enough."""
    burs = Counter(_bur_of(attempt) for attempt in log.attempts)
    if not 2 <= len(burs) <= len(log) // SEATS_A_BUR:
        return adjusted
    marks = np.array([[float(_bur_of(a) == bur) for bur in sorted(burs)] for a in log.attempts])
    precision = np.append(adjusted.precision, np.full(len(burs), GRADE_SD**-2))
    return replace(adjusted, columns=np.hstack([adjusted.columns, marks]), precision=precision)


def seats_measured(
    attempts: Sequence[Attempt], response: Response, read: Callable[[Attempt], Reading | None]
) -> Seats:
    """The latest measured seats of one setter; sessions are told from all attempts."""
    ordered = in_order(attempts)
    rows = [
        (attempt, place, reading)
        for attempt, place in zip(ordered, places(ordered), strict=True)
        if (reading := read(attempt)) is not None
    ][-MOST_SEATS:]
    nothing = np.zeros(len(rows), dtype=bool)
    log = Counted(
        attempts=tuple(attempt for attempt, _, _ in rows),
        places=tuple(place for _, place, _ in rows),
        session=np.array([place.session for _, place, _ in rows], dtype=np.intp),
        failed=nothing,
        events={},
        failing={},
    )
    return Seats(log, Readings.of(response, [reading for _, _, reading in rows]))


def _claimed(seats: Seats, seed: int) -> tuple[str, ...]:
    checkpoint = last_checkpoint(len(seats))
    if checkpoint is None:
        return ()
    then = seats.first(checkpoint)
    if not then.readings.varies():
        return ()
    rng = np.random.default_rng([seed, checkpoint, len(seats.readings.response.name)])
    families: list[str] = []
    found: list[Candidate] = []
    while len(families) < MOST_CLAIMS:
        question = SeatQuestion.of(then, found)
        ranked = question.ranked()
        if not ranked:
            break
        if question.share(ranked[0], rng, CLAIM_DRAWS, _STOP_AT).value > CLAIM_SHARE:
            break
        families.append(ranked[0].family)
        found.append(ranked[0].cell.candidate)
    return tuple(families)


def _standing(seats: Seats, claimed: tuple[str, ...], seed: int) -> tuple[FoundBefore, ...]:
    """The claims that stand, and at most one lead of today where it is stronger or alone."""
    rng = np.random.default_rng([seed, len(seats), len(seats.readings.response.name)])
    found: list[FoundBefore] = []
    wanted = list(claimed)
    while wanted or not found:
        asked = SeatQuestion.of(seats, [one.ranked.cell.candidate for one in found])
        ranked = asked.ranked()
        if not ranked:
            break
        first = next((r for r in ranked if r.family in wanted), None) or ranked[0]
        share = asked.share(first, rng, LEAD_DRAWS).value
        if first.family in wanted:
            wanted.remove(first.family)
            found.append(FoundBefore(first, asked, share, claimed=True))
            continue
        if share <= LEAST_LEAD_SHARE:
            found.append(FoundBefore(first, asked, share, claimed=False))
        break
    return tuple(found)


def upstream(
    attempts: Sequence[Attempt], *, seed: int, worth: Worth = NO_TOOLS
) -> tuple[Upstream, ...]:
    """What each response says; nothing is found where fewer than 20 seats were measured."""
    reads: tuple[tuple[Response, Callable[[Attempt], Reading | None]], ...] = (
        (OVERCUT, functools.partial(overcut_reading, worth=worth)),
        (DEPTH, depth_reading),
    )
    answers: list[Upstream] = []
    for response, read in reads:
        seats = seats_measured(attempts, response, read)
        found: tuple[FoundBefore, ...] = ()
        checked = 0
        if len(seats) >= LEAST_FOR_LEADS and seats.readings.varies():
            checked = SeatQuestion.of(seats).variables()
            found = _standing(seats, _claimed(seats, seed), seed)
        answers.append(Upstream(response, len(seats), checked, found))
    return tuple(answers)
