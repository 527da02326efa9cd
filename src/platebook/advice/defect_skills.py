"""Which skill a failed setting speaks against.

The table of defects says for each, by what was read before it, how far each skill is to suspect; it
is common practice, not measurement. The first row of a defect whose reading fits is used.
`first_seen`, the step at which the fault was first seen, overrules the table where that step is a
skill.
"""

import functools
from collections.abc import Callable, Mapping

from platebook.practice.attempt import Attempt
from platebook.practice.defects import Suspicion, defects
from platebook.practice.fields import parts, ranks
from platebook.practice.results import COMPUTED, fails, severity_of
from platebook.values import Value

Skill = str

_STEPS = sorted(ranks("first_seen"), key=lambda step: ranks("first_seen")[step])

SKILLS: tuple[Skill, ...] = tuple(step for step in _STEPS if step in parts())
"""In the order of the work: the steps that a part exercise of the same name trains."""

BLAMELESS: Mapping[Skill, float] = dict.fromkeys(SKILLS, 0.0)
"""What a good setting says of the skills."""


def _fit(attempt: Attempt, *wanted: int) -> bool:
    return ranks("fit").get(attempt.fit or "") in wanted


_READ_BEFORE: Mapping[str, Callable[[Attempt], bool]] = {
    "fit 5": lambda a: _fit(a, 5),
    "fit 2-4": lambda a: _fit(a, 2, 3, 4),
    "fit 1-2": lambda a: _fit(a, 1, 2),
    "trial proud": lambda a: a.trial_height == "proud",
    "trial flush or under": lambda a: a.trial_height in {"flush", "just under", "deep"},
    "ledge uneven": lambda a: ranks("ledge").get(a.ledge or "", 1) > 1,
    "level before burnishing": lambda a: ranks("levelled_by").get(a.levelled_by or "", 5) < 5,
    "stone not checked or reused": lambda a: a.stone_checked is False or bool(a.stone_uses),
    "": lambda _: True,
}


class TableRow(Value):
    """One row of the table; `shares` are weights over the largest weight of the row."""

    defect: str
    read_before: str
    shares: Mapping[Skill, float]


@functools.cache
def table_rows() -> tuple[TableRow, ...]:
    """The rows of every defect in turn; ValueError for an unknown reading or skill."""
    return tuple(
        _table_row(defect.name, row)
        for defect in defects().values()
        for row in defect.speaks_against
    )


def _table_row(defect: str, row: Suspicion) -> TableRow:
    if row.read_before not in _READ_BEFORE:
        raise ValueError(f"defects.toml, {defect}: unknown reading {row.read_before!r}")
    if unknown := set(row.weights) - set(SKILLS):
        raise ValueError(f"defects.toml, {defect}: unknown skill {', '.join(sorted(unknown))}")
    weights = {skill: float(row.weights.get(skill, 0.0)) for skill in SKILLS}
    largest = max(weights.values()) or 1.0
    shares = {skill: weight / largest for skill, weight in weights.items()}
    return TableRow(defect, row.read_before, shares)


def failing_defects(attempt: Attempt, *, failure_from: int = 2) -> tuple[str, ...]:
    """The defects of the attempt that make it a failure; a remark is not one."""
    return tuple(
        [
            defect
            for defect in attempt.result or ()
            if defect not in COMPUTED
            and fails(defect, severity_of(attempt, defect), failure_from=failure_from)
        ]
    )


def blame(attempt: Attempt, *, failure_from: int = 2) -> Mapping[Skill, float]:
    """How far each skill is to suspect, 0 to 1; all 0 for a good setting.

    The largest over the attempt's failing defects of the skill's weight over the largest weight in
    that defect's row.
    """
    suspected: dict[Skill, float] = dict.fromkeys(SKILLS, 0.0)
    defects = failing_defects(attempt, failure_from=failure_from)
    if not defects:
        return suspected
    for skill in SKILLS:
        if skill == attempt.first_seen:
            suspected[skill] = 1.0
            return suspected
    for defect in defects:
        for skill, share in _shares(defect, attempt).items():
            suspected[skill] = max(suspected[skill], share)
    return suspected


def _shares(defect: str, attempt: Attempt) -> Mapping[Skill, float]:
    """The first row of the defect whose reading fits the attempt; empty for none."""
    for row in table_rows():
        if row.defect == defect and _READ_BEFORE[row.read_before](attempt):
            return row.shares
    return {}
