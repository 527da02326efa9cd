"""The measured values behind what goes with failure, for the setter in use."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.services.answers import bench_of, findings
from platebook.services.desk import Desk

if TYPE_CHECKING:
    from platebook.analysis.findings import Findings
    from platebook.analysis.raw_values import RawValues


@dataclass(frozen=True)
class FindingsWithValues:
    """The findings and, in their order, the values behind each; None where there are none."""

    found: "Findings"
    values: "tuple[RawValues | None, ...]"


def findings_with_values(desk: Desk) -> FindingsWithValues:
    """What goes with failure in this setter's log, each with its measured values."""
    from platebook.analysis.raw_values import raw_values

    found = findings(desk)
    bench = bench_of(desk)
    return FindingsWithValues(found, raw_values(bench.attempts, found.findings, bench.course))
