"""One exercise to do next, as a plain value: it is kept, shown and printed as it stands."""

from pydantic import BaseModel, ConfigDict

from platebook.advice.blocks import BlockPlan
from platebook.advice.offer import Kind, Purpose
from platebook.practice.course import PartName


class _Value(BaseModel):
    """Base of the values here: frozen, and no key that nobody reads."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class NextExercise(_Value):
    """One exercise to do, up to `repeat` times, with its reasons.

    `exercise` is the course's id for it, None where the course has no exercise of that kind.
    `success` is the ladder's running success and `trouble` the skills' running trouble. `block` is
    the plan where a block was asked for. `readings_asked` says whether the next attempt's readings
    are asked.
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
    block: BlockPlan | None = None
