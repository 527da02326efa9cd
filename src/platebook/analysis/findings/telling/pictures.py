"""Pictures: what a finding's sentence says, level by level, for a screen or a page to draw.

| function | gives |
|---|---|
| `finding_pictures` | for each finding its levels under their names, and where they were parted |

A sentence parts the attempts in two. Its picture shows every level with the share that showed the
defect, its 95 % interval (Wilson) and its counts, and a line between the levels where the sentence
parts them: so a reader sees whether the share climbs from level to level or one level stands out.
A measured value is laid in up to five ranges of its own values, none of which reaches across the
parting. Where a finding rests on something measured, seats or tables, each reading is a point,
unless most are known between limits only.

A level nobody had is not shown; without any value there is no picture. Nothing is decided here.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import FORMS, Cut
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.asking.levels import levels_of
from platebook.analysis.findings.measured.heights import heights
from platebook.analysis.findings.measured.upstream import seats_by_response
from platebook.analysis.findings.telling.counted import Shown
from platebook.analysis.findings.telling.results import Finding
from platebook.analysis.models.censored import Measurements
from platebook.analysis.models.intervals import wilson
from platebook.analysis.models.null_model import nuisance
from platebook.analysis.variables.attempt_log import ANY, AttemptLog
from platebook.analysis.variables.columns import Column, columns
from platebook.values import Value

LEAST_EXACT = 0.8
"""Readings are drawn as points where so many are a value: what is known between limits has none."""


class Level(Value):
    """One level under its name: how many of how many showed it, with the share's 95 % interval.

    `inside` says whether the sentence's phrase means it. `points` are the measured readings in the
    response's unit, ascending, where the finding rests on them.
    """

    name: str
    failed: int
    of: int
    low: float
    high: float
    inside: bool
    points: tuple[float, ...] = ()

    @property
    def share(self) -> float:
        """The share of its attempts that showed it."""
        return self.failed / self.of


class Picture(Value):
    """The levels of one finding, in their order; `showed` is what the shares are of.

    `response` and `unit` say what the points are, and are empty for shares.
    """

    variable: str
    showed: str
    levels: tuple[Level, ...]
    response: str = ""
    unit: str = ""

    @property
    def parted(self) -> tuple[int, ...]:
        """Between which levels the sentence parts them: 1 is between the first and the second."""
        pairs = zip(self.levels, self.levels[1:], strict=False)
        return tuple(n for n, (a, b) in enumerate(pairs, start=1) if a.inside != b.inside)

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where the shares or the points lie, with a little room beside these."""
        points = [point for level in self.levels for point in level.points]
        if not self.response or not points:
            return 0.0, 1.0
        margin = (max(points) - min(points)) * 0.04 or 0.01
        return min(points) - margin, max(points) + margin

    @property
    def scale(self) -> tuple[tuple[float, str], ...]:
        """Five places along that with their labels: of 100 for shares, else in the unit."""
        low, high = self.reach
        places = [low + (high - low) * n / 4 for n in range(5)]
        told = [f"{p:.2f}" if self.response else f"{100 * p:.0f}" for p in places]
        return tuple(zip(places, told, strict=True))

    @property
    def axis(self) -> str:
        """What is laid along it: "loose in 100, and where it may be", or "overcut, mm"."""
        if self.response:
            return f"{self.response}, {self.unit}"
        return f"{'failed' if self.showed == ANY else self.showed} in 100, and where it may be"


def finding_pictures(asked: FindingsLog, findings: Iterable[Finding]) -> tuple[Picture, ...]:
    """The picture of each of these findings, which were found in the same log."""
    log = asked.log
    of_seats = seats_by_response(asked.attempts, worth=asked.worth, window=asked.window)
    seats = {name: (seats.log, seats.measurements) for name, seats in of_seats.items()}
    tables = (
        {h.name: (log, h.measurements) for h in heights(log, nuisance(log))} if len(log) else {}
    )
    measured = seats | tables

    def its_columns(of: AttemptLog) -> tuple[Column, ...]:
        return asked.columns if of is log else columns(of, asked.course)

    return tuple(_picture(finding, log, its_columns, measured) for finding in findings)


_Measured = Mapping[str, tuple[AttemptLog, Measurements]]
_ColumnsOf = Callable[[AttemptLog], tuple[Column, ...]]


def _picture(
    finding: Finding, log: AttemptLog, its_columns: _ColumnsOf, measured: _Measured
) -> Picture:
    """The finding's own levels; those of its counts where the log tells no more."""
    moved = next((s for s in finding.shifts if s.variable == finding.variable), None)
    if moved is not None and moved.response in measured:
        theirs, readings = measured[moved.response]
        values = _values(readings, len(theirs))
        enough = int((~np.isnan(values)).sum()) >= LEAST_EXACT * len(readings)
        levels = _levels(finding, theirs, its_columns(theirs), values) if enough else ()
        if levels:
            return Picture(finding.variable, finding.defect, levels, moved.response, moved.unit)
    if finding.status == "mechanism":
        # Those with the defect and the others, by how many of them came about so.
        return Picture(finding.variable, finding.direction, _of_counts(finding))
    levels = _levels(finding, log, its_columns(log))
    return Picture(finding.variable, finding.defect, levels or _of_counts(finding))


def _values(readings: Measurements, attempts: int) -> Floats:
    """The readings in the response's unit by attempt (n), NaN for none and for mere limits."""
    exact = np.where(readings.low == readings.high, readings.low, np.nan)
    values = np.full(attempts, np.nan)
    values[readings.rows] = readings.response.middle + readings.response.unit * exact
    return values


def _of_counts(finding: Finding) -> tuple[Level, ...]:
    """The two sides of a finding, as it counts them; of a mechanism by what they are alone."""
    how = f": {finding.direction}" if finding.status == "mechanism" else ""
    sides = enumerate(count for count in finding.counts if count.of)
    return tuple(
        Level(c.label.removesuffix(how), c.failed, c.of, *wilson(c.failed, c.of), inside=n == 0)
        for n, c in sides
    )


def _levels(
    finding: Finding, log: AttemptLog, every: Sequence[Column], points: Floats | None = None
) -> tuple[Level, ...]:
    """The levels of the finding's variable in this log; empty where they cannot be told."""
    found = _cut_of(finding, every, log)
    if found is None:
        return ()
    column, cut = found
    shown = Shown.of(log, finding.defect if finding.defect in log.events else ANY)
    levels = levels_of(column, cut, log.attempts)
    counts = (shown.count(level.name, level.rows) for level in levels)
    return tuple(
        Level(
            name=count.label,
            failed=count.failed,
            of=count.of,
            low=share.low,
            high=share.high,
            inside=level.inside,
            points=_points(points, level.rows),
        )
        for level, count in zip(levels, counts, strict=True)
        for share in [wilson(count.failed, count.of)]
    )


def _points(points: Floats | None, rows: Truths) -> tuple[float, ...]:
    if points is None:
        return ()
    return tuple(sorted(points[rows & ~np.isnan(points)].tolist()))


def _cut_of(
    finding: Finding, every: Sequence[Column], log: AttemptLog
) -> tuple[Column, Cut] | None:
    """The column that the finding speaks of, parted as its sentence parts it."""
    way = FORMS.get(finding.direction)
    for column in every:
        if column.variable != finding.variable:
            continue
        if column.kind in {"number", "rank"} and way is not None:
            form, more = way
        elif column.kind == "yes/no" and finding.direction in {"yes", "no"}:
            form, more = "linear", finding.direction == "yes"
        elif column.kind == "level" and finding.direction in {column.level, f"not {column.level}"}:
            form, more = "linear", finding.direction == column.level
        else:
            continue
        return column, cutoffs.cut_log(Candidate(column, form, 1.0), log, more=more)
    return None
