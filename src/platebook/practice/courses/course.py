"""A course: grades in order of difficulty, exercises, targets, rates, and where attempts belong.

These are the values; `course_file` reads and checks the text.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Annotated, Literal, cast

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticKnownError

from platebook.practice.attempt import Attempt
from platebook.practice.fields import Asked, FieldType, Role, parts
from platebook.practice.records import SignOff
from platebook.trade.phrases import several
from platebook.trade.records import CURVE_LIMITS_MM, Curve

SHARPEST_MM, FLATTEST_MM = CURVE_LIMITS_MM

SeatMethod = Literal["drop in", "push in", "snap in"]


def _part_name(word: object) -> object:
    """The word itself where it names a part, else the error that a word outside a list has."""
    names = tuple(map(repr, parts()))
    if isinstance(word, str) and word in parts():
        return word
    raise PydanticKnownError("literal_error", {"expected": several(names, "or")})


PartName = Annotated[str, BeforeValidator(_part_name)]
"""One of the parts of `data/parts.toml`."""

Named = Annotated[str, Field(min_length=1)]

LONGEST_SHORT = 18
"""Letters of a grade's short name: as many cells as a class list has for it at 80 columns."""

MOST_POINTS = 300
"""Points of a grade: its chances are worked out over each count there is below the limit."""

MOST_LAYERS = 20
LONGEST_ROW = 200
LAST_VERSION = 10**9


NEAR_MM = 0.1
"""Stones no further than this from a grade's size are of that grade: sizes are sold in steps of
half a millimetre, and within one parcel they differ by less."""
_ROUNDING_MM = 1e-9


def is_near(stone_mm: float, size_mm: float) -> bool:
    """Whether a stone counts as one of this size."""
    return abs(stone_mm - size_mm) <= NEAR_MM + _ROUNDING_MM


class Part(BaseModel):
    """Base of the course's values: frozen, and no key that nobody reads."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Points(Part):
    """Promotion points of a grade: up when the counter reaches `up_at`; it never falls below 0.

    `p0` is the failure rate of a setter who should pass, `p1` of one who should not.
    """

    p0: float = Field(gt=0, lt=1)
    p1: float = Field(gt=0, lt=1)
    good: int = Field(ge=1, le=MOST_POINTS)
    failure: int = Field(le=-1, ge=-MOST_POINTS)
    up_at: int = Field(ge=1, le=MOST_POINTS)


class Grade(Part):
    """One step of difficulty.

    `stones_mm` holds one diameter, or several for a mixed row. `sheet` is one layer as people type
    it ("20 ga", "0.8 mm") and `sheet_mm` its thickness. `after` names the grade that has to be
    passed before this one opens; the chain of `after` decides which grades are easier. `sign_off`
    says whether an instructor has to sign the grade off; None leaves that to the course. The metal
    is flat, or a `curve` of an outer radius; `hand_cut` stones are uneven. `was` are ids that the
    grade had before: attempts of theirs count here. `short` is what a narrow list calls the grade,
    where its title is too long for one.
    """

    id: Named
    title: Named
    short: str | None = Field(default=None, min_length=1, max_length=LONGEST_SHORT)
    track: Named
    after: str | None
    optional: bool = False
    stones_mm: tuple[float, ...] = Field(min_length=1)
    stone_material: Named
    metal: Named
    metal_state: str | None = None
    sheet: str
    sheet_mm: float = Field(gt=0)
    layers: int = Field(default=1, ge=1, le=MOST_LAYERS)
    backing: str = "none"
    curve: Literal["flat", "ring", "dome"] = "flat"
    curve_radius_mm: float | None = Field(default=None, ge=SHARPEST_MM, le=FLATTEST_MM)
    hand_cut: bool = False
    method: SeatMethod
    culet: Literal["free", "enclosed"]
    points: Points
    sign_off: bool | None = None
    was: tuple[Named, ...] = ()

    @property
    def short_title(self) -> str:
        """What a narrow list calls the grade: its `short` name, or its title without one."""
        return self.short or self.title

    def has_stone(self, stone_mm: float) -> bool:
        """Whether a stone of this size is one of the grade's (within 0.1 mm)."""
        return any(is_near(stone_mm, size) for size in self.stones_mm)

    @property
    def curved(self) -> Curve | None:
        """The curved metal of this grade; None where it is flat, or where its radius is missing."""
        if self.curve == "flat" or self.curve_radius_mm is None:
            return None
        return Curve(kind=self.curve, radius_mm=self.curve_radius_mm)

    def is_curved_so(self, curve: str | None, radius_mm: float | None) -> bool:
        """Whether the metal may be this grade's by what was noted of its curve."""
        if curve is not None and curve != self.curve:
            return False
        return radius_mm is None or radius_mm == self.curve_radius_mm

    def stone_in_turn(self, done: int) -> float:
        """The stone that comes after so many settings: each of a mixed row in its turn."""
        return self.stones_mm[done % len(self.stones_mm)]


class Exercise(Part):
    """One thing to do. A part exercise comes in rows of `row` with `pass_at` good ones to pass."""

    id: Named
    title: Named
    kind: Literal["whole", "part", "block"]
    part: PartName | None = None
    task: str
    criterion: str
    row: int | None = Field(default=None, ge=1, le=LONGEST_ROW)
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
    version: int = Field(ge=1, le=LAST_VERSION)
    title: Named
    about: str
    failure_from: Literal[1, 2] = 2
    sign_off: bool = False
    rules: tuple[str, ...] = ()
    grades: tuple[Grade, ...] = Field(min_length=1)
    exercises: tuple[Exercise, ...] = Field(min_length=1)
    extra: tuple[ExtraField, ...] = ()

    def grade(self, grade_id: str) -> Grade | None:
        """The grade with this id, or that once had it; None where there is none."""
        once = None
        for grade in self.grades:
            if grade.id == grade_id:
                return grade
            if once is None and grade_id in grade.was:
                once = grade
        return once

    def renamed(self) -> dict[str, str]:
        """What each former id of a grade is called now."""
        return {old: grade.id for grade in self.grades for old in grade.was}

    def encloses(self, grade_id: str | None) -> bool:
        """Whether this grade wants the back closed; one that is not the course's does not."""
        grade = self.grade(grade_id) if grade_id else None
        return grade is not None and grade.culet == "enclosed"

    def asks_sign_off(self, grade_id: str) -> bool:
        """Whether points alone do not pass this grade, because an instructor signs it off."""
        grade = self.grade(grade_id)
        own = grade.sign_off if grade is not None else None
        return self.sign_off if own is None else own

    def to_be_signed(self) -> frozenset[str]:
        """Ids of the grades that points alone do not pass."""
        asked = [g.id for g in self.grades if (self.sign_off if g.sign_off is None else g.sign_off)]
        return frozenset(asked)

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
        by_id = {grade.id: grade for grade in self.grades}
        easier: list[Grade] = []
        current = by_id.get(grade_id)
        while current is not None and current.after is not None:
            current = by_id.get(current.after)
            if current is None or current in easier:
                break
            easier.append(current)
        return tuple(easier)


def at_grades_now(course: Course, attempts: Sequence[Attempt]) -> tuple[Attempt, ...]:
    """The attempts, those at a grade that is called otherwise now at that one."""
    now = course.renamed()
    if not now:
        return tuple(attempts)
    return tuple(a.with_values(grade=now[a.grade]) if a.grade in now else a for a in attempts)


def signed_now(course: Course, sign_offs: Sequence[SignOff]) -> tuple[SignOff, ...]:
    """The same of what was signed off."""
    now = course.renamed()
    return tuple(
        s.model_copy(update={"grade": now[s.grade]}) if s.grade in now else s for s in sign_offs
    )


SHEET_ROW = ExtraField(
    name="sheet_row",
    type="text",
    role="identifier",
    asked="never",
    meaning="the row's own number in the spreadsheet it came from",
)
"""Beside every record: what a sheet calls its row, so that an import knows the row again."""


def with_extra(course: Course | None, fields: Iterable[ExtraField]) -> Course | None:
    """The course with these fields beside its own, those that it lacks; None stays None."""
    names = {field.name for field in course.extra} if course is not None else set()
    added = tuple(field for field in fields if field.name not in names)
    if course is None or not added:
        return course
    return course.model_copy(update={"extra": (*course.extra, *added)})


PLACED_BY = ("exercise", "grade", "metal", "stone_diameter_mm")
"""The fields that tell where in a course a row belongs; one without any of them is not placed."""


def propose_grade(
    course: Course,
    *,
    stone_mm: float | None,
    metal: str | None,
    curve: str | None = None,
    curve_radius_mm: float | None = None,
) -> Grade | None:
    """The one grade with this stone size (within 0.1 mm) and this metal, or None.

    Where the curve of the metal was noted, or its radius, the grade's are the same. A mixed row
    cannot be told from one stone and is never proposed. Of several, the only one on the main track
    is taken.
    """
    grades = [g for g in course.grades if g.is_curved_so(curve, curve_radius_mm)]
    return fitting_grade(grades, stone_mm=stone_mm, metal=metal)


def fitting_grade(
    grades: Sequence[Grade], *, stone_mm: float | None, metal: str | None
) -> Grade | None:
    """`propose_grade` from the grades alone, in the order of their course."""
    if stone_mm is None or metal is None:
        return None
    near = [
        grade
        for grade in grades
        if grade.metal == metal and len(grade.stones_mm) == 1 and grade.has_stone(stone_mm)
    ]
    if len(near) > 1:
        near = [g for g in near if g.track == grades[0].track and not g.optional]
    return near[0] if len(near) == 1 else None


def values_from_course(values: Mapping[str, object], course: Course) -> dict[str, object]:
    """The values that the course adds to a row: grade, course and version, kind and part.

    Only blanks are filled, and nothing in a row that names another course.
    """
    if not _belongs(values, course):
        return {}
    added: dict[str, object] = {}
    exercise = course.exercise(cast("str", values.get("exercise") or ""))
    if exercise is not None:
        added |= {"kind": exercise.kind, "part": exercise.part}
    if values.get("grade") is None:
        proposed = propose_grade(
            course,
            stone_mm=cast("float | None", values.get("stone_diameter_mm")),
            metal=cast("str | None", values.get("metal")),
            curve=cast("str | None", values.get("curve")),
            curve_radius_mm=cast("float | None", values.get("curve_radius_mm")),
        )
        added["grade"] = proposed.id if proposed is not None else None
    grade = values.get("grade") or added.get("grade")
    if course.grade(cast("str", grade or "")) is not None:
        added |= {"course": course.id, "course_version": course.version}
    return {
        name: value
        for name, value in added.items()
        if value is not None and values.get(name) is None
    }


def unknown_in_course(values: Mapping[str, object], course: Course) -> tuple[tuple[str, str], ...]:
    """Grade and exercise of a row that its course does not know, with those that it does."""
    if not _belongs(values, course):
        return ()
    known = {
        "grade": [name for grade in course.grades for name in (grade.id, *grade.was)],
        "exercise": [exercise.id for exercise in course.exercises],
    }
    return tuple(
        (name, f"a {name} of course {course.id}: {', '.join(ids)}")
        for name, ids in known.items()
        if values.get(name) is not None and values[name] not in ids
    )


def _belongs(values: Mapping[str, object], course: Course) -> bool:
    return values.get("course") in (None, course.id)
