"""Cut-offs: two groups of attempts a sentence can count, and the values on both sides.

| function | gives |
|---|---|
| `cut_rows`, `cut_log` | some attempts, or all of a log, parted in two with the words for each |
| `count_sides` | how many showed a defect on each side |
| `raw_values` | the measured values behind a finding: of those that showed it, and of the others |

A cut is a limit of the trade where one is known and leaves attempts on both sides; else it parts
off a third of the data. The split that looks best is never sought: it lies.

A share cannot show how far apart two groups lie or how much they overlap; the values can. They are
parted where the finding's counts were, so both tell the same.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.findings.candidates import Candidate, in_form
from platebook.analysis.findings.results import Count, Finding
from platebook.analysis.variables.attempt_log import ANY, AttemptLog, attempt_log
from platebook.analysis.variables.columns import Column, Variable, columns, variable
from platebook.analysis.variables.trade_map import Form
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.fields import ranks

LEAST_ON_A_SIDE = 4
_THIRD = 1 / 3
_DECIMALS = {"mm": 2, "°": 1, "rpm": 0, "g": 0}

FORMS: dict[str, tuple[Form, bool]] = {
    "higher": ("linear", True),
    "lower": ("linear", False),
    "away": ("distance", True),
    "near": ("distance", False),
}
"""What a finding's direction says of its candidate: the form, and which end is meant."""


@dataclass(frozen=True, eq=False)
class Cut:
    """Attempts inside the phrase, attempts outside it, and the words for both.

    "went with {phrase}: 7 of 10, against 2 of 15 {rest}"; the labels stand alone. `at` are the
    limits between both, none where no number parts them.
    """

    inside: Truths
    outside: Truths
    phrase: str
    rest: str
    label: str
    rest_label: str
    at: tuple[float, ...] = ()


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

    def value_text(self, value: float) -> str:
        """One value in words: the choice of that rank, or the number without its unit."""
        return dict(self.names).get(value) or number_text(value, self.decimals, "")


def decimals_of(of: Variable, values: Floats) -> int:
    """How many decimals the variable's values are told with; none where all are whole."""
    if bool(np.all(np.mod(values, 1.0) == 0.0)):
        return 0
    return _DECIMALS.get(of.unit, 2)


def number_text(number: float, decimals: int, unit: str) -> str:
    """The number with so many decimals, a true minus sign and its unit."""
    text = f"{number + 0.0:.{decimals}f}".replace("-", "\N{MINUS SIGN}")
    return (
        text
        if not unit
        else f"{text}{unit}"
        if unit in {"°", "\N{MULTIPLICATION SIGN}"}
        else f"{text} {unit}"
    )


def _boundary(values: Floats, *, above: bool) -> float:
    """The value that parts off the share nearest to a third on the wanted side."""
    steps = np.unique(values)
    ends = steps[:-1] if above else steps[1:]
    shares = [float((values > e).mean() if above else (values < e).mean()) for e in ends]
    return float(ends[int(np.argmin(np.abs(np.array(shares) - _THIRD)))])


def _limit_or_third(of: Variable, values: Floats, decimals: int, *, above: bool) -> float:
    limit = of.cut_high if above else of.cut_low
    if limit is not None:
        inside = int((values > limit).sum() if above else (values < limit).sum())
        if min(inside, len(values) - inside) >= LEAST_ON_A_SIDE:
            return limit
    rounded = round(_boundary(values, above=above), decimals)
    inside = int((values > rounded).sum() if above else (values < rounded).sum())
    return rounded if 0 < inside < len(values) else _boundary(values, above=above)


def _one_sided_cut(column: Column, known: Truths, *, above: bool) -> Cut:
    of, values = variable(column.variable), column.values
    decimals = decimals_of(of, values[known])
    cut = _limit_or_third(of, values[known], decimals, above=above)
    inside = known & ((values > cut) if above else (values < cut))
    side, other = ("above", "below") if above else ("below", "above")
    at = "at or " if bool((values[known] == cut).any()) else ""
    shown = number_text(cut, decimals, of.unit)
    return Cut(
        inside=inside,
        outside=known & ~inside,
        phrase=f"{of.phrase} {side} {shown}",
        rest=f"{at}{other} it",
        label=f"{of.spoken} {side} {shown}",
        rest_label=f"{of.spoken} {at}{other} {shown}",
        at=(cut,),
    )


def _two_sided_cut(column: Column, known: Truths, *, away: bool) -> Cut:
    of, values = variable(column.variable), column.values
    decimals = decimals_of(of, values[known])
    low = _limit_or_third(of, values[known], decimals, above=False)
    high = _limit_or_third(of, values[known], decimals, above=True)
    low, high = min(low, high), max(low, high)
    outside = known & ((values < low) | (values > high))
    first, second = number_text(low, decimals, ""), number_text(high, decimals, of.unit)
    ends = (f"below {first} or above {second}", f"from {first} to {second}")
    within = known & ~outside
    here, there = ends if away else ends[::-1]
    return Cut(
        inside=outside if away else within,
        outside=within if away else outside,
        phrase=f"{of.phrase} {here}",
        rest="in between" if away else "outside that",
        label=f"{of.spoken} {here}",
        rest_label=f"{of.spoken} {there}",
        at=(low, high),
    )


def _words_by_rank(name: str) -> dict[int, str]:
    """What each rank of a choice with an order is called; several of one rank stand together."""
    words: dict[int, list[str]] = {}
    for word, rank in ranks(name).items():
        words.setdefault(rank, []).append(word)
    return {rank: " or ".join(of_rank) for rank, of_rank in words.items()}


def _level_cut(column: Column, known: Truths, inside: Truths) -> Cut:
    of = variable(column.variable)
    by_rank = _words_by_rank(column.variable)

    def words(rows: Truths) -> str:
        seen = [int(rank) for rank in np.unique(column.values[rows])]
        return " or ".join(by_rank.get(rank, str(rank)) for rank in seen)

    outside = known & ~inside
    return Cut(
        inside=inside,
        outside=outside,
        phrase=f"{of.phrase} {words(inside)}",
        rest=f"with {of.phrase} {words(outside)}",
        label=f"{of.spoken}: {words(inside)}",
        rest_label=f"{of.spoken}: {words(outside)}",
    )


def _rank_cut(candidate: Candidate, known: Truths, *, more: bool) -> Cut:
    column = candidate.column
    values = in_form(column, candidate.form)
    cut = _boundary(values[known], above=more)
    parted = _level_cut(column, known, known & ((values > cut) if more else (values < cut)))
    between = cut + 0.5 if more else cut - 0.5
    return replace(parted, at=(between,)) if candidate.form == "linear" else parted


def _yes_no_cut(column: Column, known: Truths, *, more: bool) -> Cut:
    of = variable(column.variable)
    inside = known & (column.values == (1.0 if more else 0.0))
    if column.kind == "yes/no":
        yes, no = of.yes or f"{of.spoken}: yes", of.no or f"{of.spoken}: no"
    else:
        yes, no = f"{of.phrase} {column.level}", f"another {of.spoken} than {column.level}"
    here, there = (yes, no) if more else (no, yes)
    return Cut(inside, known & ~inside, here, f"with {there}", here, there)


def cut_rows(candidate: Candidate, rows: Truths, *, more: bool) -> Cut:
    """Part the attempts of `rows` (n truths) that have a value; `more` says which end is meant."""
    column = candidate.column
    known = rows & ~np.isnan(column.values)
    if column.kind in {"yes/no", "level"}:
        return _yes_no_cut(column, known, more=more)
    if column.kind == "rank":
        return _rank_cut(candidate, known, more=more)
    if candidate.form == "distance":
        return _two_sided_cut(column, known, away=more)
    return _one_sided_cut(column, known, above=more)


def direction(candidate: Candidate, *, more: bool) -> str:
    """Which way: `higher`, `lower`, `away`, `near`, or the level meant."""
    column = candidate.column
    if column.kind == "level":
        return str(column.level) if more else f"not {column.level}"
    if column.kind == "yes/no":
        return "yes" if more else "no"
    if candidate.form == "distance":
        return "away" if more else "near"
    return "higher" if more else "lower"


def count_sides(cut: Cut, truth: Truths) -> tuple[Count, Count]:
    """How many showed it on both sides of a cut: inside its phrase, then outside."""
    here, there = (
        Count(label=label, failed=int((truth & rows).sum()), of=int(rows.sum()))
        for label, rows in ((cut.label, cut.inside), (cut.rest_label, cut.outside))
    )
    return here, there


def bear_out(counts: Sequence[Count]) -> bool:
    """Whether the first side's share is the larger one, as a sentence "went with" says.

    Adjusting for practice, grade and evening can turn an effect against what the counts show; such
    a finding would read as its own contradiction.
    """
    inside, outside = counts
    return inside.failed * outside.of > outside.failed * inside.of


def cut_log(candidate: Candidate, log: AttemptLog, *, more: bool) -> Cut:
    """The cut of a candidate over all attempts of a log."""
    return cut_rows(candidate, np.ones(len(log), dtype=bool), more=more)


def raw_values(
    attempts: Sequence[Attempt], findings: Iterable[Finding], course: Course | None = None
) -> tuple[RawValues | None, ...]:
    """For each finding of these attempts its values; None where they have no order to be laid in.

    None too for two-valued columns and choices without an order, which their counts tell whole, and
    where no attempt has the value. One setter's attempts; nothing missing is filled in.
    """
    log = attempt_log(attempts, course)
    by_name = {c.variable: c for c in columns(log, course) if c.kind in {"number", "rank"}}
    return tuple(_values_behind(f, by_name.get(f.variable), log) for f in findings)


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
    by_rank = _words_by_rank(column.variable) if column.kind == "rank" else {}
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
