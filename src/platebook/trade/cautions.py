"""One setting step by step, and what to take care of at each step.

Both are data, `data/steps.toml` and `data/cautions.toml`. The cautions defer to the workshop's own
rules; every list of them begins by saying so.
"""

import functools
from collections.abc import Mapping
from typing import Any, Literal

from platebook.tables import Row, rows_as, toml_table


class StepCautions(Row, kw_only=True):
    """The cautions of one step, their kind and where known their source.

    `about` names a step that lies beside a setting, empty for one that is part of it.
    """

    step: str
    about: str = ""
    kind: Literal["common practice", "published"]
    source: str = ""
    say: tuple[str, ...]


def first_caution() -> str:
    """The one that stands above all others."""
    return str(_table()["first"])


def cautions(step: str) -> tuple[str, ...]:
    """The cautions of a step, beginning with whose rules come first.

    A step that has none of its own gives that first one alone.
    """
    own = _by_step().get(step)
    return (first_caution(), *(own.say if own is not None else ()))


BEFORE_A_PLATE = ("anneal", "pickle")
AT_THE_END = ("end",)


def cautions_beside(*steps: str) -> tuple[str, ...]:
    """The cautions of steps beside a setting, one sentence group each that names its step."""
    known = (_by_step()[step] for step in steps)
    return tuple(f"{step.about}: {' '.join(step.say)}" for step in known)


def step_cautions(step: str) -> StepCautions | None:
    """The cautions of a step with their kind and source, or None where it has none."""
    return _by_step().get(step)


@functools.cache
def _by_step() -> Mapping[str, StepCautions]:
    return {of.step: of for of in rows_as(StepCautions, _table()["step"])}


@functools.cache
def _table() -> dict[str, Any]:
    return toml_table("platebook.trade", "cautions.toml")


class WorkStep(Row):
    """A step of the work: its name, what to do, and the step whose cautions belong to it."""

    name: str
    say: str
    caution: str


@functools.cache
def work_steps() -> tuple[WorkStep, ...]:
    """All steps of one setting, in the order of the work (common practice)."""
    return rows_as(WorkStep, toml_table("platebook.trade", "steps.toml")["step"])
