"""Cut-offs: two groups of attempts a sentence can count, and the values on both sides.

| function | gives |
|---|---|
| `cut_rows`, `cut_log` | some attempts, or all of a log, parted in two with the words for each |

A cut is a limit of the trade where one is known and leaves enough attempts on both sides; else it
parts off a third of the data, and of a choice with an order, whose levels are few, as near to half
as they allow. The split that looks best is never sought: it lies.
"""

import math
from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.findings.asking.apart_in_time import constant_in_sessions, far_enough_apart
from platebook.analysis.findings.asking.candidates import Candidate, in_form
from platebook.analysis.findings.telling.results import Count
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.analysis.variables.columns import Column, Variable, variable
from platebook.analysis.variables.trade_map import Form
from platebook.practice.fields import ranks
from platebook.values import Value, replace

LEAST_ON_A_SIDE = 4
LEAST_SHARE = 0.05
"""Of the attempts, on either side of a limit of the trade (judgement). A limit that four of two
hundred lie beyond bears nothing out, whatever goes on well below it."""
_THIRD, _HALF = 1 / 3, 1 / 2
_MOST_DECIMALS = 12
_DECIMALS = {"mm": 2, "°": 1, "rpm": 0, "g": 0}

FORMS: dict[str, tuple[Form, bool]] = {
    "higher": ("linear", True),
    "lower": ("linear", False),
    "away": ("distance", True),
    "near": ("distance", False),
}
"""What a finding's direction says of its candidate: the form, and which end is meant."""


class Cut(Value, eq=False):
    """Attempts inside the phrase, attempts outside it, and the words for both.

    "went with {phrase}: 7 of 10, against 2 of 15 {rest}"; the labels stand alone. `at` are the
    limits between both, none where no number parts them. `sides` are both where the variable's name
    has been said: "above 0.05 mm" and "at or below it", or the levels of each.
    """

    inside: Truths
    outside: Truths
    phrase: str
    rest: str
    label: str
    rest_label: str
    at: tuple[float, ...] = ()
    sides: tuple[str, str] = ("", "")


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


class _Limit(Value):
    """One number that parts values, printed as it is: what is counted is what is read."""

    value: float
    decimals: int

    def text(self, unit: str) -> str:
        return number_text(self.value, self.decimals, unit)


class _Parting(Value, eq=False):
    """Known values (r) with the sessions that they lie in; none where these do not matter."""

    values: Floats
    session: Whole | None

    def parts(self, inside: Truths, least: int = 1) -> bool:
        """Whether enough values lie on both sides, and enough sessions where those matter."""
        if min(int(inside.sum()), int((~inside).sum())) < least:
            return False
        return self.session is None or far_enough_apart(inside, ~inside, self.session)

    def beyond(self, limit: float, *, above: bool) -> Truths:
        return self.values > limit if above else self.values < limit

    def outside(self, low: _Limit, high: _Limit) -> Truths:
        return (self.values < low.value) | (self.values > high.value)

    def usual(self, decimals: int) -> _Limit:
        """The value seen most; too much and too little are then all others."""
        values, counts = np.unique(self.values, return_counts=True)
        value = float(values[int(np.argmax(counts))])
        return _Limit(value, max(decimals, decimals_in(value)))

    def parted_near(self, wanted: float, *, above: bool) -> float:
        """The value that parts off the share nearest to the one wanted, on the wanted side."""
        steps = np.unique(self.values)
        ends = steps[:-1] if above else steps[1:]
        fair = [e for e in ends if self.parts(self.beyond(e, above=above))]
        shares = [float(self.beyond(e, above=above).mean()) for e in (fair or ends)]
        return float((fair or ends)[int(np.argmin(np.abs(np.array(shares) - wanted)))])

    def at_a_third(self, decimals: int, *, above: bool) -> _Limit:
        """The same with as few decimals as part the values, so that none is printed as another."""
        exact = self.parted_near(_THIRD, above=above)
        for shown in range(decimals, _MOST_DECIMALS):
            rounded = round(exact, shown)
            if self.parts(self.beyond(rounded, above=above)):
                return _Limit(rounded, shown)
        return _Limit(exact, decimals_in(exact))

    def limit(self, of: Variable, decimals: int, *, above: bool) -> _Limit:
        """A limit of the trade where it leaves attempts on both sides, else a third."""
        limit = of.cut_high if above else of.cut_low
        least = max(LEAST_ON_A_SIDE, math.ceil(LEAST_SHARE * len(self.values)))
        if limit is not None and self.parts(self.beyond(limit, above=above), least):
            return _Limit(limit, max(decimals, decimals_in(limit)))
        return self.at_a_third(decimals, above=above)


def decimals_in(value: float) -> int:
    """How many decimals it takes to print the number exactly; none for a whole one."""
    return 0 if value == int(value) else len(f"{Decimal(repr(value)):f}".partition(".")[2])


def _parting(column: Column, known: Truths, session: Whole | None) -> _Parting:
    """The known values; their sessions only where a session has one value throughout."""
    values = column.values[known]
    theirs = None if session is None else session[known]
    matters = theirs is not None and constant_in_sessions(values, theirs)
    return _Parting(values, theirs if matters else None)


def _one_sided_cut(column: Column, known: Truths, session: Whole | None, *, above: bool) -> Cut:
    of, parting = variable(column.variable), _parting(column, known, session)
    limit = parting.limit(of, decimals_of(of, parting.values), above=above)
    inside = known & ((column.values > limit.value) if above else (column.values < limit.value))
    side, other = ("above", "below") if above else ("below", "above")
    at = "at or " if bool((parting.values == limit.value).any()) else ""
    shown = limit.text(of.unit)
    return Cut(
        inside=inside,
        outside=known & ~inside,
        phrase=f"{of.phrase} {side} {shown}",
        rest=f"{at}{other} it",
        label=f"{of.spoken} {side} {shown}",
        rest_label=f"{of.spoken} {at}{other} {shown}",
        at=(limit.value,),
        sides=(f"{side} {shown}", f"{at}{other} it"),
    )


def _two_sided_cut(column: Column, known: Truths, session: Whole | None, *, away: bool) -> Cut:
    of, parting = variable(column.variable), _parting(column, known, session)
    decimals = decimals_of(of, parting.values)
    of_trade = of.cut_low is not None and of.cut_low != of.cut_high
    ends = (
        parting.limit(of, decimals, above=above)
        if of_trade
        else parting.at_a_third(decimals, above=above)
        for above in (False, True)
    )
    low, high = ends
    if low.value > high.value or not parting.parts(parting.outside(low, high)):
        low = high = parting.usual(decimals)
    outside = known & ((column.values < low.value) | (column.values > high.value))
    within = known & ~outside
    here, there = _ends_in_words(low, high, of.unit)
    phrase, rest = (here, "in between") if away else (there, "outside that")
    if low.value == high.value:
        rest = f"at {low.text(of.unit)}" if away else f"at another than {low.text(of.unit)}"
    return Cut(
        inside=outside if away else within,
        outside=within if away else outside,
        phrase=f"{of.phrase} {phrase}",
        rest=rest,
        label=f"{of.spoken} {here if away else there}",
        rest_label=f"{of.spoken} {there if away else here}",
        at=(low.value,) if low.value == high.value else (low.value, high.value),
    )


def _ends_in_words(low: _Limit, high: _Limit, unit: str) -> tuple[str, str]:
    """The values outside two limits, and those between; one value alone is never "from 1 to 1"."""
    if low.value == high.value:
        return f"other than {low.text(unit)}", f"of {low.text(unit)}"
    return (
        f"below {low.text('')} or above {high.text(unit)}",
        f"from {low.text('')} to {high.text(unit)}",
    )


def words_by_rank(name: str) -> dict[int, str]:
    """What each rank of a choice with an order is called; several of one rank stand together."""
    words: dict[int, list[str]] = {}
    for word, rank in ranks(name).items():
        words.setdefault(rank, []).append(word)
    return {rank: " or ".join(of_rank) for rank, of_rank in words.items()}


def _with_level(phrase: str, words: str) -> str:
    """The variable's phrase with the level said where it belongs, else behind it; "no" of none."""
    if words in {"0", "none"} and phrase.startswith("{} "):
        words = "no"
    return phrase.format(words) if "{}" in phrase else f"{phrase} {words}".strip()


def _level_cut(column: Column, known: Truths, inside: Truths) -> Cut:
    of = variable(column.variable)
    by_rank = words_by_rank(column.variable)

    def words(rows: Truths) -> str:
        seen = [int(rank) for rank in np.unique(column.values[rows])]
        return " or ".join(by_rank.get(rank, str(rank)) for rank in seen)

    outside = known & ~inside
    return Cut(
        inside=inside,
        outside=outside,
        phrase=_with_level(of.phrase, words(inside)),
        rest=f"with {_with_level(of.phrase, words(outside))}",
        label=f"{of.spoken}: {words(inside)}",
        rest_label=f"{of.spoken}: {words(outside)}",
        sides=(words(inside), words(outside)),
    )


def _wanted_cut(of: Variable, known: Truths, other: Truths, *, away: bool) -> Cut:
    """Both sides by whether the level is what the seat's method wants, which differs by attempt."""
    phrases = (f"{of.spoken} other than wanted", f"{of.spoken} as wanted")
    here, there = phrases if away else phrases[::-1]
    sides = (known & other, known & ~other)
    inside, outside = sides if away else sides[::-1]
    return Cut(inside, outside, f"the {here}", f"with the {there}", here, there)


def _rank_cut(candidate: Candidate, known: Truths, session: Whole | None, *, more: bool) -> Cut:
    column = candidate.column
    values = in_form(column, candidate.form)
    wanted = column.target
    by_attempt = isinstance(wanted, np.ndarray) and len(np.unique(wanted[known])) > 1
    if candidate.form == "distance" and by_attempt:
        return _wanted_cut(variable(column.variable), known, values > 0.0, away=more)
    parting = _parting(replace(column, values=values), known, session)
    wanted_share = _HALF if candidate.form == "linear" else _THIRD
    cut = parting.parted_near(wanted_share, above=more)
    parted = _level_cut(column, known, known & ((values > cut) if more else (values < cut)))
    between = cut + 0.5 if more else cut - 0.5
    return replace(parted, at=(between,)) if candidate.form == "linear" else parted


def _yes_no_cut(column: Column, known: Truths, *, more: bool) -> Cut:
    of = variable(column.variable)
    inside = known & (column.values == (1.0 if more else 0.0))
    if column.kind == "yes/no":
        yes, no = of.yes or f"{of.spoken} (yes)", of.no or f"{of.spoken} (no)"
    else:
        yes = _with_level(of.phrase, str(column.level))
        no = f"another {of.spoken} than {column.level}"
    here, there = (yes, no) if more else (no, yes)
    return Cut(inside, known & ~inside, here, f"with {there}", here, there)


def cut_rows(
    candidate: Candidate, rows: Truths, *, more: bool, session: Whole | None = None
) -> Cut:
    """Part the attempts of `rows` (n truths) that have a value; `more` says which end is meant.

    `session` numbers the session of each: what is constant in a session is parted where enough
    sessions lie on both sides, if it can be.
    """
    column = candidate.column
    known = rows & ~np.isnan(column.values)
    if column.kind in {"yes/no", "level"}:
        return _yes_no_cut(column, known, more=more)
    if column.kind == "rank":
        return _rank_cut(candidate, known, session, more=more)
    if candidate.form == "distance":
        return _two_sided_cut(column, known, session, away=more)
    return _one_sided_cut(column, known, session, above=more)


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


def bear_out(counts: Sequence[Count]) -> bool:
    """Whether the first side's share is the larger one, as a sentence "went with" says.

    Adjusting for practice, grade and evening can turn an effect against what the counts show; such
    a finding would read as its own contradiction.
    """
    inside, outside = counts
    return inside.failed * outside.of > outside.failed * inside.of


def cut_log(candidate: Candidate, log: AttemptLog, *, more: bool) -> Cut:
    """The cut of a candidate over all attempts of a log."""
    every = np.ones(len(log), dtype=bool)
    return cut_rows(candidate, every, more=more, session=log.session)
