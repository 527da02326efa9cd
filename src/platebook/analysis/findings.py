"""What goes with failure: the frozen results that screens, commands and notebooks show.

`model_dump(mode="json")` gives the keys of the program's JSON.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict

Evidence = Literal["counts only", "leads", "claims"]
Status = Literal["lead", "claim", "mechanism"]


class Result(BaseModel):
    """Base of the results: frozen, and equal when their fields are."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Count(Result):
    """How many of some attempts showed the defect (or failed)."""

    label: str
    failed: int
    of: int


class Shift(Result):
    """How far something measured moved with a variable: `by`, with its 95 % interval, in `unit`.

    `response` is `overcut` (seat minus bur), `depth error`, `table height` or `table tilt`, and
    `direction` as in a finding. The interval also holds the chance that there is nothing.
    """

    response: str
    variable: str
    family: str
    direction: str
    status: Status
    by: float
    low: float
    high: float
    unit: str
    measured: int
    posterior: float
    share: float
    sentence: str


class Finding(Result):
    """One thing that went with one defect (`any`: failure of any kind).

    `direction` is `higher`, `lower`, `away` (from the wanted or usual value), `near`, or for a
    choice without order and for yes/no the level meant. `odds_ratio` is the posterior median,
    should it be real, for one standard deviation more, or for the level against the rest; the 95 %
    interval `low` to `high` also holds the chance that there is nothing. None for a mechanism.
    `posterior` is the family's probability. `share` is how often a lead this strong turns up in
    such a log with nothing behind it. `notes` are further sentences to show with it. `shifts` say
    how far what was measured of seat or table moved. The defects `wide seat` and `deep seat` are
    measured ones: their counts are of seats beyond the middle one.
    """

    variable: str
    family: str
    defect: str
    direction: str
    status: Status
    counts: tuple[Count, ...]
    odds_ratio: float | None
    low: float | None
    high: float | None
    posterior: float | None
    share: float | None
    sentence: str
    notes: tuple[str, ...] = ()
    shifts: tuple[Shift, ...] = ()


class ClockPattern(Result):
    """`count` of `of` places of one defect lay at `first` to `last` o'clock, clockwise.

    `by_hour` counts 1 to 12 o'clock. `share` is how often places that are spread evenly lie so
    close together in some arc of three hours, for any of the defects looked at.
    """

    defect: str
    first: int
    last: int
    count: int
    of: int
    by_hour: tuple[int, ...]
    share: float
    sentence: str


class NotJudged(Result):
    """A variable that the log cannot judge, and why."""

    variable: str
    reason: str


class MoreNeeded(Result):
    """How many more attempts may be needed, as a range; both None where nothing can be said."""

    low: int | None
    high: int | None


class Findings(Result):
    """The whole answer for one setter; `answer` says it in plain sentences."""

    setter: str | None
    attempts: int
    failures: int
    evidence: Evidence
    findings: tuple[Finding, ...]
    clocks: tuple[ClockPattern, ...] = ()
    not_judged: tuple[NotJudged, ...]
    checked: str
    more_needed: MoreNeeded
    answer: tuple[str, ...]
