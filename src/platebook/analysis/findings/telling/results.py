"""What goes with failure: the frozen results, and how much a log can carry.

`model_dump(mode="json")` gives the keys of the program's JSON.

A setter looks every evening, so claims are decided only when the number of counted attempts
passes a checkpoint; between checkpoints the decision stands.
"""

import itertools
import math
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict

PER_DEVIATION = "one standard deviation more"
PER_SIDE = "the first count's side against the second's"
"""What an odds ratio is for."""

Evidence = Literal["counts only", "leads", "claims"]
Status = Literal["lead", "claim", "mechanism"]


class Result(BaseModel):
    """Base of the results: frozen, and equal when their fields are."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Count(Result):
    """How many of some attempts showed the defect (or failed); `slight` of them passed as good."""

    label: str
    failed: int
    of: int
    slight: int = 0


Tested = Literal["trend", "distance", "two sides"]
"""What was asked of a variable: its order, its distance from a value, or one side and the other."""

Word = Literal["well supported", "worth watching", "how it came about"]

WORDS: Mapping[Status, Word] = {
    "claim": "well supported",
    "lead": "worth watching",
    "mechanism": "how it came about",
}


class Support(Result):
    """How far apart the two sides of a finding lie, and how sure that is, in one word.

    `difference` is the first side's share minus the second's, with its 95 % interval `low` to
    `high` (Newcombe); 0.25 is 25 more in 100 attempts. Where the finding rests on something
    measured, seats or tables, it is how far that moved, in its own `unit`.
    """

    difference: float
    low: float
    high: float
    unit: str
    word: Word


class Retired(Result):
    """Since when a claim does not hold any more.

    `attempt` is its number among all judged ones, the first of those that do not bear it out.
    `day` is None where nobody wrote down when that was. `counts` are of the attempts since, on the
    same two sides.
    """

    attempt: int
    day: date | None
    counts: tuple[Count, ...]
    sentence: str


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
    should it be real, for one standard deviation more, or for the side meant against the other; the
    95 % interval `low` to `high` also holds the chance that there is nothing. None for a mechanism.
    `posterior` is the family's probability. `share` is how often a lead this strong turns up in
    such a log with nothing behind it. `notes` are further sentences to show with it. `shifts` say
    how far what was measured of seat or table moved. The defects `wide seat`, `deep seat`,
    `high table` and `leaning table` are measured ones: their counts are of those beyond the middle.

    `odds_ratio_per` says what the odds ratio is for; the smaller of two values is never its unit.
    `sentence` is the whole finding, `headline` its first part, without what was measured. `levels`
    are the counts level by level, as the picture draws them and in its order; `tested` says what
    was asked of them, and `not_steady` where their shares do not go one way, None where they do.
    `between` names the sides of `counts` where the sentence tells the levels; empty elsewhere.

    `support` is the one measure shown of how much stands behind it. `retired` is None for what
    holds now; one that later attempts did not bear out says since when.
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
    headline: str = ""
    levels: tuple[Count, ...] = ()
    tested: Tested = "two sides"
    not_steady: str | None = None
    between: str = ""
    notes: tuple[str, ...] = ()
    shifts: tuple[Shift, ...] = ()
    odds_ratio_per: str | None = None
    support: Support | None = None
    retired: Retired | None = None


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
    """The whole answer for one setter; `answer` says it in plain sentences.

    `findings` hold now; `retired` are claims that did and do not any more.
    """

    setter: str | None
    attempts: int
    failures: int
    evidence: Evidence
    findings: tuple[Finding, ...]
    retired: tuple[Finding, ...] = ()
    clocks: tuple[ClockPattern, ...] = ()
    not_judged: tuple[NotJudged, ...]
    checked: str
    more_needed: MoreNeeded
    answer: tuple[str, ...]


LEAST_FOR_LEADS = 20
LEAST_FAILURES = 6
LEAST_GOOD = 6
LEAST_FOR_CLAIMS = 32
LEAST_FAILURES_FOR_CLAIMS = 8
CLAIM_SHARE = 0.03
CLAIM_DRAWS = 999
SETTLED_Z = 3.2
MOST_MORE = 200
_CHECKPOINTS = (32, 48, 72, 104, 152)
_GROWTH = 1.45
_LONGEST_STEP = 150
"""Claims rest on the latest 400 attempts: they are decided anew before those have gone."""


def evidence(attempts: int, failures: int) -> Evidence:
    """What may be said of a log with this many counted attempts and failures."""
    good = attempts - failures
    if attempts < LEAST_FOR_LEADS or failures < LEAST_FAILURES or good < LEAST_GOOD:
        return "counts only"
    if attempts < LEAST_FOR_CLAIMS or failures < LEAST_FAILURES_FOR_CLAIMS:
        return "leads"
    return "claims"


def _checkpoints() -> Iterator[int]:
    yield from _CHECKPOINTS
    point: float = _CHECKPOINTS[-1]
    while True:
        point = min(point * _GROWTH, point + _LONGEST_STEP)
        yield round(point)


def last_checkpoint(attempts: int) -> int | None:
    """The checkpoint that this many attempts passed last; None before the first."""
    passed = list(itertools.takewhile(lambda point: point <= attempts, _checkpoints()))
    return passed[-1] if passed else None


def next_checkpoint(attempts: int) -> int:
    """The checkpoint that comes after this many attempts."""
    return next(point for point in _checkpoints() if point > attempts)


_RATES = 20


def to_leads(attempts: int, failures: int) -> tuple[int, int]:
    """How many more attempts until leads can be shown, as a range from this log's own rate.

    The rate is taken as between (f + 1) and (f + 1) ± one standard error of (n + 2) attempts, so
    no attempts at all give a wide answer, never an infinite one. The range is over all rates in
    between: the least are needed where neither failures nor good ones are long in coming.
    """
    rate = (failures + 1) / (attempts + 2)
    error = (rate * (1 - rate) / (attempts + 2)) ** 0.5
    lowest, highest = max(rate - error, 0.05), min(rate + error, 0.95)
    ranges = []
    for step in range(_RATES + 1):
        chance = lowest + (highest - lowest) * step / _RATES
        bad = max(LEAST_FAILURES - failures, 0) / chance
        good = max(LEAST_GOOD - (attempts - failures), 0) / (1 - chance)
        ranges.append(max(LEAST_FOR_LEADS - attempts, bad, good))
    return max(round(min(ranges)), 1), min(max(round(max(ranges)), 1), MOST_MORE)


def to_claim(attempts: int, each: float, sizes: tuple[float, float]) -> tuple[int, int]:
    """How many more attempts until a lead may be well supported, as a range, at most 200.

    `each` is what one attempt adds to V and `sizes` are a likely and a small size of the effect
    (log odds for a standard deviation): z grows as size times the root of V, and claims ask for
    about 3.2. No claim comes before the next checkpoint.
    """
    first = next_checkpoint(attempts) - attempts
    needs = sorted(
        MOST_MORE
        if size * size * each <= 0.0
        else min(max(math.ceil(SETTLED_Z**2 / (size * size * each)) - attempts, first), MOST_MORE)
        for size in sizes
    )
    return needs[0], needs[1]


class ClassFinding(Result):
    """One thing that went with one defect across the class.

    `counts` and `support` are over all setters' attempts. `holds_for` of `of_setters` setters point
    the same way. `stays_first` says that it is still first without the setter in whom it is
    strongest. `odds_ratio_per` says what the odds ratio is for.
    """

    variable: str
    family: str
    defect: str
    direction: str
    status: Status
    counts: tuple[Count, ...]
    support: Support
    odds_ratio: float
    odds_ratio_per: str
    low: float
    high: float
    posterior: float
    share: float
    holds_for: int
    of_setters: int
    stays_first: bool
    sentence: str
    levels: tuple[Count, ...] = ()
    tested: Tested = "two sides"
    not_steady: str | None = None
    between: str = ""
    notes: tuple[str, ...] = ()


class Personal(Result):
    """What stands first in one setter's log beside what the class shares: worth watching at most.

    `share` is how often a lead this strong turns up in such a log with nothing behind it.
    """

    setter: str
    variable: str
    family: str
    defect: str
    direction: str
    counts: tuple[Count, ...]
    posterior: float
    share: float
    sentence: str
    levels: tuple[Count, ...] = ()
    tested: Tested = "two sides"
    not_steady: str | None = None


class ClassFindings(Result):
    """The whole answer for a class; `answer` says it in plain sentences."""

    setters: int
    attempts: int
    failures: int
    common: tuple[ClassFinding, ...]
    personal: tuple[Personal, ...]
    not_judged: tuple[NotJudged, ...]
    checked: str
    answer: tuple[str, ...]
