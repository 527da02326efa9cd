"""What others said of a setter's work: looks, sign-offs and messages, and what of it is new.

| function | gives |
|---|---|
| `news` | what came since the setter last read it, in a sentence |
| `from_others` | all of it, or what is new, with the setter's own result beside each look |
| `read_news`, `said_of` | what is new, and what was seen of one attempt; it is read then |
| `mark_read` | from now on this is not new any more |
| `unite_read` | one entry has read what another of the same person had read |
| `unite_read_of_merged` | the same of every two entries that were made one, here or elsewhere |

What was read is kept with the logbook's defaults, for each setter: it is no change of the record,
does not travel, and goes with them when they are erased. Something that was taken back since is
told no more.
"""

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from platebook.logbook import Logbook, class_records, defaults, setter_records
from platebook.logbook.attempts.attempt_queries import attempt_by_id, attempts_by_id
from platebook.practice.attempt import Attempt
from platebook.practice.people.received import Received, SeenLook, Word
from platebook.practice.records import Inspection, Message, Setter, SignOff
from platebook.services.courses.followed import course_of
from platebook.services.session import Session, opened, sign_offs_of, signed_name, signers

READ = "read"


def news(session: Session) -> str:
    """What came since the setter in use last read it, in a sentence; empty for nothing."""
    if session.setter_id is None or not session.path.exists():
        return ""
    with opened(session, make=False) as book:
        read, known = read_ids(book, session.setter_id), signers(book)
        looks = [i for i in _looks(book, session.setter_id, known) if i.inspection_id not in read]
        messages = [
            m for m in _messages(book, session.setter_id, known) if m.message_id not in read
        ]
        signed = [s for s in sign_offs_of(book, session.setter_id) if s.sign_off_id not in read]
    parts = [
        *_looks_in_words(looks, [signed_name(known, i.inspector) for i in looks]),
        *_counted([signed_name(known, m.author) for m in messages], "message"),
        *_counted([s.signed_by for s in signed], "sign-off"),
    ]
    what = "it" if len(looks) + len(messages) + len(signed) == 1 else "them"
    return f"{'; '.join(parts)}: l opens {what}" if parts else ""


def _looks_in_words(looks: Sequence[Inspection], names: Sequence[str]) -> list[str]:
    """By whom and how many: "Edda looked at 4 of yours, one with a comment"."""
    parts = []
    for name, count in Counter(names).items():
        texts = [i.comment for i, by in zip(looks, names, strict=True) if by == name and i.comment]
        said = f", {_number(len(texts))} with a comment" if texts else ""
        if count == 1 and texts:
            said = ", with a comment"
        parts.append(f"{name} looked at {_number(count)} of yours{said}")
    return parts


def _counted(names: Iterable[str], what: str) -> list[str]:
    return [
        f"a {what} from {name}" if count == 1 else f"{count} {what}s from {name}"
        for name, count in Counter(names).items()
    ]


def _number(count: int) -> str:
    return "one" if count == 1 else str(count)


def from_others(session: Session, *, only_new: bool = False) -> Received:
    """What others said of the setter in use, all of it or what is new.

    Nothing for a session without a setter.
    """
    if session.setter_id is None or not session.path.exists():
        return Received()
    with opened(session, make=False) as book:
        setter = book.ask(setter_records.setter_with_id, session.setter_id)
        return _said_to(session, book, setter, only_new=only_new, attempt_id=None)


def said_of(session: Session, attempt_id: str) -> Received:
    """What others saw of one attempt, whosever it is; its setter has read it then."""
    with opened(session, make=False) as book:
        attempt = book.ask(attempt_by_id, attempt_id)
        whose = attempt.setter_id if attempt is not None else None
        setter = book.ask(setter_records.setter_with_id, whose)
        received = _said_to(session, book, setter, only_new=False, attempt_id=attempt_id)
    if whose == session.setter_id:
        mark_read(session, received.ids)
    return received


def read_news(session: Session) -> Received:
    """What is new to the setter in use, who has read it then; all of it where nothing is new."""
    received = from_others(session, only_new=True)
    mark_read(session, received.ids)
    return received if received.ids else from_others(session)


def _said_to(
    session: Session,
    book: Logbook,
    setter: Setter | None,
    *,
    only_new: bool,
    attempt_id: str | None,
) -> Received:
    if setter is None or setter.setter_id is None:
        return Received()
    read, known = read_ids(book, setter.setter_id), signers(book)
    looks = [
        look
        for look in _looks(book, setter.setter_id, known)
        if attempt_id in {None, look.attempt_id} and not (only_new and look.inspection_id in read)
    ]
    attempts = {a.attempt_id: a for a in book.ask(attempts_by_id, {i.attempt_id for i in looks})}
    titles = {grade.id: grade.title for grade in course_of(book, setter).grades}
    seen = [
        _seen(
            session,
            look,
            attempts[look.attempt_id],
            signed_name(known, look.inspector),
            titles,
            new=look.inspection_id not in read,
        )
        for look in looks
        if look.attempt_id in attempts
    ]
    words: list[Word] = []
    if attempt_id is None:
        classes = {t.class_id: t.name for t in book.ask(class_records.class_terms)}
        words = [
            *(
                _message(session, m, signed_name(known, m.author), classes, read)
                for m in _messages(book, setter.setter_id, known)
            ),
            *(_sign_off(session, s, titles, read) for s in sign_offs_of(book, setter.setter_id)),
        ]
    kept = [word for word in words if word.new or not only_new]
    return Received(tuple(reversed(seen)), tuple(sorted(kept, key=_newest_first, reverse=True)))


def _newest_first(word: Word) -> tuple[str, str]:
    return word.written, word.word_id


def _looks(book: Logbook, setter_id: str, known: dict[str, str]) -> list[Inspection]:
    """The looks by others, in the order recorded; a setter's own second look is their own."""
    mine = {setter_id, known.get(setter_id, "")}
    return [i for i in book.ask(setter_records.inspections, setter_id) if i.inspector not in mine]


def _messages(book: Logbook, setter_id: str, known: dict[str, str]) -> list[Message]:
    """What was written to the setter or their classes by others."""
    mine = {setter_id, known.get(setter_id, "")}
    return [m for m in book.ask(class_records.messages, setter_id) if m.author not in mine]


def _seen(
    session: Session,
    look: Inspection,
    attempt: Attempt,
    by: str,
    titles: Mapping[str, str],
    *,
    new: bool,
) -> SeenLook:
    return SeenLook(
        inspection_id=look.inspection_id or "",
        attempt_id=look.attempt_id,
        by=by,
        looked=_day(session, look.looked),
        grade=attempt.grade or "",
        grade_title=titles.get(attempt.grade or "", ""),
        plate=attempt.plate or "",
        position=attempt.position or "",
        own_result=attempt.result or (),
        own_severity=attempt.severity or (),
        result=look.result or (),
        severity=look.severity or (),
        clock=look.clock,
        comment=look.comment,
        new=new,
    )


def _message(
    session: Session,
    message: Message,
    by: str,
    classes: dict[str | None, str],
    read: frozenset[str],
) -> Word:
    return Word(
        word_id=message.message_id or "",
        kind="message",
        by=by,
        written=_day(session, message.written),
        to=classes.get(message.class_id, "") if message.class_id else "",
        text=message.text,
        new=message.message_id not in read,
    )


def _sign_off(
    session: Session, signed: SignOff, titles: dict[str, str], read: frozenset[str]
) -> Word:
    said = f": {signed.comment}" if signed.comment else ""
    return Word(
        word_id=signed.sign_off_id or "",
        kind="sign-off",
        by=signed.signed_by,
        written=_day(session, signed.signed),
        to="",
        text=f"{titles.get(signed.grade, signed.grade)} is signed off{said}",
        new=signed.sign_off_id not in read,
    )


def _day(session: Session, moment: datetime | None) -> str:
    return "" if moment is None else f"{moment.astimezone(session.zone):%Y-%m-%d}"


def read_ids(book: Logbook, setter_id: str) -> frozenset[str]:
    """The ids of looks, sign-offs and messages that this setter has read."""
    kept = book.ask(defaults.default, defaults.own_name(READ, setter_id))
    return frozenset(json.loads(kept or "[]"))


def mark_read(session: Session, ids: Iterable[str]) -> None:
    """Remember that the setter in use has read these; nothing in a logbook not to be written."""
    if session.setter_id is None or not session.path.exists():
        return
    with opened(session, make=False) as book:
        read = read_ids(book, session.setter_id)
        both = read | set(ids)
        if both != read and not book.read_only:
            name = defaults.own_name(READ, session.setter_id)
            book.tell(defaults.set_default, name, json.dumps(sorted(both)))


def unite_read(book: Logbook, keep: str, gone: str) -> None:
    """Two entries are one person: what either had read is not new to the one that is kept."""
    kept = read_ids(book, keep)
    both = kept | read_ids(book, gone)
    if both != kept:
        book.tell(defaults.set_default, defaults.own_name(READ, keep), json.dumps(sorted(both)))


def unite_read_of_merged(book: Logbook) -> None:
    """Whoever was two entries until a bundle brought the merge has read what either had."""
    for gone, keep, _ in book.ask(defaults.merged_entries):
        unite_read(book, keep, gone)
