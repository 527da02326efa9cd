"""Who may sit at the bench, and which class is in view: what the screen of people shows.

The class in view is one choice for a logbook: the class screen, its queue and the screen of people
show that class, until another one or everyone is chosen. Nothing else rests on it.
"""

from dataclasses import dataclass, field
from datetime import date

from platebook.logbook import Logbook, defaults
from platebook.practice.records import ClassTerm
from platebook.services.classes.enrolment import join_class
from platebook.services.classes.listed_names import Listed
from platebook.services.classes.terms import IN_VIEW, Roll, find_term, roll_of, term_in_words
from platebook.services.people.doubles import Known, KnownTeacher, Pair, doubles, teacher_doubles
from platebook.services.people.setters import ListedSetter, add_setter, listed_on, switch_setter
from platebook.services.people.teachers import ListedTeacher, list_teachers
from platebook.services.session import Refused, Session, opened, today_at
from platebook.services.sharing.let_in import waiting_people
from platebook.services.sharing.who_is_mine import Waiting
from platebook.values import Value


@dataclass(frozen=True)
class InView:
    """The class in view, by its id and in words; None and "" for everyone.

    `one_of_many` says that the logbook has classes, so that everyone is no class.
    """

    class_id: str | None = None
    called: str = ""
    one_of_many: bool = field(default=False, compare=False)


class AtTheBench(Value):
    """Everyone who may sit down: `people` of the class in view, `everyone`, who teaches.

    `waiting` are people in a shared folder who are not let in, `pairs` two who may be one person,
    and `teacher_pairs` two who teach and may be one.
    """

    everyone: tuple[ListedSetter, ...]
    people: tuple[ListedSetter, ...]
    in_view: InView = InView()
    teachers: tuple[ListedTeacher, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    pairs: tuple[Pair[Known], ...] = ()
    teacher_pairs: tuple[Pair[KnownTeacher], ...] = ()


def at_the_bench(session: Session) -> AtTheBench:
    """Everyone who may sit down, as the screen of people shows them."""
    if not session.path.exists():
        return AtTheBench((), ())
    with opened(session) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        everyone, term = listed_on(book, roll, today), _term_in_view(book, roll)
    people = everyone
    if term is not None:
        there = {member.setter_id for member in roll.ever_in(term)}
        people = tuple(listed for listed in everyone if listed.setter.setter_id in there)
    return AtTheBench(
        everyone=everyone,
        people=people,
        in_view=_in_view(roll, term, today),
        teachers=list_teachers(session),
        waiting=waiting_people(session) if session.setter_id is None else (),
        pairs=doubles(session),
        teacher_pairs=teacher_doubles(session),
    )


def class_in_view(session: Session) -> InView:
    """The class in view; everyone where none was chosen, or it is not there any more."""
    if not session.path.exists():
        return InView()
    with opened(session) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        return _in_view(roll, _term_in_view(book, roll), today)


def _in_view(roll: Roll, term: ClassTerm | None, today: date) -> InView:
    there = bool(roll.terms)
    if term is None:
        return InView(one_of_many=there)
    return InView(term.class_id, term_in_words(roll, term, today), one_of_many=there)


def _term_in_view(book: Logbook, roll: Roll) -> ClassTerm | None:
    kept = book.ask(defaults.default, IN_VIEW)
    return next((term for term in roll.terms if kept and term.class_id == kept), None)


def class_meant(book: Logbook, roll: Roll, wanted: str | None, today: date) -> ClassTerm:
    """The class of a name or id; without one the class in view, or the only one that runs.

    Refused, with what there is, for a name that is not there, and where several could be meant.
    """
    if wanted is not None:
        return find_term(roll, wanted, today)
    in_view = _term_in_view(book, roll)
    if in_view is not None:
        return in_view
    running = [term for term in roll.terms if term.runs_on(today)]
    if len(running) != 1:
        names = ", ".join(dict.fromkeys(term.name for term in roll.terms)) or "none yet"
        raise Refused(f"class: say which (g on the class screen, or by name): {names}")
    return running[0]


def view_class(session: Session, class_id: str | None) -> InView:
    """Put a class in view, or everyone (None)."""
    with opened(session) as book:
        book.tell(defaults.set_default, IN_VIEW, class_id)
    return class_in_view(session)


def seat_new(session: Session, name: str) -> Session:
    """The session of a person who is added by this name; they come into the class in view."""
    added, in_view = add_setter(session, name), class_in_view(session)
    if in_view.class_id is not None:
        join_class(session, in_view.class_id, Listed(known=(added.setter_id or "",)))
    return switch_setter(session, added.setter_id or "")
