"""What every question is adjusted for: practice, stone size, grade, session, block or not.

The null model of `null_model` is fitted on these. Practice is the logarithm of the attempt's
number; grade and session are random effects, told here by numbers.
"""

from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.counted import Counted
from platebook.analysis.derived import stone_mm
from platebook.practice.attempt import Attempt

FIXED_SD = 2.0
GRADE_SD = 0.5
SESSION_SD = 0.5
_INTERCEPT_SD = 10.0


@dataclass(frozen=True, eq=False)
class Nuisance:
    """n rows by q adjusting columns, the intercept first, with the prior precision of each.

    `session` numbers the session of each row, ascending but with holes where rows were left out.
    """

    columns: Floats
    precision: Floats
    session: Whole

    def rows(self, chosen: Whole) -> "Nuisance":
        """The same on some rows only; a column that no longer varies there is left out."""
        part = self.columns[chosen]
        keep = np.ptp(part, axis=0) > 0 if len(chosen) else np.zeros(part.shape[1], dtype=bool)
        keep[0] = True
        return Nuisance(part[:, keep], self.precision[keep], self.session[chosen])

    def adding(self, columns: Floats) -> "Nuisance":
        """With more fixed columns (n rows by k), for testing again beside a found variable."""
        more = np.full(columns.shape[1], FIXED_SD**-2)
        return Nuisance(
            np.hstack([self.columns, columns]),
            np.concatenate([self.precision, more]),
            self.session,
        )


def grade_of(attempt: Attempt) -> str:
    """The grade's id; without one, the stone's size and metal stand for it."""
    if attempt.grade:
        return attempt.grade
    stone = stone_mm(attempt)
    size = "" if stone is None else f"{stone:.1f}"
    return f"{size} {attempt.metal or ''}".strip()


def _standard(values: Floats) -> Floats | None:
    """Mean 0 and standard deviation 1, what is missing at the mean; None where nothing varies."""
    known = values[~np.isnan(values)]
    if len(known) < 2 or np.ptp(known) <= 1e-9 * max(1.0, float(np.abs(known).max())):
        return None
    filled = np.where(np.isnan(values), known.mean(), values)
    return np.asarray((filled - known.mean()) / known.std(), dtype=float)


def _marks(labels: list[str]) -> Floats:
    names = sorted(set(labels))
    if len(names) < 2:
        return np.zeros((len(labels), 0))
    return np.array([[float(label == name) for name in names] for label in labels])


def nuisance(counted: Counted) -> Nuisance:
    """The adjusting columns of all counted attempts."""
    rows = counted.attempts
    count = len(rows)
    fixed = [
        np.log(np.arange(1, count + 1, dtype=float)),
        np.array([stone_mm(a) or np.nan for a in rows], dtype=float),
        np.array([float(a.kind == "block") for a in rows]),
    ]
    standing = [column for column in map(_standard, fixed) if column is not None]
    grades = _marks([grade_of(a) for a in rows])
    parts = [np.ones((count, 1)), *(c[:, None] for c in standing), grades]
    precision = np.concatenate(
        [
            [_INTERCEPT_SD**-2],
            np.full(len(standing), FIXED_SD**-2),
            np.full(grades.shape[1], GRADE_SD**-2),
        ]
    )
    return Nuisance(np.hstack(parts), precision, counted.session)
