"""This term beside the ones before, after as many weeks of each."""

from collections.abc import Iterator
from datetime import date, timedelta

from platebook.analysis.classes.terms import PersonsTerm, TermSoFar, in_term, term_so_far
from platebook.logbook import Logbook, setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.practice.records import ClassTerm
from platebook.practice.text import in_a_command
from platebook.services.classes.enrolment import Details, change_class, typed_day
from platebook.services.classes.terms import Roll, find_term, roll_of
from platebook.services.courses.followed import course_of
from platebook.services.people.at_the_bench import class_meant
from platebook.services.session import Refused, Session, opened, today_at
from platebook.trade.phrases import count_of, full_day, share_with_band
from platebook.values import Value

SMALL = 20
"""Fewer settings than this in a term say next to nothing, and that is said (judgement)."""


PARTS = ("good", "of", "passed")


class ComparedTerm(Value):
    """One term after the weeks of the comparison."""

    class_id: str
    name: str
    begins: date
    ends: date | None
    so_far: TermSoFar

    @property
    def figures(self) -> str:
        """In words: "61 in 100 good (may be 52 to 69), 141 settings of ...; 2.0 passed a head"."""
        so_far = self.so_far
        people = count_of(so_far.people, "person", "people")
        if so_far.share is None or so_far.low is None or so_far.high is None:
            return f"{people}, nothing judged"
        settings = f"{count_of(so_far.of, 'setting')} of {so_far.practised} of {people}"
        share = f"{share_with_band(so_far.share, so_far.low, so_far.high, 'good')}, {settings}"
        heads = f"{so_far.passed_a_head or 0:.1f} passed a head"
        if so_far.passed_low is not None and so_far.passed_high is not None:
            heads += f" (may be {so_far.passed_low:.1f} to {so_far.passed_high:.1f})"
        few = f"; fewer than {SMALL} settings say little" if so_far.of < SMALL else ""
        return f"{share}; {heads}{few}"


class Comparison(Value):
    """A class after so many weeks, this term first, then the ones before, the latest first."""

    name: str
    weeks: int
    terms: tuple[ComparedTerm, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """In words: after how many weeks, and a line a term."""
        head = f"{self.name} after {count_of(self.weeks, 'week')}:"
        lines = []
        for place, term in enumerate(self.terms):
            which = ("This term", "The term before")[place] if place < 2 else "Earlier"
            lines.append(f"{which} (from {full_day(term.begins)}): {term.figures}.")
        if len(self.terms) < 2:
            lines.append("There is no earlier term of this name to lay beside it.")
        return (head, *lines)


def compare_terms(
    session: Session, wanted: str | None = None, other: str | None = None, weeks: int | None = None
) -> Comparison:
    """A class beside its earlier terms, or beside `other`, after the weeks that it has run.

    `wanted` is a class; without it the one in view, or the only one that runs. `weeks` asks for
    another stretch. Refused where a class has no first day.
    """
    with opened(session, make=False) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        term = class_meant(book, roll, wanted, today)
        begins = _begins(term)
        if weeks is not None and weeks < 1:
            raise Refused(f"weeks: read {weeks}, expected 1 or more")
        ran = min(term.ends or today, today)
        stretch = weeks or max(1, ((ran - begins).days + 1) // 7)
        if other is not None:
            others = [find_term(roll, other, today)]
        else:
            others = [
                t for t in roll.terms_named(term.name) if t.begins is not None and t.begins < begins
            ][::-1]
        compared = tuple(_after(book, roll, each, stretch, today) for each in (term, *others))
    return Comparison(term.name, stretch, compared)


class NoFirstDay(Refused):
    """The class called `name` has no first day, so that its weeks cannot be counted."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} has no first day, so its weeks cannot be counted; say it with "
            f"platebook class edit {in_a_command(name)} --begins DAY"
        )
        self.name = name


def begin_class(session: Session, typed: str) -> str:
    """The class in view, or the only one that runs, begins on the day typed; undo takes it back."""
    day = typed_day("first day", typed)
    if day is None:
        raise Refused("first day: read nothing, expected a day such as 2026-01-08")
    with opened(session, make=False) as book:
        today = today_at(session)
        term = class_meant(book, roll_of(book, today), None, today)
    return change_class(session, term.class_id or term.name, Details(begins=day)).sentence


def _begins(term: ClassTerm) -> date:
    if term.begins is None:
        raise NoFirstDay(term.name)
    return term.begins


def _after(book: Logbook, roll: Roll, term: ClassTerm, weeks: int, today: date) -> ComparedTerm:
    begins = _begins(term)
    last = min(begins + timedelta(days=7 * weeks - 1), term.ends or date.max, today)
    people = tuple(_each(book, roll, term, begins, last))
    return ComparedTerm(term.class_id or "", term.name, begins, term.ends, term_so_far(people))


def _each(
    book: Logbook, roll: Roll, term: ClassTerm, begins: date, last: date
) -> Iterator[PersonsTerm]:
    """What each did while in the class; who only came after the stretch is left out."""
    days: dict[str, list[tuple[date, date]]] = {}
    for stay in roll.stays_of(term):
        came, left = max(stay.joined or begins, begins), min(stay.left or last, last)
        if came <= left:
            days.setdefault(stay.setter_id, []).append((came, left))
    for setter_id, stretches in days.items():
        course = course_of(book, roll.people[setter_id])
        attempts = book.ask(select_attempts, Wanted(setter_id=setter_id))
        signed = book.ask(setter_records.sign_offs, setter_id)
        done = [in_term(course, attempts, signed, came, left) for came, left in stretches]
        yield PersonsTerm(*(sum(getattr(each, part) for each in done) for part in PARTS))
