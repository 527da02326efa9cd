"""People who may be in the logbook twice: told apart by class, attempts and days, and united.

Names that are the same, one letter off, in another order or sounding alike
(`practice.people.names`) ask whether it is one person. No two are made one without being told to.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from datetime import date
from typing import Generic, TypeVar

from platebook.logbook import Logbook, class_records, setter_records
from platebook.logbook.attempts.attempt_queries import attempt_counts, days_practised
from platebook.practice.people.names import may_be_one
from platebook.practice.records import name_key
from platebook.services.classes.terms import home_groups, roll_of
from platebook.services.people.setters import merge_setters
from platebook.services.people.teachers import merge_teachers
from platebook.services.session import ID_END, Session, opened, same_name, today_at
from platebook.trade.phrases import count_of, stretch_words
from platebook.values import Value


class Known(Value):
    """One person as far as telling them from another goes.

    `first` and `last` are the days of their first and last attempt, each where it was made; None
    without any.
    """

    setter_id: str
    name: str
    group: str
    attempts: int
    first: date | None = None
    last: date | None = None

    @property
    def sentence(self) -> str:
        """The person in words: "Ada Quill (Thursday, 57 attempts, 8 January to 3 March 2026)"."""
        days = ""
        if self.first is not None and self.last is not None:
            days = stretch_words(self.first, self.last)
        about = (self.group, count_of(self.attempts, "attempt"), days)
        return f"{self.name} ({', '.join(part for part in about if part)})"


class KnownTeacher(Value):
    """One teacher as far as telling them from another goes: classes by name, how much is signed."""

    teacher_id: str
    name: str
    classes: tuple[str, ...]
    signed: int

    @property
    def sentence(self) -> str:
        """The teacher in words: "Isolde Crane (teaches Thursday, signed 12 times)"."""
        teaches = f"teaches {', '.join(self.classes)}" if self.classes else "teaches no class"
        return f"{self.name} ({teaches}, signed {count_of(self.signed, 'time')})"


Person = TypeVar("Person", Known, KnownTeacher)


class Pair(Value, Generic[Person]):
    """Two entries that may be one person's: `keep` is the one to go on with.

    Of two setters that is who is in a class, as the teacher knows them; of two alike, and of two
    teachers, who has more to it; else who was added first.
    """

    keep: Person
    gone: Person


def known_people(book: Logbook, today: date) -> tuple[Known, ...]:
    """Everyone in the logbook, in the order added."""
    roll = roll_of(book, today)
    groups, counts = home_groups(roll, today), book.ask(attempt_counts)
    days = book.ask(days_practised, roll.people)
    return tuple(
        Known(
            setter_id=setter_id,
            name=setter.name,
            group=groups[setter_id],
            attempts=counts.get(setter_id, 0),
            first=min(days.get(setter_id, ()), default=None),
            last=max(days.get(setter_id, ()), default=None),
        )
        for setter_id, setter in roll.people.items()
    )


def pairs_among(people: Iterable[Known]) -> tuple[Pair[Known], ...]:
    """Every two of these who may be one person."""
    return _pairs(people, lambda known: (bool(known.group), known.attempts))


def _pairs(
    people: Iterable[Person], much: Callable[[Person], int | tuple[bool, int]]
) -> tuple[Pair[Person], ...]:
    everyone = tuple(people)
    return tuple(
        Pair(*sorted((one, other), key=much, reverse=True))
        for place, one in enumerate(everyone)
        for other in everyone[place + 1 :]
        if may_be_one(one.name, other.name)
    )


def doubles(session: Session) -> tuple[Pair[Known], ...]:
    """Every two people of the logbook who may be one person."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        return pairs_among(known_people(book, today_at(session)))


def teacher_doubles(session: Session) -> tuple[Pair[KnownTeacher], ...]:
    """Every two who teach and may be one person."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        known = book.ask(class_records.teachers)
        terms = book.ask(class_records.class_terms)
        people = [
            KnownTeacher(
                teacher_id=each.teacher_id or "",
                name=each.name,
                classes=tuple(
                    dict.fromkeys(t.name for t in terms if each.teacher_id in t.teachers)
                ),
                signed=sum(book.ask(class_records.signatures, each.teacher_id or "").values()),
            )
            for each in known
        ]
    return _pairs(people, lambda known: known.signed)


def unite_teachers(session: Session, pair: Pair[KnownTeacher]) -> str:
    """Make two entries of one teacher one, and say so; undo parts them."""
    return merge_teachers(session, pair.keep.teacher_id, pair.gone.teacher_id).sentence


def unite(session: Session, pair: Pair[Known]) -> str:
    """Make two entries one, and say so with what came together; undo parts them."""
    merge_setters(session, pair.keep.setter_id, pair.gone.setter_id)
    together = count_of(pair.keep.attempts + pair.gone.attempts, "attempt")
    who = f"{pair.gone.name} and {pair.keep.name}"
    if pair.gone.name == pair.keep.name:
        who = f"The two entries of {pair.keep.name}"
    return f"{who} are one now, with {together}; undo parts them."


def merge_command(keep: str, gone: str, group: str = "setter") -> str:
    """The command that makes two entries, by their ids, one person's: short enough for one line.

    `group` is `teacher` for two who teach.
    """
    return f"platebook {group} merge {keep[-ID_END:]} {gone[-ID_END:]}"


def names_borne(book: Logbook) -> Counter[str]:
    """By how many people each name is borne, whatever its case."""
    return Counter(name_key(setter.name) for setter in book.ask(setter_records.setters))


def two_of_a_name(book: Logbook, before: Counter[str]) -> tuple[str, ...]:
    """A sentence for each name that more people bear than `before`, with the way to unite them."""
    people = book.ask(setter_records.setters)
    sentences = []
    for key, count in names_borne(book).items():
        if count > 1 and count > before[key]:
            alike = [setter for setter in people if name_key(setter.name) == key]
            command = merge_command(alike[0].setter_id or "", alike[1].setter_id or "")
            sentences.append(
                f"The name stands for {count} people: {same_name(alike)}. If they are one person: "
                f"{command}"
            )
    return tuple(sentences)
