"""A course: grades in order of difficulty, exercises, targets and rates, read from a TOML file.

These are the values; `course_file` reads and checks the text.
"""

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticKnownError

from platebook.practice.fields import Asked, FieldType, Role
from platebook.practice.parts import parts

SeatMethod = Literal["drop in", "push in", "snap in"]


def _part_name(word: object) -> object:
    """The word itself where it names a part, else the fault that a word outside a list has."""
    names = tuple(map(repr, parts()))
    if isinstance(word, str) and word in parts():
        return word
    listed = f"{', '.join(names[:-1])} or {names[-1]}"
    raise PydanticKnownError("literal_error", {"expected": listed})


PartName = Annotated[str, BeforeValidator(_part_name)]
"""One of the parts of `data/parts.toml`."""

Named = Annotated[str, Field(min_length=1)]


class Part(BaseModel):
    """Base of the course's values: frozen, and no key that nobody reads."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Points(Part):
    """Promotion points of a grade: up when the counter reaches `up_at`; it never falls below 0.

    `p0` is the failure rate of a setter who should pass, `p1` of one who should not.
    """

    p0: float = Field(gt=0, lt=1)
    p1: float = Field(gt=0, lt=1)
    good: int = Field(ge=1)
    failure: int = Field(le=-1)
    up_at: int = Field(ge=1)


class Grade(Part):
    """One step of difficulty.

    `stones_mm` holds one diameter, or several for a mixed row. `sheet` is one layer as people type
    it ("20 ga", "0.8 mm") and `sheet_mm` its thickness. `after` names the grade that has to be
    passed before this one opens; the chain of `after` decides which grades are easier. `sign_off`
    says whether an instructor has to sign the grade off; None leaves that to the course.
    """

    id: Named
    title: Named
    track: Named
    after: str | None
    optional: bool = False
    stones_mm: tuple[float, ...] = Field(min_length=1)
    stone_material: Named
    metal: Named
    metal_state: str | None = None
    sheet: str
    sheet_mm: float = Field(gt=0)
    layers: int = Field(default=1, ge=1)
    backing: str = "none"
    method: SeatMethod
    culet: Literal["free", "enclosed"]
    points: Points
    sign_off: bool | None = None


class Exercise(Part):
    """One thing to do. A part exercise comes in rows of `row` with `pass_at` good ones to pass."""

    id: Named
    title: Named
    kind: Literal["whole", "part", "block"]
    part: PartName | None = None
    task: str
    criterion: str
    row: int | None = Field(default=None, ge=1)
    pass_at: int | None = None


class ExtraField(Part):
    """A field the course asks for beside the record's own; its role is analysis's licence."""

    name: Named
    type: FieldType
    role: Role = "process"
    asked: Asked = "optional"
    meaning: str
    choices: tuple[str, ...] = ()


class Course(Part):
    """A whole course. Ids are never reused; a changed stone, metal or sheet is a new grade id.

    `rules` are the ids of rules of thumb that its sizes come from instead of the usual ones.
    """

    id: Named
    version: int = Field(ge=1)
    title: Named
    about: str
    failure_from: Literal[1, 2] = 2
    sign_off: bool = False
    rules: tuple[str, ...] = ()
    grades: tuple[Grade, ...] = Field(min_length=1)
    exercises: tuple[Exercise, ...] = Field(min_length=1)
    extra: tuple[ExtraField, ...] = ()

    def grade(self, grade_id: str) -> Grade | None:
        """The grade with this id, or None."""
        for grade in self.grades:
            if grade.id == grade_id:
                return grade
        return None

    def asks_sign_off(self, grade_id: str) -> bool:
        """Whether points alone do not pass this grade, because an instructor signs it off."""
        grade = self.grade(grade_id)
        own = grade.sign_off if grade is not None else None
        return self.sign_off if own is None else own

    def to_be_signed(self) -> frozenset[str]:
        """Ids of the grades that points alone do not pass."""
        own = {g.id: self.sign_off if g.sign_off is None else g.sign_off for g in self.grades}
        return frozenset([grade_id for grade_id, asked in own.items() if asked])

    def exercise(self, exercise_id: str) -> Exercise | None:
        """The exercise with this id, or None."""
        return next((e for e in self.exercises if e.id == exercise_id), None)

    def tracks(self) -> tuple[str, ...]:
        """Track names in the order they first appear; the first one is the main track."""
        return tuple(dict.fromkeys([g.track for g in self.grades]))

    def ladder(self, track: str | None = None) -> tuple[Grade, ...]:
        """Grades of one track (the main one by default), easiest first, without optional ones."""
        wanted = track or self.tracks()[0]
        return tuple(g for g in self.grades if g.track == wanted and not g.optional)

    def easier(self, grade_id: str) -> tuple[Grade, ...]:
        """All grades that come before this one on its chain of `after`, nearest first."""
        found: list[Grade] = []
        current = self.grade(grade_id)
        while current is not None and current.after is not None:
            current = self.grade(current.after)
            if current is None or current in found:
                break
            found.append(current)
        return tuple(found)
