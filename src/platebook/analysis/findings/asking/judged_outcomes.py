"""What is judged of each attempt by yes or no as an outcome, and the score of each column for it.

| class | is |
|---|---|
| `JudgedGroup` | one group's rows with the null models of all outcomes that are asked about there |
| `JudgedPart` | its question about one of them: a cell for each column |

What the null models of one group explain of its columns is found for all outcomes at once. Drawn
outcomes are scored by the straight line around the observed null, or with the null refitted to
each. An outcome that never happened, or always, is not asked about (`search`).
"""

import functools
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.findings.asking.candidates import Group
from platebook.analysis.models.bayes_factors import Cell
from platebook.analysis.models.null_model import Frame, Nuisance, NullFit, fit_null
from platebook.analysis.models.scores import Scores, Straight, score
from platebook.values import Value

PlacedCells = tuple[tuple[int, Cell], ...]
"""Cells of one group about one outcome, each with its column in the group."""

_NEAR_ENOUGH = 0.02
"""For draws: coefficients are then right to about 0.0004."""

MOST_REFITTED = 500
"""Above this many attempts draws are scored by the straight line, not by refitting the null."""


class JudgedGroup(Value, eq=False, dict=True):
    """One group with the truths of d outcomes on its r rows (d by r) and their null models."""

    group: Group
    frame: Frame
    outcomes: tuple[str, ...]
    truths: Floats
    fits: NullFit

    @classmethod
    def of(
        cls, group: Group, outcomes: Sequence[str], truths: Sequence[Truths], adjusted: Nuisance
    ) -> "JudgedGroup":
        """Fit them; truths are of all attempts, `adjusted` is the whole log's."""
        frame = Frame.of(adjusted.rows(group.rows))
        here = np.array([truth[group.rows] for truth in truths], dtype=float)
        return cls(group, frame, tuple(outcomes), here, fit_null(frame, here))

    @functools.cached_property
    def lines(self) -> Straight:
        """The straight lines through the nulls, for all of the group's columns."""
        return Straight.of(self.frame, self.fits, self.group.x)

    @functools.cached_property
    def observed(self) -> Scores:
        """U and V (d by columns) of the log as it is."""
        return self.lines.observed(self.truths, self.group.x)


class JudgedPart(Value, eq=False, dict=True):
    """One group's question about the outcome in one `place`: a cell for each of its `columns`."""

    judged: JudgedGroup
    place: int
    columns: Whole
    cells: tuple[Cell, ...]

    @classmethod
    def of(cls, judged: JudgedGroup, place: int, placed: PlacedCells) -> "JudgedPart":
        """The question that these cells ask."""
        columns = np.array([column for column, _ in placed], dtype=np.intp)
        return cls(judged, place, columns, tuple(cell for _, cell in placed))

    @property
    def group(self) -> Group:
        """The group of candidates that is asked about."""
        return self.judged.group

    @property
    def frame(self) -> Frame:
        """The null model's frame."""
        return self.judged.frame

    @property
    def outcome(self) -> str:
        """The outcome that is asked about."""
        return self.judged.outcomes[self.place]

    @property
    def rows(self) -> Whole:
        """The attempts in question."""
        return self.group.rows

    @functools.cached_property
    def x(self) -> Floats:
        """The columns' values (rows by cells)."""
        return self.group.x[:, self.columns]

    def observed(self) -> Scores:
        """U and V (1 by cells) of the log as it is."""
        seen = self.judged.observed
        return Scores(
            seen.u[self.place, self.columns][None], seen.v[self.place, self.columns][None]
        )


def scorer(
    parts: Sequence[JudgedPart], *, straight: bool
) -> Callable[[Mapping[str, Floats]], Scores]:
    """A function that scores d logs with other outcomes (d by all attempts, by name).

    The parts are of one group, and so are U and V (each d by their cells, in their order).
    """
    if not straight and len(parts[0].rows) <= MOST_REFITTED:
        return functools.partial(_refitted, parts)

    def by_line(outcomes: Mapping[str, Floats]) -> Scores:
        drawn = [outcomes[part.outcome][:, part.rows] for part in parts]
        lines = parts[0].judged.lines
        scored = [
            lines.scores(part.place, part.columns, here)
            for part, here in zip(parts, drawn, strict=True)
        ]
        return Scores.joined(len(drawn[0]), scored)

    return by_line


def _refitted(parts: Sequence[JudgedPart], outcomes: Mapping[str, Floats]) -> Scores:
    """The same with the null refitted to each outcome of each log, all of them at once.

    V is not a number where a fit has not settled.
    """
    judged, rows = parts[0].judged, parts[0].rows
    drawn = np.vstack([outcomes[part.outcome][:, rows] for part in parts])
    draws = len(drawn) // len(parts)
    places = np.repeat([part.place for part in parts], draws)
    start = judged.fits.fixed[places], judged.fits.random[places]
    fit = fit_null(judged.frame, drawn, start=start, near=_NEAR_ENOUGH)
    scores = score(judged.frame, fit.projection, drawn - fit.chance, judged.group.x)
    v = np.where(fit.settled[:, None], scores.v, np.nan)
    by_outcome = zip(parts, np.split(scores.u, len(parts)), np.split(v, len(parts)), strict=True)
    scored = (Scores(u[:, part.columns], of_v[:, part.columns]) for part, u, of_v in by_outcome)
    return Scores.joined(draws, scored)
