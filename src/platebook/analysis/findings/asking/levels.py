"""Levels: the attempts of one column parted into all its values, or ranges of them, by name.

| function | gives |
|---|---|
| `levels_of` | each level's name with the attempts that have it, in the order of the values |

A sentence and its picture both count these levels, so they say the same. A choice gives its values,
yes/no its two answers, a measured value each of its own where there are five or fewer, else up to
five ranges, none of which reaches across the cut. A level that nobody had is left out.
"""

from collections.abc import Sequence

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.variables.columns import Column, variable
from platebook.practice.attempt import Attempt
from platebook.values import Value

MOST_RANGES = 5
MOST_LEVELS = 6
REST = "all others"


class LevelRows(Value, eq=False):
    """One level under its name, and which of n attempts have it.

    `inside` says whether the cut's phrase means it, `single` whether all have one value.
    """

    name: str
    rows: Truths
    inside: bool
    single: bool = True


def levels_of(column: Column, cut: Cut, attempts: Sequence[Attempt] = ()) -> tuple[LevelRows, ...]:
    """The levels of a column under this cut, ascending; of a choice the one meant comes first.

    `attempts` are the column's, for the words of a choice without an order; without them that has
    its two sides.
    """
    known = cut.inside | cut.outside
    return tuple(
        LevelRows(
            name=name,
            rows=rows & known,
            inside=bool((cut.inside & rows).any()),
            single=len(np.unique(column.values[rows & known])) == 1,
        )
        for name, rows in _named_rows(column, cut, attempts)
        if (rows & known).any()
    )


def _named_rows(column: Column, cut: Cut, attempts: Sequence[Attempt]) -> list[tuple[str, Truths]]:
    """Each level's name with the attempts that have it (n truths)."""
    if column.kind == "level" and len(attempts):
        return _choices(column, cut, attempts)
    if column.kind == "number":
        return _ranges(column, cut)
    words = cutoffs.words_by_rank(column.variable)
    by_wish = not set(column.values[cut.inside]).isdisjoint(column.values[cut.outside])
    if column.kind in {"yes/no", "level"} or by_wish:
        return [(cut.label, cut.inside), (cut.rest_label, cut.outside)]
    known = column.values[~np.isnan(column.values)]
    return [(words.get(int(rank), f"{rank:g}"), column.values == rank) for rank in np.unique(known)]


def _choices(column: Column, cut: Cut, attempts: Sequence[Attempt]) -> list[tuple[str, Truths]]:
    """The values of a choice without an order, the one that is spoken of first, then by number."""
    texts = np.array([_text(attempt, column.variable) for attempt in attempts])
    meant = texts == column.level
    others, counts = np.unique(texts[(texts != "") & ~meant], return_counts=True)
    by_number = [str(name) for name in others[np.argsort(-counts, kind="stable")]]
    shown = by_number if len(by_number) < MOST_LEVELS else by_number[: MOST_LEVELS - 2]
    named = [(name, texts == name) for name in shown]
    left = cut.inside | cut.outside
    for rows in (meant, *(rows for _, rows in named)):
        left = left & ~rows
    return [(str(column.level), meant), *named, (REST, left)]


def _text(attempt: Attempt, name: str) -> str:
    value = getattr(attempt, name, None) or dict(attempt.extra).get(name)
    return value if isinstance(value, str) else ""


def _ranges(column: Column, cut: Cut) -> list[tuple[str, Truths]]:
    """Ranges of about as many attempts each, named by the least and the most seen in them."""
    unit = variable(column.variable).unit
    known = cut.inside | cut.outside
    values = np.where(known, column.values, np.nan)
    steps = np.unique(values[known])
    if len(steps) <= MOST_RANGES:
        return [(_range_name(unit, values[values == step]), values == step) for step in steps]
    named: list[tuple[str, Truths]] = []
    for side in _sides(values, cut):
        parts = max(1, round(MOST_RANGES * int(side.sum()) / int(known.sum())))
        named += [(_range_name(unit, values[rows]), rows) for rows in _parts(values, side, parts)]
    return named


def _sides(values: Floats, cut: Cut) -> list[Truths]:
    """The stretches of values that lie on one side of the parting throughout, ascending."""
    steps = np.unique(values[~np.isnan(values)])
    sides: list[Truths] = []
    last: bool | None = None
    for step in steps:
        rows = values == step
        meant = bool((cut.inside & rows).any())
        if meant == last:
            sides[-1] = sides[-1] | rows
        else:
            sides.append(rows)
        last = meant
    return sides


def _parts(values: Floats, here: Truths, parts: int) -> list[Truths]:
    steps = np.quantile(values[here], np.arange(1, parts) / parts, method="inverted_cdf")
    places = np.searchsorted(np.unique(steps), values, side="left")
    return [here & (places == place) for place in np.unique(places[here])]


def _range_name(unit: str, values: Floats) -> str:
    low, high = float(values.min()), float(values.max())
    decimals = max(cutoffs.decimals_in(low), cutoffs.decimals_in(high))
    first, last = (cutoffs.number_text(v, min(decimals, 3), "") for v in (low, high))
    told = first if first == last else f"{first} to {last}"
    return f"{told}{unit}" if unit in {"°", "\N{MULTIPLICATION SIGN}"} else f"{told} {unit}".strip()
