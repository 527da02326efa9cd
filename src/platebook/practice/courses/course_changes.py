"""What a new version of a course does to those who follow it: grades renamed, lost or changed.

| function | gives |
|---|---|
| `renamings` | grades of a version that the next one has under another id, without saying so |
| `lost_grades` | grades with attempts that the next version does not count any more |
| `version_problems` | what a version may not do, at its lines: the promises in `docs/courses.md` |

Two grades are the same work where stone, metal and sheet are the same.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from platebook.practice.courses.course import Course, Grade
from platebook.practice.courses.course_toml import Path, line_at, lines_of
from platebook.practice.problem import Problem
from platebook.trade.phrases import count_of
from platebook.values import Value, field

WORK: Mapping[str, str] = {
    "stones_mm": "stone",
    "stone_material": "stone",
    "hand_cut": "stone",
    "metal": "metal",
    "curve": "metal",
    "curve_radius_mm": "metal",
    "sheet_mm": "sheet",
    "layers": "sheet",
}
"""The keys of a grade that make it the work it is, each with the word for it."""


def work_of(grade: Grade) -> tuple[object, ...]:
    """What makes a grade the work it is: its stones, its metal and its sheet."""
    return tuple(getattr(grade, name) for name in WORK)


def renamings(before: Course, after: Course) -> dict[str, Grade]:
    """Grades of `before` that only one new grade of `after` can be, by their old id."""
    gone = [grade for grade in before.grades if after.grade(grade.id) is None]
    new = [grade for grade in after.grades if before.grade(grade.id) is None]
    found: dict[str, Grade] = {}
    for grade in gone:
        alike = [other for other in new if work_of(other) == work_of(grade)]
        if len(alike) == 1:
            found[grade.id] = alike[0]
    return found


class LostGrade(Value):
    """A grade whose attempts would count no more: how many, and what it seems to be called now."""

    grade: Grade
    attempts: int
    renamed: Grade | None


def lost_grades(
    before: Course, after: Course, attempts: Mapping[str, int]
) -> tuple[LostGrade, ...]:
    """The grades of `before` that have attempts and that `after` does not know, in their order.

    `attempts` counts the attempts at each grade id, of whatever age.
    """
    renamed = renamings(before, after)
    lost = []
    for grade in before.grades:
        count = sum(attempts.get(name, 0) for name in (grade.id, *grade.was))
        known = all(after.grade(name) for name in (grade.id, *grade.was) if attempts.get(name))
        if count and not known:
            lost.append(LostGrade(grade, count, renamed.get(grade.id)))
    return tuple(lost)


class KnownVersions(Value):
    """The versions of a course that are known where a file is looked at.

    `in_force` is the one gone by, None for none; `others` are all others that were. `attempts`
    counts what was set at each grade id.
    """

    in_force: Course | None
    others: tuple[Course, ...] = ()
    attempts: Mapping[str, int] = field(default_factory=dict)

    @property
    def every(self) -> tuple[Course, ...]:
        """Every version, the one in force first."""
        return (*((self.in_force,) if self.in_force else ()), *self.others)


def version_problems(
    text: str, course: Course, known: KnownVersions, *, name: str = "course"
) -> tuple[Problem, ...]:
    """What this text does that a version may not, each at its line; empty for one that is known."""
    if course in known.every:
        return ()
    place = _Place(course, lines_of(text), name)
    found: list[Problem] = []
    newest = max((version.version for version in known.every), default=0)
    if course.version <= newest:
        expected = f"{newest + 1} or more: version {newest} is known with another text"
        found.append(place.problem(None, "version", str(course.version), expected))
    for grade, before, changed in _changed(course, known.every):
        words = " and ".join(f"another {word}" for word in changed)
        expected = f"an id of its own: {before.title} under {before.id} has {words}"
        found.append(place.problem(grade, "id", grade.id, expected))
    if known.in_force is not None:
        lost = lost_grades(known.in_force, course, known.attempts)
        found += [_lost_problem(place, one) for one in lost]
    return tuple(sorted(found, key=lambda problem: problem.line or 0))


class _Place(Value):
    """Where the keys of a course stand in its file."""

    course: Course
    lines: Mapping[Path, int]
    name: str

    def problem(self, grade: Grade | None, key: str, read: str, expected: str) -> Problem:
        """A problem at a key of a grade, or of the head."""
        path: Path = (key,)
        label = key
        if grade is not None:
            path, label = ("grades", self.course.grades.index(grade), key), f"{key} of {grade.id}"
        line = line_at(self.lines, path) or 1
        return Problem(0, label, read, expected, line=line, file=self.name)


def _lost_problem(place: _Place, lost: LostGrade) -> Problem:
    old, attempts = lost.grade.id, count_of(lost.attempts, "attempt")
    if lost.renamed is not None:
        expected = f'was = ["{old}"] here: {lost.grade.title} is renamed, and has {attempts}'
        return place.problem(lost.renamed, "was", "nothing", expected)
    expected = (
        f'a grade {old}, which has {attempts}: keep it (optional = true), or say was = ["{old}"] '
        "under the grade of the same stone, metal and sheet"
    )
    return place.problem(None, "grades", "none", expected)


def _changed(
    course: Course, versions: Sequence[Course]
) -> Iterator[tuple[Grade, Grade, tuple[str, ...]]]:
    """Grades under an id that was of other work, with that grade and what differs."""
    for grade in course.grades:
        for name in (grade.id, *grade.was):
            earlier = _first(version.grade(name) for version in versions)
            if earlier is None or work_of(earlier) == work_of(grade):
                continue
            keys = tuple(k for k in WORK if getattr(earlier, k) != getattr(grade, k))
            yield grade, earlier, tuple(dict.fromkeys(WORK[key] for key in keys))


def _first(grades: Iterable[Grade | None]) -> Grade | None:
    return next((grade for grade in grades if grade is not None), None)
