"""A balanced block for one lead: whether there can be one, and what is left of it.

| name | is |
|---|---|
| `grade_of_lead` | the grade at which what a lead is about was seen of late |
| `lay_out` | the block for a lead, or why there can be none |
| `runs_left` | the settings of it that are not recorded yet |
| `block_reason`, `planned_text`, `planned_names` | the block in words |
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING
from zlib import crc32

from platebook.advice.exercise import (
    MOST_FACTORS,
    RUNS,
    BlockAtWork,
    BlockPlan,
    FactorName,
    Run,
    block_factors,
    block_limits,
    block_plan,
)
from platebook.analysis.success.stuck import LONG
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.courses.course import Course, Grade
from platebook.practice.defects import GOOD, MISSED, defects
from platebook.practice.set_up.block_levels import read_levels
from platebook.practice.text import as_text
from platebook.trade import Drawer, SetUpSheet

if TYPE_CHECKING:
    from platebook.analysis.findings.telling.results import Finding

FACTOR_BEHIND: dict[str, FactorName] = {
    "seat_bur_mm": "seat_bur_mm",
    "undersize_mm": "seat_bur_mm",
    "clearance_mm": "seat_bur_mm",
    "fit": "seat_bur_mm",
    "seat_diameter_mm": "seat_bur_mm",
    "seat_go_mm": "seat_bur_mm",
    "seat_nogo_mm": "seat_bur_mm",
    "pilot_mm": "pilot_mm",
    "pilot_ratio": "pilot_mm",
    "burnisher_tip_mm": "burnisher_tip_mm",
    "burnish_passes": "burnish_passes",
}
"""The choice that a block varies to settle a lead about this variable."""

FACTOR_WORDS: dict[FactorName, str] = {
    "seat_bur_mm": "the seat bur",
    "pilot_mm": "the pilot",
    "burnisher_tip_mm": "the burnisher's tip",
    "burnish_passes": "the burnishing passes",
}

ANY_FAILURE = "any"

_FIXED = (
    "A block varies the seat bur, the pilot, the burnisher's tip and the burnishing passes; "
    "everything else stays as it is, so this cannot be settled by one."
)
_MEASURED = "This one is about what was measured; a block counts defects, so it cannot settle it."
_ONE_SIZE = (
    "To settle it a block needs two sizes of {what}, {limits} for a stone of {stone} mm; "
    "fewer are at hand. Put another one into the Drawer, then ask again."
)


def settles(variable: str, defect: str, finding: "Finding") -> bool:
    """Whether blocks about this choice and defect answer this finding."""
    return (FACTOR_BEHIND.get(finding.variable), finding.defect) == (variable, defect)


def why_no_block(variable: str, defect: str) -> str:
    """Why no block can settle such a lead, whatever lies in the drawer; empty where one can."""
    if variable not in FACTOR_BEHIND:
        return _FIXED
    return "" if defect == ANY_FAILURE or defect in defects() else _MEASURED


def grade_of_lead(defect: str, attempts: Iterable[Attempt], course: Course) -> Grade | None:
    """The grade at which a lead is settled: where this defect came out most often of late.

    Counted are the last `LONG` settings at a grade of the course, or all where none of these came
    out so; of two with as many the later one is taken. None where it never came out.
    """
    settings = [a for a in in_order(attempts) if a.kind != "part" and course.grade(a.grade or "")]
    for here in (settings[-LONG:], settings):
        seen = Counter(a.grade or "" for a in reversed(here) if _shows(defect, a))
        if seen:
            return course.grade(seen.most_common(1)[0][0])
    return None


def _shows(defect: str, attempt: Attempt) -> bool:
    results = set(attempt.result or ()) - {GOOD, MISSED}
    return bool(results) if defect == ANY_FAILURE else defect in results


def lay_out(  # noqa: PLR0913 - what a block rests on, by keyword
    variable: str,
    defect: str,
    *,
    grade: str,
    sizes: SetUpSheet,
    drawer: Drawer,
    attempts: Iterable[Attempt],
    whose: str = "",
) -> BlockAtWork | str:
    """The next block about this lead with these tools, or in a sentence why there can be none.

    Blocks of one trial are numbered from 1, and the order of each follows from whose it is, from
    the lead and from its number.
    """
    if no := why_no_block(variable, defect):
        return no
    settles, stone_mm = FACTOR_BEHIND[variable], sizes.stone.diameter_mm
    found = block_factors(drawer, stone_mm, bur_shape=sizes.seat_bur.shape or "setting")
    wanted = sorted(found, key=lambda factor: factor.name != settles)[:MOST_FACTORS]
    if not wanted or wanted[0].name != settles:
        limits = _limits_in_words(*block_limits(stone_mm)[settles])
        return _ONE_SIZE.format(what=FACTOR_WORDS[settles], limits=limits, stone=as_text(stone_mm))
    before = {
        a.block
        for a in attempts
        if (levels := read_levels(a.block_levels)) is not None
        and (levels.settles, levels.defect) == (settles, defect)
    }
    number, seed = len(before) + 1, crc32(f"{whose} {settles} {defect}".encode())
    plan = block_plan(wanted, number=number, seed=seed)
    name = f"{settles} {defect} {number} (seed {seed})"
    return BlockAtWork(name=name, grade=grade, settles=settles, defect=defect, plan=plan)


def _limits_in_words(low_mm: float, high_mm: float) -> str:
    return f"from {low_mm:.2f} to {high_mm:.2f} mm" if low_mm else f"up to {high_mm:.2f} mm"


def runs_left(block: BlockAtWork, attempts: Sequence[Attempt]) -> tuple[Run, ...]:
    """The settings of the block that are not recorded yet, in their order."""
    done = {a.block_run for a in attempts if a.block == block.name}
    return tuple(run for run in block.plan.runs if run.run not in done)


def planned_text(run: Run) -> str:
    """What one setting is done with: seat bur 1.85 (low), burnish passes 3+ (high)."""
    return ", ".join(
        f"{name.removesuffix('_mm').replace('_', ' ')} {as_text(value)} ({run.levels[name]})"
        for name, value in run.values.items()
    )


def planned_names(plan: BlockPlan) -> list[str]:
    """What the block varies, in words."""
    return [name.name.removesuffix("_mm").replace("_", " ") for name in plan.factors]


def block_reason(block: BlockAtWork, run: Run) -> tuple[str, ...]:
    """Why a setting of a block is on offer."""
    about = "failures" if block.defect == ANY_FAILURE else defects()[block.defect].many
    number = block.plan.number
    return (
        (
            f"You asked to settle whether changing {FACTOR_WORDS[block.settles]} makes a "
            f"difference to {about}: block {number}, setting {run.run} of {RUNS}, in an order "
            f"drawn by lot (seed {block.plan.seed})."
        ),
        "Keep to the planned levels; where another was used, the record says so too.",
        "A statement needs five blocks. Findings counts them with the lead.",
    )
