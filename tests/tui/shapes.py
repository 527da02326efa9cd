"""The values that services give to screens, as long as the services themselves are not there."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class NextExercise:
    course: str
    grade: str
    exercise: str
    kind: str
    part: str | None
    repeat: int
    why: tuple[str, ...]


@dataclass(frozen=True)
class Reading:
    field: str
    label: str
    key_values: tuple[tuple[str, str], ...]
    unit: str = ""
    target: str = ""
    low: float | None = None
    high: float | None = None
    wanted: tuple[str, ...] = ()
    meaning: str = ""


@dataclass(frozen=True)
class PlateCell:
    position: str
    sign: str
    result: str


@dataclass(frozen=True)
class PlateView:
    name: str
    cells: tuple[PlateCell, ...]
    next_position: str | None


@dataclass(frozen=True)
class NowView:
    setter: str
    course_title: str
    grade_title: str
    exercise_title: str
    task: str
    criterion: str
    advice: NextExercise
    sizes: Any
    set_up: Mapping[str, str]
    readings_asked: bool
    readings: tuple[Reading, ...]
    points: int
    promote_at: int
    good_to_go: int
    plate: PlateView | None
    cautions: tuple[str, ...]
    attempts: int
    days_since: int | None
    invented: bool


@dataclass(frozen=True)
class Recorded:
    ids: tuple[str, ...] = ()
    problems: tuple[Any, ...] = ()
    stored: bool = True


@dataclass(frozen=True)
class Cursor:
    place: int


@dataclass(frozen=True)
class LogRow:
    attempt_id: str
    began_text: str
    grade: str
    exercise: str
    stone_text: str
    bur_text: str
    result_text: str
    severity_text: str
    note: str
    setter: str


@dataclass(frozen=True)
class LogPage:
    rows: tuple[LogRow, ...]
    total: int
    older: Cursor | None


@dataclass(frozen=True)
class OfferedCourse:
    id: str
    title: str
    about: str
