"""The search over a class: each setter's share in what is asked, scores summed over setters.

A share is small, plain and the same wherever it is made, so that shares may be made by several
processes or machines and kept until the setter logs something. Draws are kept to 1/127 of the
largest one of their cell: the rounding adds less than a thousandth to their variance.

Rows are never merged: what differs between people (how good, at which grade, with which bench)
would come out as a cause. Summed statistics ask only what goes with failure within each setter.
"""

import functools
from collections.abc import Mapping, Sequence
from zlib import crc32

import numpy as np
import numpy.typing as npt

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.classes.sums import OwnSums, class_cells
from platebook.analysis.findings.asking.candidates import Candidate, Unjudged
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.asking.search import PreparedLog, Search
from platebook.analysis.findings.deciding.null_logs import at_once, draw, source
from platebook.analysis.measurements.seat_readings import NO_TOOLS, Worth
from platebook.analysis.models.bayes_factors import Cell, Key, Prior
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import (
    ANY,
    LATELY,
    LEAST_EVENTS,
    AttemptLog,
    Window,
)
from platebook.analysis.variables.columns import Column
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.values import Value, field, replace

SEED = 20260101
CLASS_DRAWS = 299
LEAST_EVENTS_OF_A_SETTER = 1
_STEPS = 127

Steps = npt.NDArray[np.int8]


class Drawn(Value, eq=False):
    """Draws of U with nothing behind the failures: whole steps (d by c), and each cell's step."""

    steps: Steps
    step: Floats

    @classmethod
    def of(cls, u: Floats) -> "Drawn":
        """Rounded to whole steps, of which the largest draw of a cell has 127."""
        step = np.abs(u).max(axis=0, initial=0.0) / _STEPS
        safe = np.where(step > 0.0, step, 1.0)
        return cls(np.rint(u / safe).astype(np.int8), step)

    def u(self, draws: int | None = None) -> Floats:
        """The first so many draws of U, or all (d by c)."""
        return np.asarray(self.steps[:draws].astype(float) * self.step, dtype=float)


class ClassShare(Value, eq=False):
    """What a class needs to know of one setter.

    `cells` have the setter's own priors and no values; `own` is their U and V as the log is (1 by
    c). `usual` are those that the setter's own log may be asked by itself. `failing` counts the
    failing defects, `defects` are all that were seen. `left_out` counts judged attempts before the
    window. `columns`, `truths` (of each outcome) and `slight` (of each that passed as good in some)
    are there to be shown, and in the first share only: beside found cells they are empty.
    """

    attempts: int
    failures: int
    failing: Mapping[str, int]
    defects: tuple[str, ...]
    judged: tuple[str, ...]
    unjudged: tuple[Unjudged, ...]
    cells: tuple[Cell, ...]
    usual: Truths
    own: Scores
    drawn: Drawn
    columns: tuple[Column, ...] = ()
    truths: Mapping[str, Truths] = field(default_factory=dict)
    slight: Mapping[str, Truths] = field(default_factory=dict)
    left_out: int = 0

    def values(self, key: Key) -> "CellValues | None":
        """The column of a cell with the truths of its outcome; None where the log has no such."""
        for column in self.columns:
            if (column.variable, column.level or "") == (key.variable, key.level):
                truth = self.truths.get(key.outcome)
                if truth is None:
                    return None
                slight = self.slight.get(key.outcome, np.zeros_like(truth))
                return CellValues(Candidate(column, key.form, 1.0), truth, slight)
        return None


class CellValues(Value, eq=False):
    """One cell's column in one setter's log, with the truths of the outcome asked about.

    `slight` are those of them that passed as good.
    """

    candidate: Candidate
    truth: Truths
    slight: Truths


@functools.lru_cache(maxsize=4096)
def bare(variable: str, form: str, kind: str, level: str | None) -> Candidate:
    """A candidate that says what is asked and has no values."""
    column = Column(variable, kind, process=False, values=np.zeros(0), level=level)  # type: ignore[arg-type]
    return Candidate(column, form, 1.0)  # type: ignore[arg-type]


def prepared_for_class(
    attempts: Sequence[Attempt],
    course: Course | None,
    *,
    worth: Worth = NO_TOOLS,
    window: Window = LATELY,
) -> PreparedLog:
    """A log as a class asks it: the one that the setter's own findings rest on (`FindingsLog`).

    Without measured heights, which few setters have. Also what happened once to a setter counts in
    the sum over a class.
    """
    return PreparedLog.of(
        FindingsLog.of(attempts, course, worth=worth, window=window).log,
        course,
        with_heights=False,
        least_events=LEAST_EVENTS_OF_A_SETTER,
    )


def class_share(
    prepared: PreparedLog, beside: Sequence[Key] = (), *, seed: int = SEED
) -> ClassShare:
    """The share of one setter (`prepared_for_class`), beside the cells found before; causes alone.

    Pure: the draws follow from the seed and the log, whoever else is in the class. An empty log
    has a share without cells.
    """
    log, search = prepared.log, _asked(prepared, beside)
    mark = crc32(log.failed.tobytes(), crc32(log.session.tobytes()))
    rng = np.random.default_rng([seed, len(beside), len(log), mark])
    return ClassShare(
        attempts=len(log),
        failures=log.failures,
        failing=_failing(log),
        defects=tuple(d for d in log.outcomes() if d != ANY),
        judged=prepared.judged.variables(),
        unjudged=prepared.judged.unjudged,
        cells=tuple(_without_values(cell) for cell in search.cells),
        usual=_usual(search),
        own=search.observed(),
        drawn=Drawn.of(_draws(search, rng)),
        columns=() if beside else _columns(prepared),
        truths={} if beside else {o: log.truths(o) for o in _outcomes(log)},
        slight={} if beside else {o: log.slight(o) for o in _outcomes(log) if log.slight(o).any()},
        left_out=log.before,
    )


def own_sums(prepared: PreparedLog) -> OwnSums:
    """What a class sums of one setter (`prepared_for_class`), without the draws of a share.

    Pure; an empty log has no cells.
    """
    search = _asked(prepared, ())
    cells = tuple(_without_values(cell) for cell in search.cells)
    return OwnSums(cells, search.observed(), _failing(prepared.log))


def _asked(prepared: PreparedLog, beside: Sequence[Key]) -> Search:
    return prepared.search(_candidates(prepared, beside), causes_only=True)


def _failing(log: AttemptLog) -> dict[str, int]:
    return {defect: int(bad.sum()) for defect, bad in log.failing.items()}


def _outcomes(log: AttemptLog) -> tuple[str, ...]:
    return log.outcomes(LEAST_EVENTS_OF_A_SETTER)


def _without_values(cell: Cell) -> Cell:
    column = cell.candidate.column
    plain = bare(column.variable, cell.candidate.form, column.kind, column.level)
    return replace(cell, candidate=plain)


def _columns(prepared: PreparedLog) -> tuple[Column, ...]:
    candidates = (c for group in prepared.judged.groups for c in group.candidates)
    columns = {(c.column.variable, c.column.level): c.column for c in candidates}
    return tuple(column for column in columns.values() if not column.process)


def _usual(search: Search) -> Truths:
    usual: list[bool] = []
    for part in search.parts:
        truth = search.log.truths(part.outcome)[part.group.rows]
        enough = min(int(truth.sum()), int((~truth).sum())) >= LEAST_EVENTS
        usual += [enough] * len(part.cells)
    return np.array(usual, dtype=bool)


def _draws(search: Search, rng: np.random.Generator) -> Floats:
    if not search.cells:
        return np.zeros((CLASS_DRAWS, 0))
    made_from, scores, step = source(search), search.scorer(straight=True), at_once(len(search.log))
    sizes = [min(step, CLASS_DRAWS - done) for done in range(0, CLASS_DRAWS, step)]
    drawn = [scores(draw(made_from, rng, size)) for size in sizes]
    u, v = np.vstack([part.u for part in drawn]), np.vstack([part.v for part in drawn])
    # Brought to the information of the log as it is, which a class sums: z stays what it was.
    return np.asarray(u * np.sqrt(search.observed().v / np.where(v > 0.0, v, np.inf)), dtype=float)


def _candidates(prepared: PreparedLog, beside: Sequence[Key]) -> list[Candidate]:
    wanted = {(key.variable, key.form, key.level) for key in beside}
    return [
        candidate
        for group in prepared.judged.groups
        for candidate in group.candidates
        if (candidate.column.variable, candidate.form, candidate.column.level or "") in wanted
    ]


class ClassSearch(Value, eq=False, dict=True):
    """Every setter's share, the class's cells, and where each setter's cells lie among them."""

    setters: tuple[str, ...]
    shares: tuple[ClassShare, ...]
    cells: tuple[Cell, ...]
    places: tuple[Whole, ...]

    @classmethod
    def of(cls, shares: Mapping[str, ClassShare]) -> "ClassSearch":
        """Lay the setters' shares over one list of cells, each cell once whoever has it."""
        first: dict[Key, Cell] = {}
        for share in shares.values():
            for own in share.cells:
                first.setdefault(own.key, own)
        cells = class_cells(first, (share.failing for share in shares.values()))
        numbers = {key: place for place, key in enumerate(cells)}
        places = tuple(
            np.array([numbers[own.key] for own in share.cells], dtype=np.intp)
            for share in shares.values()
        )
        return cls(tuple(shares), tuple(shares.values()), tuple(cells.values()), places)

    @functools.cached_property
    def prior(self) -> Prior:
        """The class's cells weighed against each other."""
        return Prior.of(self.cells)

    def observed(self, *, without: int | None = None) -> Scores:
        """The setters' U and V summed into the class's cells (1 by cells), all or all but one."""
        u, v = np.zeros((1, len(self.cells))), np.zeros((1, len(self.cells)))
        for number, (share, places) in enumerate(zip(self.shares, self.places, strict=True)):
            if number != without:
                u[:, places] += share.own.u
                v[:, places] += share.own.v
        return Scores(u, v)

    @functools.cached_property
    def drawn(self) -> Scores:
        """The same for classes with nothing behind any setter's failures (draws by cells)."""
        u = np.zeros((CLASS_DRAWS, len(self.cells)))
        for share, places in zip(self.shares, self.places, strict=True):
            u[:, places] += share.drawn.u()
        return Scores(u, np.repeat(self.observed().v, CLASS_DRAWS, axis=0))

    def without_strongest(self, best: Whole, up: Truths, *, drawn: bool) -> Scores:
        """U and V of each class (draws by cells) without the setter who pulls a cell most.

        `best` is the cell of each class (d), `up` whether it is pulled upwards; one class where
        it is the observed one.
        """
        total = self.drawn if drawn else self.observed()
        u, v = total.u.copy(), total.v.copy()
        strongest, most = np.zeros(len(u), dtype=np.intp), np.full(len(u), -np.inf)
        rows = np.arange(len(u))
        for number, places in enumerate(self.places):
            column = np.full(len(self.cells), -1)
            column[places] = np.arange(len(places))
            here = column[best]
            own = self._own_u(number, drawn=drawn)[rows, here] if len(places) else np.zeros(len(u))
            pull = np.where(here >= 0, np.where(up, own, -own), -np.inf)
            strongest = np.where(pull > most, number, strongest)
            most = np.maximum(pull, most)
        for number, places in enumerate(self.places):
            which = np.flatnonzero(strongest == number)
            if len(which) and len(places):
                u[np.ix_(which, places)] -= self._own_u(number, drawn=drawn)[which]
                v[np.ix_(which, places)] -= self.shares[number].own.v
        return Scores(u, np.maximum(v, 0.0))

    def _own_u(self, number: int, *, drawn: bool) -> Floats:
        share = self.shares[number]
        return share.drawn.u() if drawn else share.own.u
