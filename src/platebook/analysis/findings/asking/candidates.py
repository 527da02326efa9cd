"""Candidates: the columns a log allows to be judged, standardised, and why the others are not.

Attempts that lack a value are left out of that column's question, never filled in: columns with
the same gaps form one group with its own rows. Only below 5 % missing does the mean stand in.
"""

from collections.abc import Iterable

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.findings.asking.apart_in_time import reason_in_time
from platebook.analysis.models.null_model import Nuisance
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.analysis.variables.columns import Column
from platebook.analysis.variables.trade_map import Form
from platebook.trade.phrases import count_of
from platebook.values import Value

LEAST_ROWS = 8
LEAST_OF_THE_RARER = 3
FEW_MISSING = 0.05
SKIP_GAP = 0.25
LEAST_MEASURED_OF_EITHER = 8
LARGEST_R2 = 0.8


class Candidate(Value, eq=False):
    """One column in one form; `scale` is its standard deviation in the column's own unit."""

    column: Column
    form: Form
    scale: float

    def filled(self) -> Floats:
        """All n values in this form, standardised, with the mean where none was written down.

        For adjusting only: beside a variable found before no attempt is left out.
        """
        return np.asarray(_standardise(in_form(self.column, self.form)[None])[0][0], dtype=float)


class Group(Value, eq=False):
    """Candidates with the same gaps: the rows they stand on and their values there (r by c)."""

    rows: Whole
    x: Floats
    candidates: tuple[Candidate, ...]


class Unjudged(Value):
    """A variable that this log cannot judge, and the reason in words."""

    variable: str
    reason: str


class Candidates(Value, eq=False):
    """What can be judged, in groups, and what cannot."""

    groups: tuple[Group, ...]
    unjudged: tuple[Unjudged, ...]

    def variables(self) -> tuple[str, ...]:
        """Names of the judged variables."""
        names = (c.column.variable for group in self.groups for c in group.candidates)
        return tuple(dict.fromkeys(names))


def _thin_reason(column: Column, known: Truths) -> str | None:
    measured = int(known.sum())
    if measured < LEAST_ROWS:
        times = "once" if measured == 1 else count_of(measured, "time")
        noted = f"noted {times}" if measured else "never noted"
        needed = count_of(LEAST_ROWS, "time")
        return f"{noted} in {count_of(len(known), 'attempt')}; {needed} are needed"
    values = column.values[known]
    _, counts = np.unique(values, return_counts=True)
    if len(counts) == 1:
        return "never changed"
    rarer = measured - int(counts.max())
    if rarer < LEAST_OF_THE_RARER:
        return f"changed in {rarer} of {measured} attempts"
    return None


def _skip_reason(known: Truths, failed: Truths) -> str | None:
    sides = [(int((known & side).sum()), int(side.sum())) for side in (failed, ~failed)]
    if not all(of for _, of in sides):
        return None
    rates = [measured / of for measured, of in sides]
    few = min(measured for measured, _ in sides) < LEAST_MEASURED_OF_EITHER
    if abs(rates[0] - rates[1]) <= SKIP_GAP or not few:
        return None
    (bad, of_bad), (good, of_good) = sides
    return f"measured on {bad} of {of_bad} failed and {good} of {of_good} good ones"


def r_squared(x: Floats, z: Floats) -> Floats:
    """Share of the variance of each column of x (n by c) that the columns z (n by q) explain.

    1 where a column is constant.
    """
    total = np.square(x - x.mean(axis=0)).sum(axis=0)
    left = np.square(x - z @ np.linalg.lstsq(z, x, rcond=None)[0]).sum(axis=0)
    return np.asarray(1.0 - np.where(total > 0.0, left / np.where(total > 0.0, total, 1.0), 0.0))


def _standardise(values: Floats) -> tuple[Floats, Floats]:
    """Columns (c by n) with mean 0 and standard deviation 1, and their scales (c).

    What is missing stands at the mean; a column that does not vary is 0, and so is its scale.
    """
    known = ~np.isnan(values)
    filled, count = np.where(known, values, 0.0), known.sum(axis=1)
    centred = np.where(known, values - (filled.sum(axis=1) / count)[:, None], 0.0)
    scale = np.sqrt(np.square(centred).sum(axis=1) / count)
    scale[scale <= 1e-9 * np.maximum(1.0, np.abs(filled).max(axis=1))] = 0.0
    varies = scale[:, None] > 0.0
    return np.where(varies, centred / np.where(varies, scale[:, None], 1.0), 0.0), scale


def in_form(column: Column, form: Form) -> Floats:
    """The column as it is, or its distance from the wanted value (else from its median)."""
    if form == "linear":
        return column.values
    values = column.values
    known = values[~np.isnan(values)]
    middle = float(np.median(known)) if column.target is None else column.target
    return np.asarray(np.abs(values - middle), dtype=float)


def _forms(column: Column, known: Truths) -> tuple[Form, ...]:
    curved = column.kind in {"number", "rank"} and len(np.unique(column.values[known])) > 2
    return ("linear", "distance") if curved else ("linear",)


def _rows(column: Column, log: AttemptLog) -> Whole | str:
    """The attempts that a column is judged on, or why it cannot be judged."""
    known = ~np.isnan(column.values)
    reason = _thin_reason(column, known) or reason_in_time(column.values, log.session, log.before)
    if reason is not None:
        return reason
    if float((~known).mean()) < FEW_MISSING:
        return np.arange(len(known))
    return _skip_reason(known, log.failed) or np.flatnonzero(known)


def _group(rows: Whole, columns: Iterable[Column], adjusted: Nuisance) -> Group | None:
    """The forms of these columns that vary and that the adjusting columns leave something of."""
    forms = [(c, form) for c in columns for form in _forms(c, ~np.isnan(c.values))]
    standard, scale = _standardise(np.array([in_form(column, form) for column, form in forms]))
    vary = np.flatnonzero(scale > 0.0)
    if not len(vary):
        return None
    x = np.ascontiguousarray(standard[np.ix_(vary, rows)].T)
    varying = [Candidate(*forms[place], float(scale[place])) for place in vary]
    stand = np.flatnonzero(r_squared(x, adjusted.rows(rows).columns) <= LARGEST_R2)
    judged = tuple(varying[place] for place in stand)
    return Group(rows, x[:, stand], judged) if judged else None


def candidates(columns: Iterable[Column], log: AttemptLog, adjusted: Nuisance) -> Candidates:
    """Judge every column; `adjusted` is the nuisance of the whole log."""
    reasons: dict[str, str] = {}
    by_rows: dict[bytes, tuple[Whole, list[Column]]] = {}
    for column in columns:
        rows = _rows(column, log)
        if isinstance(rows, str):
            reasons.setdefault(column.variable, rows)
        else:
            reasons.setdefault(column.variable, "no change but with the grade")
            by_rows.setdefault(rows.tobytes(), (rows, []))[1].append(column)
    made = (_group(rows, members, adjusted) for rows, members in by_rows.values())
    groups = tuple(group for group in made if group is not None)
    stand = {c.column.variable for group in groups for c in group.candidates}
    unjudged = tuple(Unjudged(name, why) for name, why in reasons.items() if name not in stand)
    return Candidates(groups, unjudged)
