"""Whoever teaches: adding, choosing, correcting, and taking out for good.

A teacher has no log and no grade; somebody who also sets has an entry of each kind, and is one or
the other at the bench.
"""

from collections.abc import Iterable

from platebook.logbook import Logbook, class_records, defaults, records, setter_records
from platebook.logbook.erasures import erasing
from platebook.practice.records import Setter, Teacher, named
from platebook.practice.text import clean
from platebook.services.backups import reach_copies
from platebook.services.courses.followed import refuse_unknown_course, shipped
from platebook.services.people.setters import now_one
from platebook.services.session import (
    ID_END,
    Refused,
    Session,
    expected_of,
    find_setter,
    opened,
    put_in_use,
    with_id,
)
from platebook.services.sharing.erasings import take_along
from platebook.trade.phrases import count_of
from platebook.values import Value


class ListedTeacher(Value):
    """Somebody who teaches, their classes by name, their own entry as a setter by name."""

    teacher: Teacher
    classes: tuple[str, ...]
    sets_as: str
    in_use: bool


def list_teachers(session: Session) -> tuple[ListedTeacher, ...]:
    """Everyone who teaches, in the order added."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        in_use = book.ask(defaults.default, defaults.TEACHING)
        terms = book.ask(class_records.class_terms)
        setters = book.ask(setter_records.setters)
        return tuple(
            ListedTeacher(
                teacher=teacher,
                classes=tuple(
                    dict.fromkeys(t.name for t in terms if teacher.teacher_id in t.teachers)
                ),
                sets_as=getattr(with_id(setters, teacher.setter_id), "name", ""),
                in_use=teacher.teacher_id == in_use,
            )
            for teacher in book.ask(class_records.teachers)
        )


def find_teacher(teachers: Iterable[Teacher], wanted: str) -> Teacher:
    """The only teacher with this id or name, or whose id ends so (`ID_END` letters or more).

    Refused where none is, or where several share it.
    """
    known = tuple(teachers)
    fitting = [t for t in known if t.teacher_id == wanted] or list(named(known, wanted))
    if not fitting and len(wanted) >= ID_END:
        fitting = [t for t in known if (t.teacher_id or "").endswith(wanted)]
    if len(fitting) == 1:
        return fitting[0]
    if not fitting:
        nobody = "nobody yet (platebook teacher add NAME)"
        expected = expected_of(wanted, (t.name for t in known), nobody)
        raise Refused(f"teacher: read {clean(wanted)!r}, {expected}")
    ids = "; ".join(f"{t.name} ({t.teacher_id})" for t in fitting)
    raise Refused(f"teacher: read {clean(wanted)!r}, which is {ids}. Say which by id.")


def add_teacher(session: Session, name: str, *, also_sets: bool = False, note: str = "") -> Teacher:
    """Add somebody who teaches; the first one is in use from then on.

    With `also_sets` the setter of that name is theirs, or is added with them.
    """
    cleaned = clean(name)
    if not cleaned:
        raise Refused("name: read nothing, expected the teacher's name")
    with opened(session) as book:
        known = book.ask(class_records.teachers)
        if named(known, cleaned):
            raise Refused(f"name: {cleaned!r} teaches in this logbook already")
        own = _own_setter(book, session, cleaned) if also_sets else None
        teacher_id = book.new_id(session.clock())
        teacher = Teacher(teacher_id=teacher_id, name=cleaned, setter_id=own, note=clean(note))
        # The first teacher of a logbook is in use from now on, and says so with their own key.
        whose = session if known else session.for_teacher(teacher_id, cleaned)
        stamp = whose.stamp(book, "add", author=cleaned)
        added = book.tell(class_records.add_teacher, teacher, stamp)
        if not known:
            put_in_use(book, teacher_id=added.teacher_id)
        return added


def _own_setter(book: Logbook, session: Session, name: str) -> str:
    """The id of the setter who bears this name, added where there is none."""
    setters = book.ask(setter_records.setters)
    if named(setters, name):
        return find_setter(setters, name).setter_id or ""
    stamp = session.stamp(book, "add", author=name)
    return book.tell(records.add_setter, Setter(name=name), stamp).setter_id or ""


def change_teacher(
    session: Session,
    wanted: str,
    *,
    name: str | None = None,
    note: str | None = None,
    active: bool | None = None,
    also_sets: bool | None = None,
) -> Teacher:
    """Correct what is said of somebody who teaches; what is None stays. It can be taken back."""
    with opened(session, make=False) as book:
        before = find_teacher(book.ask(class_records.teachers), wanted)
        changes: dict[str, object] = {}
        if name is not None:
            if not clean(name):
                raise Refused("name: read nothing, expected the teacher's name")
            changes["name"] = clean(name)
        if note is not None:
            changes["note"] = clean(note)
        if active is not None:
            changes["active"] = active
        if also_sets is not None:
            changes["setter_id"] = _own_setter(book, session, before.name) if also_sets else None
        after = before.model_copy(update=changes)
        stamp = session.stamp(book, "amend")
        book.tell(records.amend, "teacher", before.teacher_id or "", after, stamp)
        return after


class MergedTeachers(Value):
    """Two entries of a teacher that are one now; `own_entries` where they are two as setters."""

    kept: Teacher
    gone: Teacher
    own_entries: tuple[str, str] | None = None

    @property
    def sentence(self) -> str:
        """What was done, that it can be taken back, and what stays two."""
        said = f"{now_one(self.kept.name, self.gone.name)}; undo parts them again."
        if self.own_entries is None:
            return said
        keep, gone = (each[-ID_END:] for each in self.own_entries)
        return f"{said} As setters they are two still: platebook setter merge {keep} {gone}"


def merge_teachers(session: Session, keep: str, gone: str) -> MergedTeachers:
    """Make two entries of one teacher one: classes, looks and messages; it can be taken back."""
    with opened(session, make=False) as book:
        known = book.ask(class_records.teachers)
        kept, lost = find_teacher(known, keep), find_teacher(known, gone)
        if kept.teacher_id == lost.teacher_id:
            raise Refused(f"{keep!r} and {gone!r} are the same entry already")
        stamp = session.stamp(book, "merge")
        ids = kept.teacher_id or "", lost.teacher_id or ""
        book.tell(class_records.merge_teachers, *ids, stamp)
    own = (kept.setter_id, lost.setter_id)
    two = own if None not in own and len(set(own)) == 2 else None
    return MergedTeachers(kept, lost, two and (own[0] or "", own[1] or ""))


def use_teacher(session: Session, wanted: str) -> Teacher:
    """Make this person the one in use in this logbook, as a teacher."""
    with opened(session, make=False) as book:
        teacher = find_teacher(book.ask(class_records.teachers), wanted)
        put_in_use(book, teacher_id=teacher.teacher_id)
        return teacher


def switch_teacher(session: Session, wanted: str) -> Session:
    """The session of this teacher, who is in use in this logbook from then on."""
    teacher = use_teacher(session, wanted)
    return session.for_teacher(teacher.teacher_id or "", teacher.name)


def begin_teaching(
    session: Session, *, name: str, also_sets: bool = False, course_id: str | None = None
) -> Session:
    """Set up whoever teaches in a new logbook, and give the session in their name.

    `course_id` is the course their own entry as a setter follows, where they also set.
    """
    cleaned = clean(name)
    if not cleaned:
        raise Refused("name: a teacher signs looks by name; type yours first")
    added = add_teacher(session, cleaned, also_sets=also_sets)
    if added.setter_id is not None:
        with opened(session) as book:
            course = course_id or shipped()[0].id
            refuse_unknown_course(book, course)
            own = book.ask(setter_records.setter_with_id, added.setter_id)
            if own is not None and own.course is None:
                after = own.model_copy(update={"course": course})
                stamp = session.stamp(book, "amend", author=cleaned)
                book.tell(records.amend, "setter", added.setter_id, after, stamp)
    return session.for_teacher(added.teacher_id or "", added.name)


def erase_teacher(session: Session, wanted: str) -> str:
    """Take somebody who teaches out for good; what they signed stays, without their name."""
    with opened(session, make=False) as book:
        teacher = find_teacher(book.ask(class_records.teachers), wanted)
        erased = book.tell(
            erasing.erase_teacher,
            book.path,
            teacher.teacher_id or "",
            session.clock(),
            session.signer(book),
        )
    went = take_along(session, teacher.teacher_id or "", [teacher.name], copies=True)
    sentence = f"{teacher.name} is erased for good; what they signed stays, without their name."
    if went:
        copies = count_of(went, "copy", "copies")
        sentence += f" {copies} that the program had kept went too."
    reached = reach_copies(session)
    names = {copy.name for copy in erased.copies if copy not in reached.cleared and copy.exists()}
    left = ", ".join(sorted(names | {copy.name for copy in reached.unreached}))
    return f"{sentence} Copies beside the logbook may still name them: {left}" if left else sentence
