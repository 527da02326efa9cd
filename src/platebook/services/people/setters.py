"""People: the first start, adding, choosing, making two entries one, erasing for good."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Literal

from platebook.logbook import Logbook, class_records, defaults, records, setter_records
from platebook.logbook.attempts.attempt_queries import attempt_counts
from platebook.logbook.erasures import erasing
from platebook.practice.records import Setter, named
from platebook.practice.text import clean
from platebook.services.backups import reach_copies
from platebook.services.cache import OF_A_CLASS, forget
from platebook.services.classes.terms import Roll, home_groups, roll_of
from platebook.services.courses.followed import refuse_unknown_course, shipped
from platebook.services.from_others import unite_read
from platebook.services.session import (
    Refused,
    Session,
    find_setter,
    opened,
    put_in_use,
    setter_in_use,
    today_at,
)
from platebook.services.sharing.erasings import take_along
from platebook.trade import Sheet, Stone, size
from platebook.trade.phrases import count_of
from platebook.trade.records import Tool
from platebook.trade.setup_sheet import ToolChoice
from platebook.values import Value


class ListedSetter(Value):
    """One setter with how many attempts stand, and whether they are the one in use.

    `classes` are those they are in today, by name, and `group` the first of them, or the group that
    their entry speaks of. `left` is what the class is called that they left; empty for who did not.
    """

    setter: Setter
    attempts: int
    in_use: bool
    group: str = ""
    classes: tuple[str, ...] = ()
    left: str = ""

    @property
    def where(self) -> str:
        """The classes they are in by name, else their group; "left Thursday" for who left it."""
        return ", ".join(self.classes) or (f"left {self.left}" if self.left else self.group)


def list_setters(session: Session) -> tuple[ListedSetter, ...]:
    """Everyone in the logbook, in the order added."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        today = today_at(session)
        return listed_on(book, roll_of(book, today), today)


def listed_on(book: Logbook, roll: Roll, today: date) -> tuple[ListedSetter, ...]:
    """The same from a roll that was read already."""
    in_use, counts = book.ask(defaults.default, defaults.IN_USE), book.ask(attempt_counts)
    groups, classes, left = home_groups(roll, today), roll.classes_on(today), roll.left_by(today)
    return tuple(
        ListedSetter(
            setter=setter,
            attempts=counts.get(setter_id, 0),
            in_use=setter_id == in_use,
            group=groups[setter_id],
            classes=tuple(dict.fromkeys(t.name for t in classes.get(setter_id, ()))),
            left=left.get(setter_id, ""),
        )
        for setter_id, setter in roll.people.items()
    )


Seats = Literal["given", "own"]
"""Who prepares seats for a setter to practise in: somebody does, or nobody but they."""


def add_setter(
    session: Session,
    name: str,
    *,
    course: str | None = None,
    group: str = "",
    seats: Seats | None = None,
) -> Setter:
    """Add a person; the first one is in use from then on, unless somebody teaches here."""
    cleaned = clean(name)
    if not cleaned:
        raise Refused("name: read nothing, expected the setter's name")
    with opened(session) as book:
        if course is not None:
            refuse_unknown_course(book, course)
        if named(book.ask(setter_records.setters), cleaned) and not group:
            raise Refused(
                f"name: {cleaned!r} is in the logbook already; "
                "give --group to add another person of that name"
            )
        setter = Setter(name=cleaned, course=course, group=clean(group), seats=seats)
        added = book.tell(records.add_setter, setter, session.stamp(book, "add"))
        nobody = book.ask(defaults.default, defaults.IN_USE) is None
        if nobody and not book.ask(class_records.teachers):
            book.tell(defaults.set_default, defaults.IN_USE, added.setter_id)
        return added


def change_setter(
    session: Session,
    wanted: str,
    *,
    name: str | None = None,
    group: str | None = None,
    active: bool | None = None,
    seats: Seats | None = None,
) -> Setter:
    """Correct what the roster says of a person; what is None stays. It can be taken back."""
    with opened(session, make=False) as book:
        before = find_setter(book.ask(setter_records.setters), wanted)
        changes: dict[str, object] = {}
        if name is not None:
            if not clean(name):
                raise Refused("name: read nothing, expected the setter's name")
            changes["name"] = clean(name)
        if group is not None:
            changes["group"] = clean(group)
        if active is not None:
            changes["active"] = active
        if seats is not None:
            changes["seats"] = seats
        after = before.model_copy(update=changes)
        book.tell(
            records.amend, "setter", before.setter_id or "", after, session.stamp(book, "amend")
        )
        return after


def turn_seats(session: Session, wanted: str) -> str:
    """Say the other thing of who prepares seats for a person; gives it in a sentence."""
    with opened(session, make=False) as book:
        person = find_setter(book.ask(setter_records.setters), wanted)
    after = change_setter(session, wanted, seats="given" if person.seats == "own" else "own")
    return f"{after.name}: {SEATS_IN_WORDS[after.seats or 'given']}."


SEATS_IN_WORDS: Mapping[str, str] = {
    "given": "somebody prepares seats to practise in",
    "own": "nobody prepares seats, they cut their own",
}


def use_setter(session: Session, wanted: str) -> Setter:
    """Make this person the one in use in this logbook."""
    with opened(session, make=False) as book:
        setter = find_setter(book.ask(setter_records.setters), wanted)
        put_in_use(book, setter_id=setter.setter_id)
        return setter


def use_nobody(session: Session) -> None:
    """Nobody is in use in this logbook from now on, neither a setter nor a teacher."""
    with opened(session, make=False) as book:
        put_in_use(book)


def switch_setter(session: Session, wanted: str) -> Session:
    """The session of this person, who is the one in use in this logbook from then on."""
    person = use_setter(session, wanted)
    return session.for_setter(person.setter_id or "", person.name)


class Merged(Value):
    """Two entries of one person that are one now: the one that has it all, and the other."""

    kept: Setter
    gone: Setter

    @property
    def sentence(self) -> str:
        """What was done, and that it can be taken back."""
        return f"{now_one(self.kept.name, self.gone.name)}; undo parts them again."


def now_one(kept: str, gone: str) -> str:
    """Two entries by their names, one of which is the other now."""
    return f"The two entries of {kept} are one now" if kept == gone else f"{gone} is now {kept}"


def merge_setters(session: Session, keep: str, gone: str) -> Merged:
    """Make two entries of one person one; it can be taken back."""
    with opened(session, make=False) as book:
        setters = book.ask(setter_records.setters)
        kept, lost = find_setter(setters, keep), find_setter(setters, gone)
        if kept.setter_id == lost.setter_id:
            raise Refused(f"{keep!r} and {gone!r} are the same entry already")
        book.tell(
            records.merge_setters,
            kept.setter_id or "",
            lost.setter_id or "",
            session.stamp(book, "merge"),
        )
        unite_read(book, kept.setter_id or "", lost.setter_id or "")
    return Merged(kept, lost)


class ErasedSetter(Value):
    """Who was erased and with how many attempts, how many of the program's own copies went too.

    `copies` may still hold them; `cleared` is False while another program that has the logbook open
    keeps old bytes beside it. Out of `cleared_copies` of the program's copies they were taken.
    """

    setter: Setter
    attempts: int
    own_copies: int
    copies: tuple[str, ...]
    cleared: bool
    cleared_copies: int = 0

    @property
    def sentence(self) -> str:
        """What went, and what may be left."""
        said = f"{self.setter.name} and {count_of(self.attempts, 'attempt')} are erased for good."
        if self.own_copies:
            copies = count_of(self.own_copies, "copy", "copies")
            said += f" {copies} that the program had kept went too."
        if self.cleared_copies:
            copies = count_of(self.cleared_copies, "copy", "copies")
            said += f" They were taken out of {copies} of the logbook."
        if not self.cleared:
            said += (
                " Another program has the logbook open: until it closes it, old bytes stay in the"
                " file beside the logbook that ends in -wal."
            )
        if self.copies:
            said += f" Copies beside the logbook may still hold them: {', '.join(self.copies)}"
        return said


def erase_setter(session: Session, wanted: str) -> ErasedSetter:
    """Take a person out for good, with all their attempts; it cannot be taken back."""
    with opened(session, make=False) as book:
        setter = find_setter(book.ask(setter_records.setters), wanted)
        erased = book.tell(
            erasing.erase, book.path, setter.setter_id or "", session.clock(), session.signer(book)
        )
        forget(session.path, setter.setter_id or "")
        forget(session.path, OF_A_CLASS)
        if book.ask(defaults.default, defaults.IN_USE) == setter.setter_id:
            book.tell(defaults.set_default, defaults.IN_USE, None)
    went = take_along(session, setter.setter_id or "", [setter.name], copies=True)
    reached = reach_copies(session)
    left = tuple(
        copy.name
        for copy in {*erased.copies, *reached.unreached} - set(reached.cleared)
        if copy.exists()
    )
    return ErasedSetter(
        setter,
        erased.attempts,
        went,
        tuple(sorted(left)),
        erased.cleared,
        cleared_copies=len(reached.cleared),
    )


def tools(session: Session) -> tuple[Tool, ...]:
    """The drawer of the setter in use."""
    with opened(session, make=False) as book:
        return book.ask(setter_records.tools, setter_in_use(session, book).setter_id or "")


def add_tool(session: Session, tool: Tool) -> Tool:
    """Put a tool into the drawer of the setter in use."""
    with opened(session, make=False) as book:
        setter = setter_in_use(session, book)
        return book.tell(
            records.add_tools, setter.setter_id or "", [tool], session.stamp(book, "add")
        )[0]


NAMELESS = "me"
BURNISHER_MM = 0.5


class OfferedCourse(Value):
    """A course to choose from."""

    id: str
    title: str
    about: str


class FirstOffers(Value):
    """What can be chosen from at a first start."""

    courses: tuple[OfferedCourse, ...]
    tools: tuple[Tool, ...]


def first_offers(session: Session) -> FirstOffers | None:
    """The courses and tools offered at a first start; None where somebody has been set up."""
    return FirstOffers(offered_courses(), offered_tools()) if is_new(session) else None


def is_new(session: Session) -> bool:
    """Whether nobody has been set up in this logbook yet."""
    if not session.path.exists():
        return True
    with opened(session) as book:
        return not book.ask(setter_records.setters) and not book.ask(class_records.teachers)


def offered_courses() -> tuple[OfferedCourse, ...]:
    """The shipped courses, the one offered first in front."""
    return tuple(OfferedCourse(c.id, c.title, c.about) for c in shipped())


def offered_tools() -> tuple[Tool, ...]:
    """The tools that custom asks for, for the stones of the first course, and two more."""
    course = shipped()[0]
    offers: dict[tuple[str, float], Tool] = {}
    for grade in course.ladder():
        for stone_mm in grade.stones_mm:
            sizes = size(Stone(diameter_mm=stone_mm), Sheet(sheet_mm=grade.sheet_mm))
            for choice, is_bur in (
                (sizes.pilot_drill, False),
                (sizes.opening_bur, True),
                (sizes.seat_bur, True),
            ):
                tool = _tool(choice, is_bur=is_bur)
                offers.setdefault((tool.name, choice.choose_mm), tool)
    in_order = sorted(offers.values(), key=lambda t: (t.kind, t.shape or "", t.size_mm or 0.0))
    return (
        *in_order,
        Tool(kind="burnisher", name="rounded burnisher", size_mm=BURNISHER_MM),
        Tool(kind="measuring", name="caliper", resolution_mm=0.01, mpe_mm=0.02),
    )


def begin(
    session: Session,
    *,
    name: str,
    course_id: str | None,
    tools: Sequence[Tool] = (),
    seats: Seats | None = None,
) -> Session:
    """Set up the first setter and give the session in their name; a blank one makes "me"."""
    with opened(session) as book:
        now = session.clock()
        called, setter_id = clean(name) or NAMELESS, book.new_id(now)
        setter = book.tell(
            records.add_setter,
            Setter(
                setter_id=setter_id,
                name=called,
                course=course_id or shipped()[0].id,
                seats=seats,
            ),
            session.for_setter(setter_id, called).stamp(book, "add", now=now),
        )
        assert setter.setter_id is not None
        if tools:
            stamp = session.for_setter(setter.setter_id, setter.name).stamp(book, "add", now=now)
            book.tell(records.add_tools, setter.setter_id, tools, stamp)
        book.tell(defaults.set_default, defaults.IN_USE, setter.setter_id)
    return session.for_setter(setter.setter_id, setter.name)


def _tool(choice: ToolChoice, *, is_bur: bool) -> Tool:
    return Tool(
        kind="bur" if is_bur else "twist drill",
        name=choice.tool,
        shape=choice.shape,
        size_mm=choice.choose_mm,
    )
