"""A word to one student or to a class: it travels as a look does, and undo takes it back."""

from platebook.logbook import Logbook, class_records, setter_records
from platebook.practice.records import ClassTerm, Message
from platebook.practice.text import clean
from platebook.services.classes.terms import Roll, find_term, roll_of
from platebook.services.session import Refused, Session, find_setter, opened, signer_of, today_at
from platebook.values import Value

SENTENCE = "Written to {whom}; it reaches them with the next share, and undo takes it back."


class Written(Value):
    """A message that was recorded, and what was done in a sentence."""

    message: Message
    to: str
    sentence: str


def write_to(
    session: Session, text: str, *, setter: str = "", whole_class: str = "", by: str = ""
) -> Written:
    """Write to one student (name or id), or to everyone in a class (name or id).

    Refused where it is to nobody or to both, where there are no words, and where they are to the
    one who writes.
    """
    words = clean(text)
    if not words:
        raise Refused("text: read nothing, expected the words of the message")
    if bool(setter) == bool(whole_class):
        raise Refused("to: expected one student, or one class")
    with opened(session, make=False) as book:
        author = signer_of(session, book, clean(by))
        now = session.clock().astimezone(session.zone)
        if setter:
            person = find_setter(book.ask(setter_records.setters), setter)
            if person.setter_id == author:
                raise Refused("to: a message is to somebody else")
            message = Message(author=author, setter_id=person.setter_id, text=words, written=now)
            to, whom = person.name, person.name
        else:
            roll = roll_of(book, today_at(session))
            term = find_term(roll, whole_class, today_at(session))
            _make_it_a_record(session, book, roll, term)
            message = Message(author=author, class_id=term.class_id, text=words, written=now)
            to, whom = term.name, f"everyone in {term.name}"
        kept = book.tell(class_records.add_message, message, session.stamp(book, "message"))
    return Written(kept, to, SENTENCE.format(whom=whom))


def _make_it_a_record(session: Session, book: Logbook, roll: Roll, term: ClassTerm) -> None:
    """A class that only groups speak of becomes a record with its members, to be written to."""
    if term.class_id in roll.recorded:
        return
    book.tell(
        class_records.enrol,
        [stay for stay in roll.stays_of(term) if stay.membership_id is None],
        session.stamp(book, "class"),
        classes=[term],
    )
