"""What to take care of at each step, and what now after each defect.

Both are data: `data/cautions.toml` and `data/remedies.toml`. They defer to the workshop's own
rules; every list of cautions begins by saying so.
"""

import functools
import tomllib
from collections.abc import Mapping
from importlib import resources
from typing import Any, Literal

from platebook.trade.value import Value


class StepCautions(Value):
    """The cautions of one step, their kind and where known their source."""

    step: str
    kind: Literal["common practice", "published"]
    source: str = ""
    say: tuple[str, ...]


class Remedy(Value):
    """What to do after a defect, whether the setting can be saved, and why."""

    defect: str
    saved: Literal["yes", "sometimes", "no"]
    do: tuple[str, ...]
    why: str


def first_caution() -> str:
    """The one that stands above all others."""
    return str(_table("cautions.toml")["first"])


def cautions(step: str) -> tuple[str, ...]:
    """The cautions of a step, beginning with whose rules come first.

    A step that has none of its own gives that first one alone.
    """
    found = _by_step().get(step)
    return (first_caution(), *(found.say if found is not None else ()))


def step_cautions(step: str) -> StepCautions | None:
    """The cautions of a step with their kind and source, or None where it has none."""
    return _by_step().get(step)


def remedy(defect: str) -> Remedy | None:
    """What now after this defect, or None for a word that is no defect."""
    return remedies().get(defect)


@functools.cache
def remedies() -> Mapping[str, Remedy]:
    """All remedies by defect, in the order of the result keys."""
    rows = _table("remedies.toml")["remedy"]
    return {row["defect"]: Remedy.model_validate(row) for row in rows}


@functools.cache
def _by_step() -> Mapping[str, StepCautions]:
    rows = _table("cautions.toml")["step"]
    return {row["step"]: StepCautions.model_validate(row) for row in rows}


@functools.cache
def _table(name: str) -> dict[str, Any]:
    file = resources.files("platebook.trade").joinpath("data", name)
    return tomllib.loads(file.read_text(encoding="utf-8"))
