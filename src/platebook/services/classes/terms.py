"""Classes and their terms: which there are, who is in them on a day, and naming one.

What setters' entries say of a group counts as well: a group that no class bears the name of is a
class without dates, and somebody who is in a group and never was in a class of that name is in it.
So a logbook that only knows groups has classes, and nothing is written before somebody changes one.
"""

import uuid
from collections.abc import Iterable, Mapping
from datetime import date

from platebook.logbook import Logbook, class_records, setter_records
from platebook.practice.records import ClassTerm, Membership, Setter, name_key
from platebook.practice.text import clean
from platebook.services.session import Refused, expected_of
from platebook.trade.phrases import full_day, stretch_words
from platebook.values import Value

_GROUPS = uuid.UUID("4f6b7b6e-6a2c-5f4d-9b0e-0d6f2c1c7a55")
"""The namespace of ids of classes that only groups speak of (RFC 9562, section 5.5): the same name
gets the same id in every logbook, so that they are one class when logbooks meet."""


IN_VIEW = "class in view"
"""The default that names the class in view by its id."""


class Roll(Value):
    """Every class, and who is or was in which; what follows from groups has no membership id.

    `people` are all setters by id, `recorded` the ids of classes that are records of their own.
    """

    terms: tuple[ClassTerm, ...]
    stays: tuple[Membership, ...]
    people: Mapping[str, Setter]
    recorded: frozenset[str]

    def members_on(self, term: ClassTerm, day: date) -> tuple[Setter, ...]:
        """Who is in a class on a day, in the order they were added to the logbook."""
        there = {s.setter_id for s in self.stays_of(term) if s.holds_on(day)}
        return tuple(person for setter_id, person in self.people.items() if setter_id in there)

    def ever_in(self, term: ClassTerm) -> tuple[Setter, ...]:
        """Whoever is or was in a class, on whichever day."""
        there = {s.setter_id for s in self.stays_of(term)}
        return tuple(person for setter_id, person in self.people.items() if setter_id in there)

    def stays_of(self, term: ClassTerm) -> tuple[Membership, ...]:
        """The stays in one class, of people who are in the logbook."""
        return tuple(
            stay
            for stay in self.stays
            if stay.class_id == term.class_id and stay.setter_id in self.people
        )

    def classes_on(self, day: date) -> Mapping[str, tuple[ClassTerm, ...]]:
        """The classes that each setter is in on a day, by the setter's id."""
        running = {term.class_id: term for term in self.terms if term.runs_on(day)}
        found: dict[str, tuple[ClassTerm, ...]] = {}
        for stay in self.stays:
            term, so_far = running.get(stay.class_id), found.get(stay.setter_id, ())
            if term is not None and stay.holds_on(day) and term not in so_far:
                found[stay.setter_id] = (*so_far, term)
        return found

    def left_by(self, day: date) -> Mapping[str, str]:
        """Who has left the classes they were in by this day, with what the last one is called.

        By setter id. Whoever stayed to the end of a term has left only once a later term of that
        class is there: before, it is a pause. Who was in none has left none.
        """
        terms = {term.class_id: term for term in self.terms}
        stays = [(stay, terms[stay.class_id]) for stay in self.stays if stay.class_id in terms]
        ended: dict[str, tuple[date, str]] = {}
        for stay, term in stays:
            over = min(stay.left or date.max, term.ends or date.max)
            later = self.terms_named(term.name)[-1] != term
            gone = over < day and (later or term.ends is None or over < term.ends)
            last = (over, term.name) if gone else (date.max, "")
            ended[stay.setter_id] = max(ended.get(stay.setter_id, last), last)
        return {setter_id: name for setter_id, (_, name) in ended.items() if name}

    def mates_of(self, setter_id: str) -> tuple[str, ...]:
        """Who is or was in a class with a setter; of somebody in none, who is in none either."""
        classes = {stay.class_id for stay in self.stays if stay.setter_id == setter_id}
        with_them = {stay.setter_id for stay in self.stays if stay.class_id in classes}
        placed = {stay.setter_id for stay in self.stays}
        return tuple(
            other
            for other in self.people
            if other != setter_id and (other in with_them if classes else other not in placed)
        )

    def terms_named(self, name: str) -> tuple[ClassTerm, ...]:
        """The terms of the class of this name, the earliest first; one without dates before all."""
        of_name = (t for t in self.terms if name_key(t.name) == name_key(name))
        return tuple(sorted(of_name, key=lambda t: t.begins or date.min))


def roll_of(book: Logbook, today: date = date.max) -> Roll:
    """Every class of a logbook; where a group has several terms, its people are in today's.

    Without a day they are in the last one.
    """
    setters = book.ask(setter_records.setters)
    recorded = book.ask(class_records.class_terms)
    stays = book.ask(class_records.memberships)
    names = {term.class_id: name_key(term.name) for term in recorded}
    been = {(stay.setter_id, names.get(stay.class_id, "")) for stay in stays}
    terms = list(recorded)
    implied: list[Membership] = []
    for setter in setters:
        key, setter_id = name_key(setter.group), setter.setter_id or ""
        if not key or (setter_id, key) in been:
            continue
        of_name = [term for term in terms if name_key(term.name) == key]
        if not of_name:
            of_name = [ClassTerm(class_id=str(uuid.uuid5(_GROUPS, key)), name=setter.group)]
            terms += of_name
        term = _of_the_day(of_name, today)
        implied.append(Membership(class_id=term.class_id or "", setter_id=setter_id))
    return Roll(
        terms=tuple(terms),
        stays=(*stays, *implied),
        people={setter.setter_id or "": setter for setter in setters},
        recorded=frozenset(term.class_id or "" for term in recorded),
    )


def _of_the_day(terms: Iterable[ClassTerm], today: date) -> ClassTerm:
    """Of the terms of one class the one that runs, else the one begun last, else the next one."""
    in_order = sorted(terms, key=lambda t: t.begins or date.min)
    running = [term for term in in_order if term.runs_on(today)]
    begun = [term for term in in_order if term.begins is None or term.begins <= today]
    return (running or begun or in_order[:1])[-1]


def find_term(roll: Roll, wanted: str, today: date, *, what: str = "class") -> ClassTerm:
    """The class of this name, or id, in the term of today; Refused, with those there are.

    A name followed by the day a term begins, or by its year and month, means that term.
    """
    by_id = [term for term in roll.terms if term.class_id == wanted]
    if by_id:
        return by_id[0]
    of_name = roll.terms_named(wanted)
    if of_name:
        return _of_the_day(of_name, today)
    name, _, begins = wanted.strip().rpartition(" ")
    dated = [t for t in roll.terms_named(name) if t.begins and str(t.begins).startswith(begins)]
    if len(dated) == 1:
        return dated[0]
    names = dict.fromkeys(term.name for term in roll.terms)
    expected = expected_of(wanted, names, "none yet (platebook class new NAME)")
    raise Refused(f"{what}: read {clean(wanted)!r}, {expected}")


def day_in(term: ClassTerm, today: date) -> date:
    """The day to ask a class about: today while it runs, else its first or last day."""
    if term.begins is not None and today < term.begins:
        return term.begins
    return term.ends if term.ends is not None and term.ends < today else today


def home_groups(roll: Roll, today: date) -> Mapping[str, str]:
    """What each setter's group is called: their class of today, the first of several, or a group.

    By setter id; empty where somebody is in none.
    """
    classes = roll.classes_on(today)
    return {
        setter_id: classes[setter_id][0].name if classes.get(setter_id) else setter.group
        for setter_id, setter in roll.people.items()
    }


def dates_in_words(term: ClassTerm) -> str:
    """From when to when a class runs: "8 January to 26 March 2026"; empty without dates."""
    if term.begins and term.ends:
        return stretch_words(term.begins, term.ends)
    if term.begins:
        return f"from {full_day(term.begins)}"
    return f"until {full_day(term.ends)}" if term.ends else ""


def term_in_words(roll: Roll, term: ClassTerm, today: date) -> str:
    """A class by its name, and by its dates too where the name alone means another term."""
    meant = _of_the_day(roll.terms_named(term.name) or (term,), today)
    dates = dates_in_words(term)
    return f"{term.name}, {dates}" if meant != term and dates else term.name
