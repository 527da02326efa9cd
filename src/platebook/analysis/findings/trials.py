"""Trials: what balanced blocks say of one choice and one defect, by the level that was planned.

`trials` gives one `Trial` for each choice and defect that blocks were laid out to settle. Before
five whole blocks it counts and says no more. From then on it states whether the choice made a
difference: the failures at the two levels of every block are compared with what drawing lots within
the block alone would give (an exact permutation test, stratified by block), for the lots were
really drawn. Looks come at 5, 10, 15 ... blocks, the k-th at 0.05 / 2^k, so that all looks
together are wrong in at most one trial in twenty; between two looks the last statement stands.

Planned levels count, not those used instead: what was drawn by lot cannot be mixed up with a bad
evening. Only settings of blocks count. The difference is that of the two shares, with Newcombe's
interval: each block has as many settings at one level as at the other, so blocks need no weights.

At 0 and few: without blocks there is no trial; a level that was never judged leaves the interval at
everything possible. Constant data: where nothing failed, or everything, there is no difference, and
chance is 1. Source: R. A. Fisher, The Design of Experiments (1935), chapter 2, for one block; the
sum over blocks is the conditional permutation distribution of stratified two-by-two tables.
"""

import math
from collections.abc import Sequence
from typing import Literal

from platebook.analysis.findings.telling.results import Result
from platebook.analysis.models.intervals import newcombe_difference
from platebook.analysis.variables.attempt_log import ANY, attempt_log
from platebook.analysis.variables.columns import variable
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.defects import defects
from platebook.practice.set_up.block_levels import BlockLevels, read_levels

BLOCKS_TO_STATE = 5
RUNS_A_BLOCK = 8
ERROR_OF_ALL_LOOKS = 0.05

Statement = Literal["counts so far", "made a difference", "no clear difference"]


class Side(Result):
    """How many settings planned at one level showed the defect, slight or not."""

    label: str
    failed: int
    of: int


class Trial(Result):
    """What the blocks about one choice (`variable`) and one `defect` say.

    `blocks` were done whole, `under_way` are the settings of one that is not. `counts` are of the
    higher level, then of the lower. `chance` is how often lots alone part the levels so far, and
    `difference` the higher level's share less the lower one's with its 95 % interval; all None
    before the first statement, which rests on the first `stated_at` blocks.
    """

    variable: str
    defect: str
    blocks: int
    under_way: int
    statement: Statement
    counts: tuple[Side, Side]
    stated_at: int | None
    chance: float | None
    difference: float | None
    low: float | None
    high: float | None
    sentence: str


Table = tuple[tuple[int, int], tuple[int, int]]
"""Failed and all, at the higher level and at the lower one, of one block."""


def chance_of_tables(tables: Sequence[Table]) -> float:
    """How often lots within each block give a split as rare as this one, or rarer; two-sided.

    The failures of each block are dealt to its two levels by lot; 1 for no tables, and where every
    setting of each block came out the same.
    """
    ways: dict[int, float] = {0: 1.0}
    for (bad_high, of_high), (bad_low, of_low) in tables:
        bad, of = bad_high + bad_low, of_high + of_low
        all_ways = math.comb(of, bad)
        here = {
            k: math.comb(of_high, k) * math.comb(of_low, bad - k) / all_ways
            for k in range(max(bad - of_low, 0), min(bad, of_high) + 1)
        }
        ways = {
            total: sum(ways.get(total - k, 0.0) * share for k, share in here.items())
            for total in range(min(ways) + min(here), max(ways) + max(here) + 1)
        }
    seen = ways[sum(bad for (bad, _), _ in tables)]
    return min(sum(share for share in ways.values() if share <= seen * (1 + 1e-9)), 1.0)


def trials(attempts: Sequence[Attempt], course: Course | None = None) -> tuple[Trial, ...]:
    """The trials that this log holds, in the order they were begun; one setter's attempts."""
    of_blocks = [a for a in attempts if a.kind == "block" and a.block]
    planned = [(a, read_levels(a.block_levels)) for a in of_blocks]
    asked = dict.fromkeys((p.settles, p.defect) for _, p in planned if p is not None)
    return tuple(
        _trial(
            key,
            [(a, p) for a, p in planned if p is not None and (p.settles, p.defect) == key],
            course,
        )
        for key in asked
    )


Planned = Sequence[tuple[Attempt, BlockLevels]]


def _trial(key: tuple[str, str], planned: Planned, course: Course | None) -> Trial:
    name, defect = key
    by_block: dict[str, list[tuple[Attempt, BlockLevels]]] = {}
    for attempt, levels in planned:
        by_block.setdefault(attempt.block or "", []).append((attempt, levels))
    whole = [rows for rows in by_block.values() if _is_whole(rows)]
    begun = [rows for rows in by_block.values() if not _is_whole(rows)]
    tables = [_table(rows, name, defect, course) for rows in whole]
    under_way = sum(map(len, begun))
    looks = len(whole) // BLOCKS_TO_STATE
    labels = tuple(_label(planned, name, level) for level in ("high", "low"))
    if not looks:
        counts = _counts([*tables, *(_table(rows, name, defect, course) for rows in begun)], labels)
        return Trial(
            variable=name,
            defect=defect,
            blocks=len(whole),
            under_way=under_way,
            statement="counts so far",
            counts=counts,
            stated_at=None,
            chance=None,
            difference=None,
            low=None,
            high=None,
            sentence=_so_far(defect, counts, len(whole)),
        )
    stated_at = looks * BLOCKS_TO_STATE
    counts = _counts(tables[:stated_at], labels)
    chance = chance_of_tables(tables[:stated_at])
    stated = any(
        chance_of_tables(tables[: look * BLOCKS_TO_STATE]) <= ERROR_OF_ALL_LOOKS / 2**look
        for look in range(1, looks + 1)
    )
    sides = [(count.failed, count.of) for count in counts]
    low, high = newcombe_difference(sides[0], sides[1])
    shares = [bad / of if of else 0.0 for bad, of in sides]
    return Trial(
        variable=name,
        defect=defect,
        blocks=len(whole),
        under_way=under_way,
        statement="made a difference" if stated else "no clear difference",
        counts=counts,
        stated_at=stated_at,
        chance=chance,
        difference=shares[0] - shares[1],
        low=low,
        high=high,
        sentence=_stated(defect, counts, (low, high), chance, stated_at, stated=stated),
    )


def _is_whole(rows: Planned) -> bool:
    return len({attempt.block_run for attempt, _ in rows}) >= RUNS_A_BLOCK


def _table(rows: Planned, name: str, defect: str, course: Course | None) -> Table:
    """Failed and all of a block's judged settings, by the level planned."""
    levels = {a.attempt_id or id(a): p.level_of(name) for a, p in rows}
    log = attempt_log([a for a, _ in rows], course)
    known = defect == ANY or defect in log.events
    truth = log.truths(defect) if known else [False] * len(log)
    sides = {"high": [0, 0], "low": [0, 0]}
    for attempt, bad in zip(log.attempts, truth, strict=True):
        planned = levels[attempt.attempt_id or id(attempt)]
        if planned is not None:
            sides[planned.level][0] += bool(bad)
            sides[planned.level][1] += 1
    (bad_high, of_high), (bad_low, of_low) = sides["high"], sides["low"]
    return (bad_high, of_high), (bad_low, of_low)


def _counts(tables: Sequence[Table], labels: Sequence[str]) -> tuple[Side, Side]:
    high, low = (
        Side(
            label=label,
            failed=sum(table[side][0] for table in tables),
            of=sum(table[side][1] for table in tables),
        )
        for side, label in enumerate(labels)
    )
    return high, low


def _label(planned: Planned, name: str, level: str) -> str:
    """The choice with the values that were planned for this end of it."""
    seen = (p.level_of(name) for _, p in planned)
    values = dict.fromkeys(p.value for p in seen if p is not None and p.level == level)
    of = variable(name)
    unit = f" {of.unit}" if of.unit else ""
    return f"{of.spoken} {' or '.join(values)}{unit}"


def _name(defect: str) -> str:
    known = defects().get(defect)
    word = "failure" if defect == ANY else known.spoken if known is not None else defect
    return f"{word[0].upper()}{word[1:]}"


def _sides(defect: str, counts: tuple[Side, Side]) -> str:
    high, low = counts
    return (
        f"{_name(defect)} {high.failed} of {high.of} with {high.label}, "
        f"{low.failed} of {low.of} with {low.label}"
    )


def _so_far(defect: str, counts: tuple[Side, Side], blocks: int) -> str:
    done = "no block whole yet" if not blocks else f"{blocks} of {BLOCKS_TO_STATE} blocks done"
    return (
        f"In your blocks so far: {_sides(defect, counts)}; {done}, and five are needed to say more."
    )


def _stated(
    defect: str,
    counts: tuple[Side, Side],
    limits: tuple[float, float],
    chance: float,
    blocks: int,
    *,
    stated: bool,
) -> str:
    sides = _sides(defect, counts)
    less, more = (_more_or_fewer(limit) for limit in limits)
    if stated:
        return (
            f"It made a difference in your trial of {blocks} blocks: {sides}. "
            f"From {less} to {more} with the first would fit (95 %). "
            f"Lots alone part them so far in {_one_in(chance)}."
        )
    return (
        f"It made no clear difference in your trial of {blocks} blocks: {sides}. "
        f"Anything from {less} to {more} with the first would fit (95 %)."
    )


def _more_or_fewer(difference: float) -> str:
    """A difference of two shares in words: 12 in 100 fewer."""
    return f"{abs(round(100 * difference))} in 100 {'fewer' if difference < 0 else 'more'}"


def _one_in(chance: float) -> str:
    many = round(1 / chance)
    return f"1 such trial in {many}" if many < 1000 else "under 1 such trial in 1,000"
