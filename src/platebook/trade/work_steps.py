"""One setting step by step, with where its cautions stand; for learners who want the list."""

import functools
import tomllib
from importlib import resources

from platebook.trade.value import Value


class WorkStep(Value):
    """A step of the work: its name, what to do, and the step whose cautions belong to it."""

    name: str
    say: str
    caution: str


@functools.cache
def work_steps() -> tuple[WorkStep, ...]:
    """All steps of one setting, in the order of the work (common practice)."""
    file = resources.files("platebook.trade").joinpath("data", "steps.toml")
    rows = tomllib.loads(file.read_text(encoding="utf-8"))["step"]
    return tuple(WorkStep.model_validate(row) for row in rows)
