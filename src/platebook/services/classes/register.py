"""The register of a class in a logbook: its people, and the days on which they logged something."""

from datetime import date

from platebook.analysis.classes.register import Enrolled, Register, register_of
from platebook.logbook import Logbook
from platebook.logbook.attempts.attempt_queries import days_practised
from platebook.practice.records import ClassTerm
from platebook.services.classes.terms import Roll, roll_of, term_in_words
from platebook.services.people.at_the_bench import class_meant
from platebook.services.session import Session, opened, today_at
from platebook.values import Value

EVERYONE = "Everyone"
"""What the register is of where the logbook has no class."""


class ClassRegister(Value):
    """The register of one class, with its id (None for everyone) and what it is called."""

    class_id: str | None
    called: str
    register: Register


def class_register(session: Session, wanted: str | None = None) -> ClassRegister:
    """Who came on each evening of a class so far, in the order they were added to the logbook.

    `wanted` is its name or id; without it the one in view, or the only one that runs, or everyone
    in a logbook without classes. A day is that of the place where the attempt was made. Refused as
    by `class_meant`.
    """
    with opened(session, make=False) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        if wanted is None and not roll.terms:
            return ClassRegister(None, EVERYONE, register_of_everyone(book, roll, today))
        term = class_meant(book, roll, wanted, today)
        return ClassRegister(
            term.class_id,
            term_in_words(roll, term, today),
            register_of_term(book, roll, term, today),
        )


def register_of_term(book: Logbook, roll: Roll, term: ClassTerm, today: date) -> Register:
    """The register of one class of the roll up to today."""
    stays: dict[str, list[tuple[date | None, date | None]]] = {}
    for stay in roll.stays_of(term):
        stays.setdefault(stay.setter_id, []).append((stay.joined, stay.left))
    last = min(term.ends or today, today)
    return register_of(_people(book, roll, stays), term.begins, last, term.evening)


def registers(
    book: Logbook, roll: Roll, term: ClassTerm | None, today: date
) -> tuple[Register, ...]:
    """The registers that say who came: of one class, or of every class that runs today (None).

    A logbook without any class is one class. Who is in two classes stands in both.
    """
    if term is None and not roll.terms:
        return (register_of_everyone(book, roll, today),)
    running = {t.class_id: t for there in roll.classes_on(today).values() for t in there}
    meant = running.values() if term is None else (term,)
    return tuple(register_of_term(book, roll, each, today) for each in meant)


def register_of_everyone(book: Logbook, roll: Roll, today: date) -> Register:
    """The register of all people of the roll, as if they were one class."""
    always: list[tuple[date | None, date | None]] = [(None, None)]
    return register_of(_people(book, roll, dict.fromkeys(roll.people, always)), last=today)


def _people(
    book: Logbook, roll: Roll, stays: dict[str, list[tuple[date | None, date | None]]]
) -> tuple[Enrolled, ...]:
    days = book.ask(days_practised, tuple(stays))
    return tuple(
        Enrolled(
            setter_id=setter_id,
            name=person.name,
            stays=tuple(stays[setter_id]),
            days=days.get(setter_id, frozenset()),
            active=person.active,
        )
        for setter_id, person in roll.people.items()
        if setter_id in stays
    )
