"""A session: who is at work with which logbook, and what time it is.

Every use case is handed a `Session` and opens its logbook for as long as it needs it.

| function | gives |
|---|---|
| `session_at` | the session at a logbook, with the setter in use there or the one named |
| `opened` | the session's logbook, open for one use case |
| `put_in_use` | who is in use there from now on |
| `setter_in_use`, `find_setter`, `with_id` | a setter: the session's, by name or id, by id alone |
| `signer_of`, `own_entry_of` | who signs what is done here, and whose entry as a setter that is |
| `signed_name`, `same_name`, `sign_offs_of` | people in words: who signed, who share a name |
"""

import contextlib
import difflib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, date, datetime, tzinfo
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from tzlocal import get_localzone

from platebook.logbook import (
    Logbook,
    LogbookError,
    class_records,
    defaults,
    open_logbook,
    setter_records,
)
from platebook.logbook.file.place import logbook_path, refuse_odd_place
from platebook.logbook.history.changes import Stamp, last_changed
from platebook.practice.problem import Problem
from platebook.practice.records import Setter, SignOff, Teacher, name_key, named
from platebook.practice.revision import NOBODY
from platebook.values import Value, replace

if TYPE_CHECKING:
    from platebook.logbook.signing.signatures import Signer

INVENTED = "invented"
"""The default that holds the evening on which an invented logbook is looked at."""

YES = "yes"
SOMEONE = "an instructor"

NOBODYS = "the draw"
"""Signs the changes that keep a draw, so that nobody's undo takes one back."""

NOBODY_IN_USE = (
    "setter: nobody is in use. Add one with `platebook setter add NAME`, "
    "or choose one with `platebook setter use NAME` or --setter NAME."
)
TEACHES = (
    "setter: {name} is in use, who teaches and has no log. Say whose with --setter NAME, "
    "or choose a setter with `platebook setter use NAME`."
)

_AN_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


class Session(Value):
    """One person at one logbook.

    `setter_id` is None where nobody is in use, or somebody who teaches, whose id is then
    `teacher_id`; `author` signs the changes. `invented` marks the demo class. `clock` gives the
    time with a zone; `zone` is the one of the place of work.
    """

    path: Path
    clock: Callable[[], datetime]
    zone: tzinfo
    setter_id: str | None = None
    setter_name: str = ""
    author: str = "setter"
    invented: bool = False
    teacher_id: str | None = None

    @property
    def signs_as(self) -> str:
        """What looks, sign-offs and messages are signed with: an id, or a name without one."""
        return self.teacher_id or self.setter_id or self.author

    def for_teacher(self, teacher_id: str, name: str) -> "Session":
        """The same session with this teacher in use, and no setter."""
        return replace(self, setter_id=None, setter_name="", author=name, teacher_id=teacher_id)

    def for_setter(self, setter_id: str, name: str) -> "Session":
        """The same session with this setter in use, who signs their own changes."""
        return replace(self, setter_id=setter_id, setter_name=name, author=name, teacher_id=None)

    @property
    def signer_id(self) -> str | None:
        """The id of whose key signs here: "" while nobody is in use, None in an invented class."""
        return None if self.invented else self.teacher_id or self.setter_id or ""

    def signer(self, book: Logbook) -> "Signer | None":
        """Who signs what is done in this logbook now; None where nothing is signed."""
        from platebook.logbook.signing.signatures import Signer

        whose = self.signer_id
        return None if whose is None else Signer(book.path, whose, self.author)

    def stamp(
        self, book: Logbook, what: str, *, author: str = "", now: datetime | None = None
    ) -> Stamp:
        """What a change of this session is signed with; `what` says what was done.

        `author` is somebody else who is named as having done it, `now` a time taken already.
        """
        return book.stamp(
            author or self.author, now or self.clock(), what, signed_by=self.signer_id
        )


class LogbookUnusable(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The logbook cannot be used; `sentence` says why and what to do, `cause` is its short code."""

    def __init__(self, sentence: str, cause: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.cause = cause


class Refused(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The request cannot be carried out as things stand; nothing was changed."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def refusal_of(problems: Iterable[Problem]) -> Refused:
    """The refusal that says of each problem what was read and what was expected."""
    return Refused(
        "; ".join(f"{p.field}: read {p.read!r}, expected {p.expected}" for p in problems)
    )


def system_clock() -> datetime:
    """The time now, in UTC; the one clock of the program."""
    return datetime.now(UTC)


def today_at(session: Session) -> date:
    """The day it is where the session is."""
    return session.clock().astimezone(session.zone).date()


def session_at(
    place: str | Path | None = None,
    *,
    setter: str | None = None,
    clock: Callable[[], datetime] = system_clock,
    look: bool = True,
) -> Session:
    """The session at this logbook (default: the one in the data folder) with its setter in use.

    `setter` names another person than the logbook's default, by name or id. A logbook that does not
    exist yet is not made here, and with `look` False none is opened. Raises LogbookUnusable, and
    Refused for an unknown setter.
    """
    try:
        path = logbook_path(place)
        refuse_odd_place(path)
    except LogbookError as error:
        raise LogbookUnusable(str(error), error.cause) from error
    session = Session(path=path, clock=clock, zone=get_localzone())
    if not look:
        return session
    if not session.path.exists():
        if setter is not None:
            raise Refused(f"setter: read {setter!r}, but there is no logbook yet at {session.path}")
        return session
    with opened(session) as book:
        return with_setter_of(session, book, setter)


def clock_from(moment: datetime) -> Callable[[], datetime]:
    """A clock that starts at this moment and goes on as the real one does."""
    started = system_clock()
    return lambda: moment + (system_clock() - started)


def invented_clock(book: Logbook, evening: str) -> Callable[[], datetime]:
    """The clock of an invented logbook: its own evening, or where its last change left off.

    The app and every command after it are on the same evening, one after the other.
    """
    begins = datetime.fromisoformat(evening)
    last = book.ask(last_changed)
    return clock_from(begins if last is None else max(begins, last))


def with_setter_of(session: Session, book: Logbook, wanted: str | None = None) -> Session:
    """The session with the setter in use of this logbook, or the one wanted."""
    evening = book.ask(defaults.default, INVENTED)
    if evening is not None:
        clock = session.clock
        # A logbook of an older program says only that it is invented.
        if clock is system_clock and evening != YES:
            clock = invented_clock(book, evening)
        session = Session(session.path, clock, session.zone, invented=True)
    if wanted is not None:
        setter: Setter | None = find_setter(book.ask(setter_records.setters), wanted)
    else:
        teacher = teacher_with_id(
            book.ask(class_records.teachers), book.ask(defaults.default, defaults.TEACHING)
        )
        if teacher is not None:
            return session.for_teacher(teacher.teacher_id or "", teacher.name)
        setter = book.ask(
            setter_records.setter_with_id, book.ask(defaults.default, defaults.IN_USE)
        )
    return session if setter is None else session.for_setter(setter.setter_id or "", setter.name)


def put_in_use(
    book: Logbook, *, setter_id: str | None = None, teacher_id: str | None = None
) -> None:
    """One person is in use in this logbook from now on, as setter or as teacher; or nobody."""
    book.tell(defaults.set_default, defaults.IN_USE, setter_id)
    book.tell(defaults.set_default, defaults.TEACHING, teacher_id)


@contextmanager
def opened(session: Session, *, make: bool = True, rehearsal: bool = False) -> Iterator[Logbook]:
    """The session's logbook, open for one use case in this thread, and closed after it.

    One that is not there yet is made, unless `make` is False. For a `rehearsal`, which stores
    nothing, it is made in a folder that goes away afterwards.
    """
    try:
        with contextlib.ExitStack() as stack:
            path = session.path
            if rehearsal and not path.exists():
                path = Path(stack.enter_context(TemporaryDirectory())) / path.name
            yield stack.enter_context(open_logbook(path, create=make))
    except LogbookError as error:
        raise LogbookUnusable(str(error), error.cause) from error


def with_id(setters: Iterable[Setter], setter_id: str | None) -> Setter | None:
    """The setter of this id, or None."""
    return next((s for s in setters if s.setter_id == setter_id), None)


def nobody_in_use(path: Path) -> Refused:
    """The refusal where nobody is in use; a logbook that is not there, as by a slip, is named."""
    missing = "" if path.exists() else f" There is no logbook yet at {path}."
    return Refused(f"{NOBODY_IN_USE}{missing}")


def setter_in_use(session: Session, book: Logbook) -> Setter:
    """The session's setter; Refused, with what to do, where there is none."""
    setter = book.ask(setter_records.setter_with_id, session.setter_id)
    if setter is None and session.teacher_id is not None:
        raise Refused(TEACHES.format(name=session.author))
    if setter is None:
        raise nobody_in_use(session.path)
    return setter


def teacher_with_id(teachers: Iterable[Teacher], teacher_id: str | None) -> Teacher | None:
    """The teacher of this id, or None."""
    return next((t for t in teachers if t.teacher_id == teacher_id), None)


def signer_of(session: Session, book: Logbook, by: str = "") -> str:
    """What a look or a sign-off is signed with: an id where the logbook knows who, else a name.

    `by` names somebody else than the one in use, a teacher before a setter of that name.
    """
    if not by:
        return session.signs_as
    teachers = named(book.ask(class_records.teachers), by)
    if len(teachers) == 1:
        return teachers[0].teacher_id or by
    return by


def own_entry_of(book: Logbook, signer: str) -> str:
    """The id of the signer's own entry as a setter: their teacher's entry says which."""
    teacher = teacher_with_id(book.ask(class_records.teachers), signer)
    return signer if teacher is None else teacher.setter_id or signer


ID_END = 8
"""How many letters from the end of a setter's id stand for it in a command, to fit on one line."""


def find_setter(setters: Iterable[Setter], wanted: str) -> Setter:
    """The only setter with this id or name, or whose id ends so; Refused for none and for several.

    The end of an id counts from as many letters as are shown of one.
    """
    known = tuple(setters)
    by_id = [s for s in known if s.setter_id == wanted]
    fitting = by_id or list(named(known, wanted))
    if not fitting and len(wanted) >= ID_END:
        fitting = [s for s in known if (s.setter_id or "").endswith(wanted)]
    if len(fitting) == 1:
        return fitting[0]
    if not fitting:
        raise Refused(
            f"setter: read {wanted!r}, {expected_of(wanted, sorted(s.name for s in known))}"
        )
    raise Refused(f"setter: read {wanted!r}, which is {same_name(fitting)}. Say which by id.")


def expected_of(wanted: str, names: Iterable[str], nobody: str = "nobody yet") -> str:
    """What was expected in place of a name that nobody bears, those near it first."""
    known = list(dict.fromkeys(names))
    keys: dict[str, str] = {}
    for name in known:
        for part in (name, *name.split()):
            keys.setdefault(name_key(part), name)
    near = difflib.get_close_matches(name_key(wanted), list(keys), 3, 0.6)
    meant = " or ".join(dict.fromkeys(keys[key] for key in near))
    shown = ", ".join(known[:12]) or nobody
    more = f" and {len(known) - 12} more" if len(known) > 12 else ""
    asked = f". Did you mean {meant}?" if meant else ""
    return f"expected one of: {shown}{more}{asked}"


def same_name(setters: Iterable[Setter]) -> str:
    """Several people of one name, told apart by group and id."""
    return "; ".join(
        f"{s.name}{f' of {s.group}' if s.group else ''} ({s.setter_id})" for s in setters
    )


def signers(book: Logbook) -> dict[str, str]:
    """Everyone who may have looked or signed, setters and teachers: their names by id."""
    names = {s.setter_id or "": s.name for s in book.ask(setter_records.setters)}
    return names | {t.teacher_id or "": t.name for t in book.ask(class_records.teachers)}


def signed_name(known: Mapping[str, str], signature: str) -> str:
    """Who looked or signed, by name; "an instructor" for one whom the logbook does not know."""
    if signature in known:
        return known[signature]
    return SOMEONE if signature in {"", NOBODY} or _AN_ID.fullmatch(signature) else signature


def sign_offs_of(book: Logbook, setter_id: str) -> tuple[SignOff, ...]:
    """What was signed off for a setter, with who signed by name."""
    sign_offs = book.ask(setter_records.sign_offs, setter_id)
    known = signers(book) if sign_offs else {}
    return tuple(
        sign_off.model_copy(update={"signed_by": signed_name(known, sign_off.signed_by)})
        for sign_off in sign_offs
    )
