"""Raw values: what was measured behind a finding, of those that showed it and of the others.

A share cannot show how far apart two groups lie or how much they overlap; the values can. They are
parted where the finding's counts were, so both tell the same.
"""

from collections.abc import Iterable

import numpy as np

from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import (
    FORMS,
    cut_log,
    decimals_of,
    number_text,
    words_by_rank,
)
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.telling.results import Finding
from platebook.analysis.variables.attempt_log import ANY, AttemptLog
from platebook.analysis.variables.columns import Column, variable
from platebook.analysis.variables.trade_map import Form
from platebook.values import Value


class RawValues(Value):
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

    def value_text(self, value: float) -> str:
        """One value in words: the choice of that rank, or the number without its unit."""
        return dict(self.names).get(value) or number_text(value, self.decimals, "")


def raw_values(asked: FindingsLog, findings: Iterable[Finding]) -> tuple[RawValues | None, ...]:
    """For each finding of this log its values; None where they have no order to be laid in.

    None too for two-valued columns and choices without an order, which their counts tell whole, and
    where no attempt has the value. Nothing missing is filled in.
    """
    by_name = {c.variable: c for c in asked.columns if c.kind in {"number", "rank"}}
    return tuple(_values_behind(f, by_name.get(f.variable), asked.log) for f in findings)


def _values_behind(finding: Finding, column: Column | None, log: AttemptLog) -> RawValues | None:
    known_outcome = finding.defect == ANY or finding.defect in log.events
    way = FORMS.get(finding.direction)
    if column is None or not known_outcome or (way is None and finding.status != "mechanism"):
        return None
    known = ~np.isnan(column.values)
    if len(np.unique(column.values[known])) <= 2:
        return None
    truth = log.truths(finding.defect)
    of = variable(column.variable)
    by_rank = words_by_rank(column.variable) if column.kind == "rank" else {}
    return RawValues(
        variable=column.variable,
        defect=finding.defect,
        unit="" if column.kind == "rank" else of.unit,
        decimals=decimals_of(of, column.values[known]),
        showed=tuple(sorted(column.values[known & truth].tolist())),
        others=tuple(sorted(column.values[known & ~truth].tolist())),
        unmeasured=int((~known).sum()),
        cuts=_cut_places(column, log, way),
        names=tuple((float(rank), words) for rank, words in sorted(by_rank.items())),
    )


def _cut_places(
    column: Column, log: AttemptLog, way: tuple[Form, bool] | None
) -> tuple[float, ...]:
    """The finding's own cut; a mechanism stands on either side of the wanted value."""
    if way is None:
        wanted = variable(column.variable).target
        return (wanted,) if wanted is not None and column.kind == "number" else ()
    form, more = way
    return cut_log(Candidate(column, form, 1.0), log, more=more).at
