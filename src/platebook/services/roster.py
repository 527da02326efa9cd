"""People and their tools: adding, choosing, making two entries one, erasing for good."""

from dataclasses import dataclass

from platebook.practice.setter import Setter, named
from platebook.practice.text import clean
from platebook.reports.figures import counted
from platebook.services.cache import OF_A_CLASS, forget
from platebook.services.courses import refuse_unknown_course
from platebook.services.desk import Desk
from platebook.services.desks import SETTER_IN_USE
from platebook.services.faults import Refused, opened
from platebook.services.people import find_setter, setter_in_use
from platebook.trade.drawer import Tool


@dataclass(frozen=True)
class Listed:
    """One setter with how many attempts stand, and whether they are the one in use."""

    setter: Setter
    attempts: int
    in_use: bool


def listed(desk: Desk) -> tuple[Listed, ...]:
    """Everyone in the logbook, in the order added."""
    from platebook.logbook import belongings, keeping
    from platebook.logbook.attempts import attempt_counts

    if not desk.path.exists():
        return ()
    with opened(desk) as book:
        in_use = book.ask(keeping.default, SETTER_IN_USE)
        counts = book.ask(attempt_counts)
        return tuple(
            Listed(s, counts.get(s.setter_id or "", 0), s.setter_id == in_use)
            for s in book.ask(belongings.setters)
        )


def add_setter(desk: Desk, name: str, *, course: str | None = None, group: str = "") -> Setter:
    """Add a person; the first one is the one in use from then on."""
    from platebook.logbook import adding, belongings, keeping

    cleaned = clean(name)
    if not cleaned:
        raise Refused("name: read nothing, expected the setter's name")
    with opened(desk) as book:
        if course is not None:
            refuse_unknown_course(book, course)
        if named(book.ask(belongings.setters), cleaned) and not group:
            raise Refused(
                f"name: {cleaned!r} is in the logbook already; "
                "give --group to add another person of that name"
            )
        setter = Setter(name=cleaned, course=course, group=clean(group))
        added = book.tell(adding.add_setter, setter, book.stamp(desk.author, desk.clock(), "add"))
        if book.ask(keeping.default, SETTER_IN_USE) is None:
            book.tell(keeping.set_default, SETTER_IN_USE, added.setter_id)
        return added


def change_setter(
    desk: Desk,
    wanted: str,
    *,
    name: str | None = None,
    group: str | None = None,
    active: bool | None = None,
) -> Setter:
    """Correct what the roster says of a person; what is None stays. It can be taken back."""
    from platebook.logbook import belongings, records

    with opened(desk, make=False) as book:
        before = find_setter(book.ask(belongings.setters), wanted)
        changes: dict[str, object] = {}
        if name is not None:
            if not clean(name):
                raise Refused("name: read nothing, expected the setter's name")
            changes["name"] = clean(name)
        if group is not None:
            changes["group"] = clean(group)
        if active is not None:
            changes["active"] = active
        after = before.model_copy(update=changes)
        book.tell(
            records.amend,
            "setter",
            before.setter_id or "",
            after,
            book.stamp(desk.author, desk.clock(), "amend"),
        )
        return after


def use_setter(desk: Desk, wanted: str) -> Setter:
    """Make this person the one in use in this logbook."""
    from platebook.logbook import belongings, keeping

    with opened(desk, make=False) as book:
        found = find_setter(book.ask(belongings.setters), wanted)
        book.tell(keeping.set_default, SETTER_IN_USE, found.setter_id)
        return found


def seat(desk: Desk, wanted: str) -> Desk:
    """The desk with this person at it, who is the one in use in this logbook from then on."""
    person = use_setter(desk, wanted)
    return desk.for_setter(person.setter_id or "", person.name)


def seat_new(desk: Desk, name: str) -> Desk:
    """The desk with a person at it who is added to the logbook by this name."""
    return seat(desk, add_setter(desk, name).setter_id or "")


def follow_course(desk: Desk, course_id: str, text: str | None = None) -> Setter:
    """Let the setter in use follow this course; a course of one's own comes with its text."""
    from platebook.logbook import keeping, records
    from platebook.practice.course_file import load_course

    with opened(desk, make=False) as book:
        setter = setter_in_use(desk, book)
        if text is not None:
            course = load_course(text)
            book.tell(keeping.keep_course, course.id, course.version, text)
        refuse_unknown_course(book, course_id)
        after = setter.model_copy(update={"course": course_id, "track": None})
        book.tell(
            records.amend,
            "setter",
            setter.setter_id or "",
            after,
            book.stamp(desk.author, desk.clock(), "amend"),
        )
        return after


def merge_setters(desk: Desk, keep: str, gone: str) -> str:
    """Make two entries of one person one; it can be taken back."""
    from platebook.logbook import belongings, merging

    with opened(desk, make=False) as book:
        kept, lost = (
            find_setter(book.ask(belongings.setters), keep),
            find_setter(book.ask(belongings.setters), gone),
        )
        if kept.setter_id == lost.setter_id:
            raise Refused(f"{keep!r} and {gone!r} are the same entry already")
        book.tell(
            merging.merge_setters,
            kept.setter_id or "",
            lost.setter_id or "",
            book.stamp(desk.author, desk.clock(), "merge"),
        )
    return f"{lost.name} is now {kept.name}; undo parts them again."


def erase_setter(desk: Desk, wanted: str) -> str:
    """Take a person out for good, with all their attempts; it cannot be taken back."""
    from platebook.logbook import belongings, erasing, keeping

    with opened(desk, make=False) as book:
        found = find_setter(book.ask(belongings.setters), wanted)
        erased = book.tell(erasing.erase, book.path, found.setter_id or "", desk.clock())
        forget(desk.path, found.setter_id or "")
        forget(desk.path, OF_A_CLASS)
        if book.ask(keeping.default, SETTER_IN_USE) == found.setter_id:
            book.tell(keeping.set_default, SETTER_IN_USE, None)
    told = f"{found.name} and {counted(erased.attempts, 'attempt')} are erased for good."
    if erased.copies:
        told += " Copies beside the logbook may still hold them: "
        told += ", ".join(copy.name for copy in erased.copies)
    return told


def tools(desk: Desk) -> tuple[Tool, ...]:
    """The drawer of the setter in use."""
    from platebook.logbook import belongings

    with opened(desk, make=False) as book:
        return book.ask(belongings.tools, setter_in_use(desk, book).setter_id or "")


def add_tool(desk: Desk, tool: Tool) -> Tool:
    """Put a tool into the drawer of the setter in use."""
    from platebook.logbook.adding import add_tools

    with opened(desk, make=False) as book:
        setter = setter_in_use(desk, book)
        return book.tell(
            add_tools, setter.setter_id or "", [tool], book.stamp(desk.author, desk.clock(), "add")
        )[0]
