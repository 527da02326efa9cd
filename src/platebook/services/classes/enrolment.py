"""Making and changing classes: a new one from a list of names, joining, leaving, ending.

Who is meant by a list of names is read before (`listed_names`); nothing is written while one of
them is still asked about. Everything that one command does is one change.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from platebook.exchange.sheets.days import as_iso
from platebook.logbook import Logbook, class_records, defaults
from platebook.practice.records import ClassTerm, Membership, Setter, Weekday, name_key
from platebook.practice.text import clean, in_a_command
from platebook.services.classes.listed_names import Listed
from platebook.services.classes.terms import (
    IN_VIEW,
    Roll,
    dates_in_words,
    day_in,
    find_term,
    roll_of,
    term_in_words,
)
from platebook.services.courses.followed import refuse_unknown_course
from platebook.services.people.teachers import find_teacher
from platebook.services.session import Refused, Session, expected_of, opened, today_at
from platebook.trade.phrases import count_of, full_day
from platebook.values import Value

FROM_TODAY = "No first day was said, so today is the first. "


class Details(Value):
    """What is said of a class; None stays as it is, or is not said."""

    begins: date | None = None
    ends: date | None = None
    course: str | None = None
    evening: Weekday | None = None
    note: str | None = None
    teachers: tuple[str, ...] = ()


class Enrolled(Value):
    """A class as it is now, who came into it as known and as new, and what was done in words."""

    term: ClassTerm
    members: tuple[Setter, ...]
    new: tuple[Setter, ...]
    sentence: str


def new_class(session: Session, name: str, listed: Listed, details: Details) -> Enrolled:
    """Make a class with the people of a list, the new ones too; undone as one change.

    Where no first day is said it is today, unless the class has ended before. Refused where a class
    of that name runs at the same time, and while a name is asked about.
    """
    cleaned = clean(name)
    if not cleaned:
        raise Refused("name: read nothing, expected the name of the class")
    _refuse_asked(listed)
    with opened(session) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        term = _with_details(session, book, ClassTerm(name=cleaned), details)
        from_today = term.begins is None and (term.ends is None or term.ends >= today)
        if from_today:
            term = term.model_copy(update={"begins": today})
        _refuse_overlap(roll, term)
        people = [Setter(name=each, course=term.course) for each in listed.new]
        stamp = session.stamp(book, "new class")
        made, added = book.tell(
            class_records.add_class,
            term,
            listed.known,
            stamp,
            new_setters=people,
            joined=term.begins or today,
        )
        there = (*(roll.people[each] for each in listed.known), *added)
    said = FROM_TODAY if from_today else ""
    return Enrolled(made, there, added, said + _made_in_words(made, there, added))


def make_class_typed(session: Session, typed: Mapping[str, str], listed: Listed) -> str:
    """`new_class` from what was typed for `name`, `begins` and `ends`; it is in view then."""
    details = Details(
        begins=typed_day("first day", typed.get("begins", "")),
        ends=typed_day("last day", typed.get("ends", "")),
    )
    done = new_class(session, typed.get("name", ""), listed, details)
    with opened(session) as book:
        book.tell(defaults.set_default, IN_VIEW, done.term.class_id)
    return done.sentence


def typed_day(what: str, typed: str) -> date | None:
    """A day as people type it; None for nothing."""
    text = clean(typed)
    if not text:
        return None
    read, _ = as_iso(text, None)
    try:
        return date.fromisoformat((read or text)[:10])
    except ValueError as error:
        raise Refused(f"{what}: read {text!r}, expected a day such as 2026-01-08") from error


def join_class(
    session: Session, wanted: str, listed: Listed, *, on: date | None = None
) -> Enrolled:
    """Put the people of a list into a class that is there, as one change; today, or `on` a day."""
    _refuse_asked(listed)
    with opened(session) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        term = find_term(roll, wanted, today)
        joined = on or max(today, term.begins or today)
        if not term.runs_on(joined):
            again = f'platebook class add "{term.name}" NAME --on DAY'
            raise Refused(f"{term.name}: runs {dates_in_words(term)}. Say a day in it: {again}")
        there = {person.setter_id for person in roll.members_on(term, joined)}
        coming = [each for each in listed.known if each not in there]
        people = [
            Setter(setter_id=setter_id, name=each, course=term.course)
            for each, setter_id in zip(
                listed.new, book.new_ids(len(listed.new), session.clock()), strict=True
            )
        ]
        if not coming and not people:
            raise Refused(f"{term.name}: they are all in it already. Nothing was changed.")
        stays = [
            Membership(class_id=term.class_id or "", setter_id=each, joined=joined)
            for each in (*coming, *(person.setter_id or "" for person in people))
        ]
        _keep(session, book, roll, term, stays, people)
        came = (*(roll.people[each] for each in coming), *people)
    names = ", ".join(person.name for person in came[:5])
    more = f" and {len(came) - 5} more" if len(came) > 5 else ""
    when = full_day(joined)
    return Enrolled(term, came, tuple(people), f"{names}{more} joined {term.name} on {when}.")


def leave_class(
    session: Session, wanted: str, names: Sequence[str], *, on: date | None = None
) -> Enrolled:
    """Let people leave a class: yesterday was their last day, or `on` says which. They stay people.

    Somebody who had only come is taken out of it altogether. It can be taken back.
    """
    with opened(session, make=False) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        term = find_term(roll, wanted, today)
        last = on or today - timedelta(days=1)
        stays = {stay.setter_id: stay for stay in roll.stays_of(term) if stay.holds_on(on or today)}
        inside = [roll.people[setter_id] for setter_id in stays]
        leaving = [_member(inside, name, term) for name in names]
        ended = [
            stays[person.setter_id or ""].model_copy(update={"left": last}) for person in leaving
        ]
        _settle(session, book, roll, [term], ended)
    said = ", ".join(person.name for person in leaving)
    verb = "is" if len(leaving) == 1 else "are"
    when = f"; {full_day(last)} was the last day" if on else ""
    sentence = f"{said} {verb} in {term.name} no more{when}. Undo takes it back."
    return Enrolled(term, tuple(leaving), (), sentence)


def _member(inside: Sequence[Setter], wanted: str, term: ClassTerm) -> Setter:
    fitting = [p for p in inside if wanted == p.setter_id] or [
        p for p in inside if name_key(p.name) == name_key(wanted)
    ]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        ids = "; ".join(f"{p.name} ({p.setter_id})" for p in fitting)
        raise Refused(f"member: read {clean(wanted)!r}, which is {ids}. Say which by id.")
    expected = expected_of(wanted, (p.name for p in inside), f"nobody is in {term.name}")
    raise Refused(f"member: read {clean(wanted)!r}, {expected}")


def change_class(
    session: Session, wanted: str, details: Details, *, name: str | None = None
) -> Enrolled:
    """Correct what is said of a class; what is None stays. It can be taken back."""
    with opened(session, make=False) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        before = find_term(roll, wanted, today)
        renamed = before if name is None else before.model_copy(update={"name": clean(name)})
        if not renamed.name:
            raise Refused("name: read nothing, expected the name of the class")
        after = _with_details(session, book, renamed, details)
        _refuse_overlap(roll, after)
        _settle(session, book, roll, [after], [])
    there = roll.members_on(after, today)
    return Enrolled(after, there, (), f"{after.name}: {class_in_words(after)}.")


def end_class(session: Session, wanted: str, *, on: date | None = None) -> Enrolled:
    """End a class: today is its last day, or the day said. Who was in it stays known."""
    return change_class(session, wanted, Details(ends=on or today_at(session)))


def class_in_words(term: ClassTerm) -> str:
    """What is said of a class beside its name: dates, evening, course."""
    evening = f"{term.evening.title()}s" if term.evening else ""
    course = f"course {term.course}" if term.course else ""
    about = (dates_in_words(term) or "no dates", evening, course)
    return ", ".join(part for part in about if part)


def _refuse_asked(listed: Listed) -> None:
    if listed.doubles:
        asked = " ".join(double.sentence for double in listed.doubles)
        raise Refused(
            f"{asked} Say of each with --is 'NAME=PERSON' or --new NAME. Nothing was changed."
        )


def _with_details(session: Session, book: Logbook, term: ClassTerm, details: Details) -> ClassTerm:
    """The class with what is said of it; Refused for what cannot be."""
    changes: dict[str, object] = {
        field: value
        for field in ("begins", "ends", "evening")
        if (value := getattr(details, field)) is not None
    }
    if details.course is not None:
        refuse_unknown_course(book, details.course)
        changes["course"] = details.course
    if details.note is not None:
        changes["note"] = clean(details.note)
    known = book.ask(class_records.teachers)
    if details.teachers:
        changes["teachers"] = tuple(
            find_teacher(known, name).teacher_id or "" for name in details.teachers
        )
    elif not term.teachers and session.teacher_id is not None:
        changes["teachers"] = (session.teacher_id,)
    after = term.model_copy(update=changes)
    if after.begins and after.ends and after.ends < after.begins:
        raise Refused(
            f"ends: read {full_day(after.ends)}, expected a day from {full_day(after.begins)} on"
        )
    return after


def _refuse_overlap(roll: Roll, term: ClassTerm) -> None:
    for other in roll.terms_named(term.name):
        if other.class_id in {None, term.class_id} or other.class_id not in roll.recorded:
            continue
        ends, begins = term.ends or date.max, term.begins or date.min
        if (other.begins or date.min) <= ends and begins <= (other.ends or date.max):
            raise Refused(
                f"name: {term.name} is a class already, {dates_in_words(other) or 'without dates'}."
                f" End it first (platebook class end {in_a_command(term.name)}), say other dates"
                " with --begins and --ends, or give this one another name"
            )


def _keep(
    session: Session,
    book: Logbook,
    roll: Roll,
    term: ClassTerm,
    stays: Sequence[Membership],
    people: Sequence[Setter],
) -> None:
    """Keep new stays; a class that only groups speak of becomes a record, its people with it."""
    classes: list[ClassTerm] = []
    implied: list[Membership] = []
    if term.class_id not in roll.recorded:
        classes = [term]
        implied = [stay for stay in roll.stays_of(term) if stay.membership_id is None]
    book.tell(
        class_records.enrol,
        [*implied, *stays],
        session.stamp(book, "add"),
        new_setters=people,
        classes=classes,
    )


def _settle(
    session: Session,
    book: Logbook,
    roll: Roll,
    terms: Sequence[ClassTerm],
    stays: Sequence[Membership],
) -> None:
    """Keep classes and stays as they are now; what only groups spoke of becomes a record first."""
    changed = {(stay.class_id, stay.setter_id) for stay in stays}
    implied = [
        stay
        for term in terms
        for stay in roll.stays_of(term)
        if stay.membership_id is None and (stay.class_id, stay.setter_id) not in changed
    ]
    book.tell(
        class_records.change_classes,
        session.stamp(book, "change"),
        classes=[term for term in terms if term.class_id in roll.recorded],
        new_classes=[term for term in terms if term.class_id not in roll.recorded],
        stays=[stay for stay in stays if stay.membership_id is not None],
        new_stays=[*implied, *(stay for stay in stays if stay.membership_id is None)],
    )


def _made_in_words(term: ClassTerm, members: Sequence[Setter], added: Sequence[Setter]) -> str:
    people = count_of(len(members), "person", "people")
    new = f", {len(added)} of them new" if added else ""
    return f"{term.name}: {class_in_words(term)}; {people}{new}. Undo takes it back as one."


class ListedClass(Value):
    """One class: who is in it on its day, how many ever were, who teaches, whether it runs."""

    term: ClassTerm
    members: int
    ever: int
    teachers: tuple[str, ...]
    runs: bool
    recorded: bool
    called: str


def list_classes(session: Session) -> tuple[ListedClass, ...]:
    """Every class in each of its terms, those that run first, then by their beginning."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        names = {t.teacher_id: t.name for t in book.ask(class_records.teachers)}
    listed = [
        ListedClass(
            term=term,
            members=len(roll.members_on(term, day_in(term, today))),
            ever=len(roll.ever_in(term)),
            teachers=tuple(names[each] for each in term.teachers if each in names),
            runs=term.runs_on(today),
            recorded=term.class_id in roll.recorded,
            called=term_in_words(roll, term, today),
        )
        for term in roll.terms
    ]
    return tuple(
        sorted(listed, key=lambda c: (not c.runs, -(c.term.begins or date.min).toordinal()))
    )
