"""The measured values behind a finding: those of the attempts that showed it, and of the others.

A share cannot show how far apart the two lie or how much they overlap; the values can. The cut is
the one that the finding's counts were taken with, so both tell the same.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.findings import cutoffs
from platebook.analysis.findings.candidates import Candidate
from platebook.analysis.findings.cutoffs import decimals_of, shown_number
from platebook.analysis.findings.results import Finding
from platebook.analysis.variables.columns import Column, columns, variable
from platebook.analysis.variables.outcomes import ANY, Counted, counted
from platebook.analysis.variables.trade_map import Form
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.fields import ranks

FORMS: dict[str, tuple[Form, bool]] = {
    "higher": ("linear", True),
    "lower": ("linear", False),
    "away": ("distance", True),
    "near": ("distance", False),
}
"""What a finding's direction says of its candidate: the form, and which end is meant."""

TWO = 2


@dataclass(frozen=True, slots=True)
class RawValues:
    """Values in the variable's own unit, ascending; `showed` of the attempts with the defect.

    `cuts` are the limits between the finding's two groups, none where no number parts them.
    `names` are the words of a choice with an order by rank, empty for a measured value.
    `unmeasured` counts the attempts that the value was not written down for.
    """

    variable: str
    defect: str
    unit: str
    decimals: int
    showed: tuple[float, ...]
    others: tuple[float, ...]
    unmeasured: int
    cuts: tuple[float, ...] = ()
    names: tuple[tuple[float, str], ...] = ()

    @property
    def sides(self) -> tuple[tuple[str, tuple[float, ...]], ...]:
        """Both groups with the word for each, those that showed it first."""
        here, there = ("failed", "good") if self.defect == ANY else (self.defect, "others")
        return ((here, self.showed), (there, self.others))

    def said(self, value: float) -> str:
        """One value in words: the choice of that rank, or the number without its unit."""
        return dict(self.names).get(value) or shown_number(value, self.decimals, "")


def raw_values(
    attempts: Sequence[Attempt], findings: Iterable[Finding], course: Course | None = None
) -> tuple[RawValues | None, ...]:
    """For each finding of these attempts its values; None where they have no order to be laid in.

    None too for two-valued columns and choices without an order, which their counts tell whole, and
    where no attempt has the value. One setter's attempts; nothing missing is filled in.
    """
    log = counted(attempts, course)
    by_name = {c.variable: c for c in columns(log, course) if c.kind in {"number", "rank"}}
    return tuple(_values(one, by_name.get(one.variable), log) for one in findings)


def _values(finding: Finding, column: Column | None, log: Counted) -> RawValues | None:
    known_outcome = finding.defect == ANY or finding.defect in log.events
    way = FORMS.get(finding.direction)
    if column is None or not known_outcome or (way is None and finding.status != "mechanism"):
        return None
    known = ~np.isnan(column.values)
    if len(np.unique(column.values[known])) <= TWO:
        return None
    truth = log.truths(finding.defect)
    of = variable(column.variable)
    names: dict[float, list[str]] = {}
    for name, rank in ranks(column.variable).items() if column.kind == "rank" else ():
        names.setdefault(float(rank), []).append(name)
    return RawValues(
        variable=column.variable,
        defect=finding.defect,
        unit="" if column.kind == "rank" else of.unit,
        decimals=decimals_of(of, column.values[known]),
        showed=tuple(sorted(column.values[known & truth].tolist())),
        others=tuple(sorted(column.values[known & ~truth].tolist())),
        unmeasured=int((~known).sum()),
        cuts=_cuts(column, log, way),
        names=tuple((rank, " or ".join(words)) for rank, words in sorted(names.items())),
    )


def _cuts(column: Column, log: Counted, way: tuple[Form, bool] | None) -> tuple[float, ...]:
    """The finding's own cut; a mechanism stands on either side of the wanted value."""
    if way is None:
        wanted = variable(column.variable).target
        return (wanted,) if wanted is not None and column.kind == "number" else ()
    form, more = way
    return cutoffs.split(Candidate(column, form, 1.0), log, more=more).at
