"""One exercise to do next as the plain value that is kept, shown and printed; the balanced block.

| name | is |
|---|---|
| `NextExercise` | one exercise to do, with its reasons |
| `Choice` | what somebody chose to practise instead: a grade, an exercise, or a block |
| `BlockAtWork` | a block laid out for a lead, with what its settings are recorded under |
| `block_plan` | the eight runs of a block, with the level of each choice |
| `block_factors` | choices that a drawer and the trade's limits allow to vary |

A block is eight settings that vary up to four choices at once, in random order. With four choices
it is half of all sixteen combinations: the fourth choice is high where an
even number of the others is low (defining relation I = ABCD); every pair of choices is balanced in
every block. The next block turns the fourth choice round, so that two blocks hold all sixteen once.
(Turning all four round would give the same eight again, since the relation has an even number of
letters.) With three choices a block holds all eight, with fewer it repeats them. Source: Box,
Hunter & Hunter, Statistics for Experimenters, 2nd ed., chapter 6.

Everything that is not a choice stays as it is: plate, support, state of the metal, wax. Nothing
that touches safety is ever varied.
"""

from collections.abc import Sequence
from itertools import product
from typing import Literal

from platebook.analysis.grades.outlook import Forecast
from platebook.analysis.grades.states import State
from platebook.practice.courses.course import PartName
from platebook.practice.set_up.block_levels import BlockLevels, Level, PlannedLevel, write_levels
from platebook.practice.text import as_text
from platebook.trade.records import Drawer, Tool, ToolKind
from platebook.values import Value

Purpose = Literal[
    "begin",
    "refresher",
    "re-test",
    "remedial",
    "proving",
    "next track",
    "settings",
    "plate",
    "chosen",
    "block",
]
Kind = Literal["whole", "part", "block"]

RUNS = 8
MOST_FACTORS = 4

FactorName = Literal["seat_bur_mm", "pilot_mm", "burnisher_tip_mm", "burnish_passes"]

_SEAT_UNDER_MM = (0.05, 0.15)
"""Limits of the seat bur under the stone: about its customary 0.10 mm; common practice."""

_PILOT_SHARE = (0.28, 0.42)
"""Limits of the pilot as a share of the stone: about a third; common practice."""


class _Kept(Value, forbid_unknown_fields=True):
    """Base of the values here: where one was kept, no key of it is read over."""


class Factor(_Kept):
    """One choice with its two levels: sizes in millimetres, or words."""

    name: FactorName
    low: float | str
    high: float | str


class Run(_Kept):
    """One setting of a block: `run` counts from 1 in the order to be done."""

    run: int
    levels: dict[str, Level]
    values: dict[str, float | str]


class BlockPlan(_Kept):
    """A block: `number` counts the setter's blocks from 1; the seed makes the order again."""

    number: int
    seed: int
    factors: tuple[Factor, ...]
    runs: tuple[Run, ...]


class BlockAtWork(_Kept):
    """A block laid out to see whether `settles` makes a difference to `defect`, at one grade.

    `name` is what its settings are recorded under.
    """

    name: str
    grade: str
    settles: FactorName
    defect: str
    plan: BlockPlan

    def levels_of(self, run: Run) -> str:
        """What the record says of one setting of it."""
        levels = tuple(
            PlannedLevel(name, as_text(value) or "", run.levels[name])
            for name, value in run.values.items()
        )
        return write_levels(BlockLevels(self.defect, self.settles, levels))


class Choice(_Kept):
    """What `by` chose: a grade, an exercise at it (or at the one worked at), or a block.

    `day` is the ISO day it was chosen on.
    """

    by: str
    day: str
    grade: str | None = None
    exercise: str | None = None
    block: BlockAtWork | None = None


class NextExercise(_Kept):
    """One exercise to do, up to `repeat` times, with its reasons.

    `exercise` is the course's id for it, None where the course has no exercise of that kind.
    `practised` is the grade that the work is at, which the short row of an evening's beginning may
    differ from; `state` is how `grade` stands.
    `success` is the ladder's running success and `trouble` the skills' running trouble. `block` is
    the plan where a block was asked for, `run` the setting of it that is next; `block_name` and
    `block_levels` are what it is recorded with. `readings_asked` says whether the next attempt's
    readings are asked. `good_now` with its band is the share that comes out good now at the grade
    (`share_good`), `forecast` how soon it is passed; None where nothing is known of them yet.
    `chosen_by` says who set the suggestion aside; empty where nobody did. `slight` says how a
    slight fault of a whole setting counts, empty for a part.
    """

    course: str
    course_version: int
    grade: str
    grade_title: str
    exercise: str | None
    title: str
    task: str
    criterion: str
    kind: Kind
    part: PartName | None
    repeat: int
    purpose: Purpose
    why: tuple[str, ...]
    changes: tuple[str, ...]
    readings_asked: bool
    success: float
    trouble: dict[str, float]
    state: State
    practised: str
    good_now: float | None = None
    good_now_low: float | None = None
    good_now_high: float | None = None
    forecast: Forecast | None = None
    block: BlockPlan | None = None
    block_name: str = ""
    block_levels: str = ""
    run: Run | None = None
    chosen_by: str = ""
    slight: str = ""


def _combinations(factors: int, *, folded: bool) -> list[tuple[int, ...]]:
    """Eight rows of signs in a standard order."""
    if factors < MOST_FACTORS:
        rows = list(product((-1, 1), repeat=factors))
        return rows * (RUNS // len(rows))
    turn = -1 if folded else 1
    return [(a, b, c, turn * a * b * c) for a, b, c in product((-1, 1), repeat=3)]


def block_plan(factors: Sequence[Factor], *, number: int = 1, seed: int = 20260101) -> BlockPlan:
    """The runs of a setter's block of this number.

    Raises ValueError without a factor, with more than four, or with one of equal levels.
    """
    if not 1 <= len(factors) <= MOST_FACTORS:
        raise ValueError(f"a block varies 1 to {MOST_FACTORS} choices, not {len(factors)}")
    same = [f.name for f in factors if f.low == f.high]
    if same:
        raise ValueError(f"both levels of {same[0]} are the same")
    import numpy as np

    rows = _combinations(len(factors), folded=number % 2 == 0)
    order = np.random.default_rng((seed, number)).permutation(RUNS)
    runs = []
    for run, place in enumerate(order, start=1):
        signs = zip(factors, rows[int(place)], strict=True)
        levels: dict[str, Level] = {f.name: "high" if sign > 0 else "low" for f, sign in signs}
        values: dict[str, float | str] = {
            f.name: f.high if levels[f.name] == "high" else f.low for f in factors
        }
        runs.append(Run(run=run, levels=levels, values=values))
    return BlockPlan(number=number, seed=seed, factors=tuple(factors), runs=tuple(runs))


def _two_sizes(tools: Sequence[Tool], low_mm: float, high_mm: float) -> tuple[float, float] | None:
    sizes = sorted({t.size_mm for t in tools if t.size_mm and low_mm <= t.size_mm <= high_mm})
    return (sizes[0], sizes[-1]) if len(sizes) > 1 else None


def block_limits(stone_mm: float) -> dict[FactorName, tuple[float, float]]:
    """From which size to which the tools of a block may be for a stone, in millimetres."""
    under_least, under_most = _SEAT_UNDER_MM
    least, most = _PILOT_SHARE
    return {
        "seat_bur_mm": (stone_mm - under_most, stone_mm - under_least),
        "pilot_mm": (stone_mm * least, stone_mm * most),
        "burnisher_tip_mm": (0.0, stone_mm),
    }


def block_factors(drawer: Drawer, stone_mm: float, *, bur_shape: str) -> tuple[Factor, ...]:
    """What can be varied for a stone with these tools, within the trade's limits.

    A choice for which only one fitting size is at hand is left out; the number of burnishing passes
    needs no tool.
    """
    kinds: dict[FactorName, tuple[ToolKind, str | None]] = {
        "seat_bur_mm": ("bur", bur_shape),
        "pilot_mm": ("twist drill", None),
        "burnisher_tip_mm": ("burnisher", None),
    }
    factors = []
    for name, (low_mm, high_mm) in block_limits(stone_mm).items():
        sizes = _two_sizes(drawer.at_hand(*kinds[name]), low_mm - 1e-9, high_mm + 1e-9)
        if sizes is not None:
            factors.append(Factor(name=name, low=sizes[0], high=sizes[1]))
    return (*factors, Factor(name="burnish_passes", low="1", high="3+"))
