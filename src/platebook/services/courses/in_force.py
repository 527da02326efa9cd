"""The course in force: whom a text touches, and putting one of one's own in force.

Whoever follows a course goes by the text that is in force in this logbook. Another one is put there
by a person, as a change like any other, which undo takes back.

| function | gives |
|---|---|
| `in_force`, `known_versions` | the course as it is gone by, and every version that is known |
| `touch_of` | whom putting a text in force touches, in a sentence |
| `look_at` | what a course file would do here: its faults, and whom it touches |
| `use_course` | lets the setter in use follow a course, by its id or with a text of one's own |
| `bring_course` | puts a teacher's text in force, for the classes that are to follow it |
"""

from collections.abc import Iterable

from platebook.logbook import Logbook, course_records
from platebook.logbook.course_records import PutInForce, SetAt
from platebook.logbook.defaults import course_texts
from platebook.logbook.history.changes import RecordChange
from platebook.logbook.record_kinds import kind_named
from platebook.practice.courses.course import Course
from platebook.practice.courses.course_changes import KnownVersions, lost_grades, version_problems
from platebook.practice.courses.course_file import read_course
from platebook.practice.problem import Problem, only_problems
from platebook.practice.records import Setter
from platebook.services.courses.followed import read_kept, refuse_unknown_course, shipped
from platebook.services.session import Refused, Session, opened, refusal_of, setter_in_use
from platebook.trade.phrases import count_of, several
from platebook.values import Value


class Touch(Value):
    """Whom a text of a course touches here: followers, attempts, and grades it does not know.

    `sentence` says it in one line.
    """

    setters: int
    attempts: int
    sentence: str


def touch_of(before: Course | None, after: Course, rest: SetAt) -> Touch:
    """What putting `after` in the place of `before` touches."""
    attempts = sum(rest.attempts.values())
    said = [f"{count_of(len(rest.followers), 'setter')}, {count_of(attempts, 'attempt')}"]
    if before is not None:
        for lost in lost_grades(before, after, rest.attempts):
            title, number = lost.grade.title, count_of(lost.attempts, "attempt")
            if lost.renamed is not None:
                said.append(f'{title} ({number}) is renamed: say was = ["{lost.grade.id}"]')
            else:
                said.append(f"{title} is gone, and its {number} would not count any more")
        moved = after.renamed()
        for grade in before.grades:
            now = after.grade(moved.get(grade.id, ""))
            count = rest.attempts.get(grade.id, 0)
            if now is not None and count:
                said.append(
                    f"{grade.title} goes on as {now.id} with its {count_of(count, 'attempt')}"
                )
        new = [grade.title for grade in after.grades if not _known(before, grade.id, grade.was)]
        if new:
            said.append(f"new: {several(new)}")
    return Touch(len(rest.followers), attempts, "; ".join(said))


def _known(before: Course, grade_id: str, was: Iterable[str]) -> bool:
    return any(before.grade(name) is not None for name in (grade_id, *was))


def in_force(book: Logbook, course_id: str) -> Course | None:
    """The course of this id as it is gone by here; None for one that is not known."""
    kept = book.ask(course_records.text_in_force, course_id)
    if kept is not None:
        return read_kept(kept.text)
    return next((course for course in shipped() if course.id == course_id), None)


def known_versions(book: Logbook, course_id: str) -> KnownVersions:
    """Every version of a course that this logbook knows, and what was set at its grades."""
    current = in_force(book, course_id)
    texts = [kept.text for kept in book.ask(course_texts, course_id)]
    own = [read_kept(text) for text in texts]
    come = [course for course in shipped() if course.id == course_id]
    others = tuple(course for course in (*own, *come) if course != current)
    return KnownVersions(current, others, book.ask(course_records.set_at, course_id).attempts)


class CourseLook(Value):
    """What a course file is, and would do in this logbook.

    `course` is None where it cannot be used. `changes` says that another text than this is in
    force here, and `touch` whom that touches; None where the course is not known here.
    """

    course: Course | None
    problems: tuple[Problem, ...]
    touch: Touch | None = None
    changes: bool = False


def look_at(session: Session, text: str, name: str) -> CourseLook:
    """What is wrong with a course file, by itself and beside what this logbook goes by."""
    course, problems = read_course(text, name=name)
    if course is None:
        return CourseLook(None, problems)
    own = next((known for known in shipped() if known.id == course.id), None)
    if own is not None and own != course:
        expected = f"an id of your own: {course.id} comes with platebook"
        line = next(n for n, row in enumerate(text.split("\n"), 1) if row.startswith("id"))
        problems = (*problems, Problem(0, "id", course.id, expected, line=line, file=name))
        return CourseLook(None, problems)
    if not session.path.exists():
        return CourseLook(course, problems)
    with opened(session) as book:
        known = known_versions(book, course.id)
        rest = book.ask(course_records.set_at, course.id)
    if known.in_force is None:
        return CourseLook(course, problems)
    problems = (*problems, *version_problems(text, course, known, name=name))
    touch = touch_of(known.in_force, course, rest)
    changes = known.in_force != course
    return CourseLook(None if only_problems(problems) else course, problems, touch, changes)


def use_course(session: Session, course_id: str, text: str | None = None) -> Setter:
    """Let the setter in use follow this course; a course of one's own comes with its text.

    Both are one change, which undo takes back. Refused where the text has faults here.
    """
    if text is not None:
        course_id = _sound(session, text).id
    with opened(session, make=False) as book:
        setter = setter_in_use(session, book)
        if text is None:
            refuse_unknown_course(book, course_id)
        track = setter.track if setter.course == course_id else None
        after = setter.model_copy(update={"course": course_id, "track": track})
        kind = kind_named("setter")
        entries = (
            [RecordChange.of("setter", setter.setter_id or "", kind.row_of(after))]
            if after != setter
            else []
        )
        stamp = session.stamp(book, "use")
        kept = book.ask(course_records.text_in_force, course_id)
        own = text is not None and course_id not in {course.id for course in shipped()}
        if own and text is not None and (kept is None or kept.text != text):
            version = read_kept(text).version
            wanted = PutInForce(course_id, version, text)
            book.tell(course_records.put_in_force, wanted, stamp, entries)
        elif entries:
            book.tell(course_records.follow, entries, stamp)
        return after


FOLLOWS_NONE = (
    "course: {name} teaches and follows none. Put a text of your own in force with "
    "`platebook course use FILE`; a class follows a course by `class edit CLASS --course ID`."
)


def bring_course(session: Session, text: str | None) -> Course:
    """Put a teacher's text in force; nobody's entry is changed, and undo takes it back.

    Refused without a text, and where it has faults here.
    """
    if text is None:
        raise Refused(FOLLOWS_NONE.format(name=session.author))
    course = _sound(session, text)
    with opened(session) as book:
        kept = book.ask(course_records.text_in_force, course.id)
        if course.id not in {known.id for known in shipped()} and (
            kept is None or kept.text != text
        ):
            wanted = PutInForce(course.id, course.version, text)
            book.tell(course_records.put_in_force, wanted, session.stamp(book, "use"))
    return course


def _sound(session: Session, text: str) -> Course:
    """The course of this text; Refused where it has faults here."""
    look = look_at(session, text, "course")
    if look.course is None:
        raise refusal_of(only_problems(look.problems))
    return look.course
