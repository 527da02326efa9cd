"""Texts of courses from elsewhere: held back until somebody takes them in or refuses them.

Nothing that comes in a bundle changes the course of anybody here. Taking a text in is a change like
any other, and so is refusing it.

| function | gives |
|---|---|
| `waiting_courses`, `waiting_in`, `waiting_of` | what waits: in all, or of one course |
| `take_course`, `refuse_course` | the answers |
"""

from platebook.logbook import Logbook, course_records
from platebook.logbook.course_records import PutInForce
from platebook.logbook.defaults import all_course_texts, course_texts
from platebook.practice.courses.course_changes import lost_grades
from platebook.practice.courses.course_file import shipped_course
from platebook.practice.revision import CourseCopy
from platebook.services.courses.followed import read_kept, shipped
from platebook.services.courses.in_force import Touch, in_force, known_versions, touch_of
from platebook.services.session import Refused, Session, opened
from platebook.trade.phrases import count_of, several
from platebook.values import Value


class CourseWaiting(Value):
    """One text of a course that came from elsewhere and waits: to be taken in, or refused.

    `key` names it in `course take`; `by` are who put it in force elsewhere, empty where nobody
    said. `conflict` says that the version in force here has the same number.
    """

    key: str
    course: str
    title: str
    version: int
    by: tuple[str, ...]
    conflict: bool
    touch: Touch

    @property
    def sentence(self) -> str:
        """What waits, from whom, and whom it touches."""
        by = f" by {several(self.by)}" if self.by else ""
        course = f"the course {self.title} ({self.course}){by}"
        what = f"Version {self.version} of {course} waits"
        if self.conflict:
            what = (
                f"Another text of version {self.version} of {course} waits: "
                "both are kept, and a person chooses"
            )
        return f"{what}. It touches {self.touch.sentence}."


def waiting_courses(session: Session) -> tuple[CourseWaiting, ...]:
    """The texts of courses that wait for an answer here."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        return waiting_in(book)


def waiting_in(book: Logbook) -> tuple[CourseWaiting, ...]:
    """The same, in a logbook that is open already."""
    ids = dict.fromkeys(kept.course for kept in book.ask(all_course_texts))
    return tuple(waiting for course_id in ids for waiting in waiting_of(book, course_id))


class _Answerable(Value):
    """A text that waits, with all that one answer answers: revisions, or the text itself."""

    digest: str
    version: int
    text: str
    taken_from: str
    answers: tuple[str, ...]
    by: tuple[str, ...]


def _open_texts(book: Logbook, course_id: str) -> tuple[_Answerable, ...]:
    current = in_force(book, course_id)
    if current is None:
        return ()
    own = book.ask(course_records.own_in_force, course_id)
    answered = frozenset(own.answered) if own is not None else frozenset()
    digest = _digest_in_force(book, course_id)
    texts = {kept.digest: kept for kept in book.ask(course_texts, course_id)}
    others = book.ask(course_records.in_force_of_others, course_id)
    named = book.ask(course_records.named_digests, course_id)
    found = []
    for kept in texts.values():
        if kept.digest == digest or read_kept(kept.text) == current:
            continue
        said = [
            one
            for one in others
            if one.record.digest == kept.digest and one.revision_id not in answered
        ]
        loose = kept.digest not in named and kept.digest not in answered
        if said or (loose and kept.version >= current.version):
            found.append(
                _Answerable(
                    digest=kept.digest,
                    version=kept.version,
                    text=kept.text,
                    taken_from=(said[0].record.in_force_id or "") if said else "a bundle",
                    answers=tuple(one.revision_id for one in said) or (kept.digest,),
                    by=tuple(dict.fromkeys(one.author for one in said)),
                )
            )
    return tuple(found)


def _digest_in_force(book: Logbook, course_id: str) -> str:
    digest = book.ask(course_records.digest_in_force, course_id)
    if digest is None and course_id in {course.id for course in shipped()}:
        return CourseCopy(course=course_id, version=0, text=shipped_course(course_id)).digest
    return digest or ""


def waiting_of(book: Logbook, course_id: str) -> tuple[CourseWaiting, ...]:
    """What waits of one course."""
    current = in_force(book, course_id)
    if current is None:
        return ()
    rest = book.ask(course_records.set_at, course_id)
    return tuple(
        CourseWaiting(
            key=text.digest[:8],
            course=course_id,
            title=read_kept(text.text).title,
            version=text.version,
            by=text.by,
            conflict=text.version == current.version,
            touch=touch_of(current, read_kept(text.text), rest),
        )
        for text in _open_texts(book, course_id)
    )


def take_course(session: Session, wanted: str) -> str:
    """Put a text in force that waits, by its key, or by its course where only one does.

    Undo takes it back.

    Refused, with what waits, for anything else.
    """
    with opened(session, make=False) as book:
        course_id, text = _meant(book, wanted)
        known = known_versions(book, course_id)
        after = read_kept(text.text)
        lost = lost_grades(known.in_force or after, after, known.attempts)
        put = PutInForce(course_id, text.version, text.text, text.taken_from, text.answers)
        book.tell(course_records.put_in_force, put, session.stamp(book, "take"))
    said = f"Version {text.version} of the course {after.title}"
    words = f"{said} is in force here; undo takes it back."
    if lost:
        gone = several([f"{one.grade.title} ({count_of(one.attempts, 'attempt')})" for one in lost])
        words += f" It does not count what was set at {gone}."
    return words


def refuse_course(session: Session, wanted: str) -> str:
    """Answer that a text that waits is not taken in; what is in force stays. Undo asks again."""
    with opened(session, make=False) as book:
        course_id, text = _meant(book, wanted)
        current = in_force(book, course_id)
        if current is None:
            raise Refused(f"course: read {wanted!r}, expected one that is followed here")
        kept = book.ask(course_records.text_in_force, course_id)
        own = book.ask(course_records.own_in_force, course_id)
        put = PutInForce(
            course_id,
            current.version,
            kept.text if kept is not None else shipped_course(course_id),
            own.taken_from if own is not None else "as it was",
            text.answers,
        )
        book.tell(course_records.put_in_force, put, session.stamp(book, "refuse"))
    return (
        f"Version {text.version} of the course {current.title} is refused; what was in force stays."
    )


def _meant(book: Logbook, wanted: str) -> tuple[str, _Answerable]:
    """The text that waits under this key, or the only one of this course."""
    ids = dict.fromkeys(kept.course for kept in book.ask(all_course_texts))
    texts = [(course_id, text) for course_id in ids for text in _open_texts(book, course_id)]
    meant = [one for one in texts if wanted in {one[0], one[1].digest[:8]}]
    if len(meant) == 1:
        return meant[0]
    keys = ", ".join(f"{text.digest[:8]} ({course_id})" for course_id, text in texts)
    raise Refused(
        f"course: read {wanted!r}, expected the key of one that waits: {keys or 'none does'}"
    )
