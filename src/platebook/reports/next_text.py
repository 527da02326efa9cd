"""The next exercise in words: what, why, what would change it, and the sizes to use."""

from platebook.advice.blocks import Run
from platebook.advice.exercise import NextExercise
from platebook.reports.figures import counted, millimetres
from platebook.reports.sizes_card import sizes_card
from platebook.trade.setup_sheet import SetUpSheet


def next_lines(advice: NextExercise, sizes: SetUpSheet | None = None) -> tuple[str, ...]:
    """The whole answer, one thought a line."""
    asked = "Readings are asked." if advice.readings_asked else "No readings are asked."
    lines = [
        f"Next: {advice.title}, {advice.grade_title} ({advice.grade}).",
        f"{advice.task} Good when: {advice.criterion}" if advice.task else "",
        f"Up to {counted(advice.repeat, 'try', 'tries')}, then ask again. {asked}",
        "",
        "Why:",
        *(f"- {sentence}" for sentence in advice.why),
    ]
    if advice.changes:
        lines += ["What would change it:", *(f"- {sentence}" for sentence in advice.changes)]
    if advice.block is not None:
        lines += ["", "The block, in this order:"]
        lines += [f"- {_run(run)}" for run in advice.block.runs]
    if sizes is not None:
        lines += ["", *sizes_card(sizes)]
    return tuple(lines)


def _run(run: Run) -> str:
    """What one setting of a block is done with, such as 1: seat bur 1.80 mm, burnish passes 3+."""
    return f"{run.run}: {', '.join(_choice(name, level) for name, level in run.values.items())}"


def _choice(name: str, level: float | str) -> str:
    words = name.removesuffix("_mm").replace("_", " ")
    return f"{words} {level}" if isinstance(level, str) else f"{words} {millimetres(level)} mm"
