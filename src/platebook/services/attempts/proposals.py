"""What a sparse row leaves out and a person would not: stone, metal and sheet, from where known.

Someone who types `record --diameter 2.0 --fit 3 --result good` sets a stone in the metal they set
the last one in, or in the metal of the course. What is taken so is said, and noted in the record
(`proposed`); where nothing is known nothing is made up.

| function | gives |
|---|---|
| `Memory` | the complete set-ups of one setter, the newest first |
| `filled_in` | an attempt with what it left out, and what of it was taken from where |
| `placed` | an attempt at the grade that its stone belongs to, with what is doubtful in it |
| `counted` | where an attempt counts, in a few words |
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Grade, is_near, propose_grade
from platebook.practice.fields import parts
from platebook.practice.problem import Problem
from platebook.practice.reading.doubts import BY_STONE, doubts_about
from platebook.values import Value

Source = Literal["last", "course"]
CountsAs = Literal["points", "skill", "findings", "nothing"]
FROM = {"last": "as your last", "course": "as the course has it"}
PART = "part"
BLOCK = "block"


class Proposed(Value):
    """One value that nobody typed: its row, field, value, and whether `last` or `course` has it."""

    row: int
    field: str
    value: str
    source: Source


@dataclass
class Memory:
    """Complete set-ups of one setter: stone, metal and sheet all known, each kept once.

    `own` are those that a row follows on, newest last; `before` those of the logbook that a row of
    a file does not follow on, asked only after the course.
    """

    own: dict[tuple[object, ...], Attempt] = field(default_factory=dict)
    before: tuple[Attempt, ...] = ()

    @classmethod
    def of(cls, attempts: Iterable[Attempt], *, follows: bool) -> "Memory":
        """The set-ups of a log in order; `follows` where the next row goes on from it."""
        memory = cls()
        for attempt in attempts:
            memory.add(attempt)
        return memory if follows else cls(before=memory.newest())

    def add(self, attempt: Attempt) -> None:
        """Remember a set-up, if it is complete and of a setting."""
        if attempt.kind == PART or None in _key(attempt)[:3]:
            return
        self.own.pop(_key(attempt), None)
        self.own[_key(attempt)] = attempt

    def newest(self) -> tuple[Attempt, ...]:
        """What rows follow on, newest first."""
        return tuple(reversed(self.own.values()))


def _key(attempt: Attempt) -> tuple[object, ...]:
    a = attempt
    return (a.stone_diameter_mm, a.metal, a.sheet_mm, a.layers, a.grade, a.stone_material)


def filled_in(
    attempt: Attempt, row: int, memory: Memory, course: Course
) -> tuple[Attempt, tuple[Proposed, ...]]:
    """The attempt with stone, metal, sheet and grade where it says none of them itself.

    Only blanks are filled, and nothing of a row that was recorded before (it has an id), that names
    another course or an unknown grade, or of a part without a set-up.
    """
    strange = attempt.grade is not None and course.grade(attempt.grade) is None
    part = parts().get(attempt.part or "") if attempt.kind == PART else None
    elsewhere = attempt.course not in (None, course.id)
    if attempt.attempt_id or elsewhere or strange or (part and not part.does):
        return attempt, ()
    values: dict[str, tuple[object, Source]] = {}
    for name, value, source in _of_stone(attempt, memory, course):
        values.setdefault(name, (value, source))
    after = attempt.with_values(**{name: value for name, (value, _) in values.items()})
    for name, value, source in _of_metal(after, memory, course):
        values.setdefault(name, (value, source))
    after = attempt.with_values(**{name: value for name, (value, _) in values.items()})
    for name, value, source in _of_curve(after, memory, course):
        values.setdefault(name, (value, source))
    after = attempt.with_values(**{name: value for name, (value, _) in values.items()})
    if after.grade is None:
        grade = propose_grade(
            course,
            stone_mm=after.stone_diameter_mm,
            metal=after.metal,
            curve=after.curve,
            curve_radius_mm=after.curve_radius_mm,
        )
        after = after.with_values(grade=grade.id if grade else None)
    for name, value, source in _of_sheet(after, memory, course):
        values.setdefault(name, (value, source))
    if not values:
        return attempt, ()
    after = after.with_values(
        **{name: value for name, (value, _) in values.items()}, proposed=";".join(values)
    )
    if after.grade is not None:
        after = after.with_values(course=course.id, course_version=course.version)
    told = (
        Proposed(row, name, f"{value:g}" if isinstance(value, float) else str(value), source)
        for name, (value, source) in values.items()
    )
    return after, tuple(told)


Taken = Iterator[tuple[str, object, Source]]


def _of_stone(attempt: Attempt, memory: Memory, course: Course) -> Taken:
    """The stone of the grade named, else that of the last setting with its grade."""
    if attempt.stone_diameter_mm is not None:
        return
    grade = course.grade(attempt.grade or "")
    if grade is not None:
        if len(grade.stones_mm) == 1:
            yield "stone_diameter_mm", grade.stones_mm[0], "course"
        return
    last = next((a for a in memory.newest() if attempt.metal in (None, a.metal)), None)
    if last is None:
        return
    yield "stone_diameter_mm", last.stone_diameter_mm, "last"
    if attempt.stone_material is None and last.stone_material is not None:
        yield "stone_material", last.stone_material, "last"
    if attempt.metal is None:
        yield "metal", last.metal, "last"
    if last.grade is not None and course.grade(last.grade) is not None:
        yield "grade", last.grade, "last"


def _of_metal(attempt: Attempt, memory: Memory, course: Course) -> Taken:
    """The metal of the grade, of the last such stone, of the last one where the course has it."""
    stone_mm = attempt.stone_diameter_mm
    if attempt.metal is not None:
        return
    grade = course.grade(attempt.grade or "")
    if grade is not None:
        yield "metal", grade.metal, "course"
        return
    if stone_mm is None:
        return
    newest = memory.newest()
    like = [a for a in newest if is_near(stone_mm, a.stone_diameter_mm or 0.0)]
    in_course = [a for a in newest if propose_grade(course, stone_mm=stone_mm, metal=a.metal)]
    here = (*like, *in_course)
    first = _main_grade(course, stone_mm)
    if here:
        yield "metal", here[0].metal, "last"
    elif first is not None:
        yield "metal", first.metal, "course"
    elif newest or memory.before:
        yield "metal", (*newest, *memory.before)[0].metal, "last"


def _of_curve(attempt: Attempt, memory: Memory, course: Course) -> Taken:
    """The curve of the last such stone in this metal, where the course has it in several.

    With none before, nothing is made up: the row is doubtful (`doubts`), and no grade is proposed.
    """
    said = (attempt.grade, attempt.curve, attempt.curve_radius_mm)
    stone_mm, metal = attempt.stone_diameter_mm, attempt.metal
    if any(value is not None for value in said) or stone_mm is None or metal is None:
        return
    if propose_grade(course, stone_mm=stone_mm, metal=metal) is not None:
        return
    curves = {(g.curve, g.curve_radius_mm) for g in course.grades if g.metal == metal}
    last = next(
        (
            a
            for a in (*memory.newest(), *memory.before)
            if a.metal == metal and is_near(stone_mm, a.stone_diameter_mm or 0.0)
        ),
        None,
    )
    if last is None or (last.curve, last.curve_radius_mm) not in curves:
        return
    yield "curve", last.curve, "last"
    if last.curve_radius_mm is not None:
        yield "curve_radius_mm", last.curve_radius_mm, "last"


def _of_sheet(attempt: Attempt, memory: Memory, course: Course) -> Taken:
    """The sheet of the last such stone in this metal, else of the grade."""
    if attempt.sheet_mm is not None or attempt.metal is None:
        return
    stone_mm = attempt.stone_diameter_mm or 0.0
    same = (
        a
        for a in (*memory.newest(), *memory.before)
        if a.metal == attempt.metal and is_near(stone_mm, a.stone_diameter_mm or 0.0)
    )
    last, grade = next(same, None), course.grade(attempt.grade or "")
    sheet: Attempt | Grade | None = last or grade
    if sheet is None:
        return
    source: Source = "last" if last is not None else "course"
    yield "sheet_mm", round(sheet.sheet_mm or 0.0, 3), source
    if attempt.layers is None and sheet.layers is not None:
        yield "layers", sheet.layers, source
    if attempt.curve is None and sheet.curve not in (None, "flat"):
        yield "curve", sheet.curve, source
        if attempt.curve_radius_mm is None and sheet.curve_radius_mm is not None:
            yield "curve_radius_mm", round(sheet.curve_radius_mm, 3), source


def _main_grade(course: Course, stone_mm: float) -> Grade | None:
    """The one grade of the main track that has this stone alone."""
    ladder = [g for g in course.ladder() if len(g.stones_mm) == 1 and g.has_stone(stone_mm)]
    return ladder[0] if len(ladder) == 1 else None


def placed(
    attempt: Attempt, row: int, course: Course, *, move: bool
) -> tuple[Attempt, tuple[Problem, ...]]:
    """The attempt with what is doubtful about it told in notices.

    With `move` a stone of another grade is logged there, and the notice says so.
    """
    notices = []
    for doubt in doubts_about(attempt, course.grades):
        notice = doubt.as_notice(row)
        if doubt.grade and move:
            told = (
                f"{notice.expected}: that is {doubt.title}, and it is logged there ({doubt.grade})"
            )
            notice = Problem(row, notice.field, notice.read, told, "notice")
            proposed = ";".join(filter(None, (attempt.proposed, BY_STONE)))
            attempt = attempt.with_values(grade=doubt.grade, proposed=proposed)
        elif doubt.about == "stone" and doubt.title:
            told = f"{notice.expected}; that is {doubt.title} ({doubt.grade})"
            notice = Problem(row, notice.field, notice.read, told, "notice")
        notices.append(notice)
    return attempt, tuple(notices)


class Counted(Value):
    """Where attempts count: for a `grade`'s `points`, a part's `skill`, `findings`, `nothing`."""

    what: CountsAs
    grade: str | None
    part: str | None
    attempts: int
    sentence: str


def counted(attempts: Iterable[Attempt], course: Course) -> tuple[Counted, ...]:
    """Where these attempts count, the places in the order they first come, each with its number."""
    places = Counter(_place(attempt, course) for attempt in attempts)
    return tuple(
        Counted(
            what=place.what,
            grade=place.grade.id if place.grade is not None else None,
            part=place.part,
            attempts=count,
            sentence=f"{'It counts' if count == 1 else f'{count} count'} {place.words}.",
        )
        for place, count in places.items()
    )


class _Place(NamedTuple):
    """One place where attempts count, and what stands behind "it counts"."""

    what: CountsAs
    words: str
    grade: Grade | None = None
    part: str | None = None


def _place(attempt: Attempt, course: Course) -> _Place:
    if attempt.result is None:
        return _Place("nothing", "nowhere: not judged")
    if attempt.kind == PART:
        part = attempt.part
        return _Place("skill", f"for {part or 'its part'} alone, at no grade", part=part)
    if attempt.kind == BLOCK:
        return _Place("findings", "for findings alone, as all of a block")
    grade = course.grade(attempt.grade or "")
    if grade is not None:
        return _Place("points", f"at {grade.title} ({grade.id})", grade)
    if None in (attempt.stone_diameter_mm, attempt.metal):
        return _Place("findings", "for findings alone: without stone and metal no grade is known")
    return _Place("findings", "for findings and as work of your own: no grade of the course has it")


def proposed_in_words(proposed: Iterable[Proposed]) -> tuple[str, ...]:
    """What was taken from where, a sentence for each place: "as your last: metal copper"."""
    by_source: dict[Source, dict[str, int]] = {}
    for one in proposed:
        label = {"stone_diameter_mm": "stone"}.get(one.field, one.field.removesuffix("_mm"))
        value = f"{one.value} mm" if one.field.endswith("_mm") else one.value
        if one.field == "layers" and one.value == "1":
            continue  # one layer is what nobody says
        words = f"{label.replace('_', ' ')} {value}"
        values = by_source.setdefault(one.source, {})
        values[words] = values.get(words, 0) + 1
    return tuple(
        f"{FROM[source]}: "
        + ", ".join(f"{words} ({n} times)" if n > 1 else words for words, n in values.items())
        + "."
        for source, values in by_source.items()
    )
