# ruff: noqa: T201 - a script that prints
"""A school in three terms: sixty setters in five classes, three teachers; and whether it agrees.

Run: python -m bench.school [FILE]. It writes the school into a new logbook, which stays where FILE
names one, asks it everything by command, and says which numbers do not agree.

Its people are those of the invented evening class under other names, five times over, so that they
have habits and hands. They practise on through the terms. Some come later, some leave, one is in
two classes, one never came, one was entered twice; one class follows a course whose grades an
instructor signs. Everything follows from the names: the same school each time.
"""

import sys
import tempfile
import time
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

from bench.school_agrees import disagreements
from platebook.demo.evening_class import SEED, inspections_of, practised
from platebook.demo.people import PEOPLE
from platebook.logbook import Logbook, class_records, course_records, open_logbook
from platebook.logbook.course_records import PutInForce
from platebook.logbook.defaults import set_default
from platebook.logbook.records import add_attempts, add_inspections, add_setter, add_tools
from platebook.practice.courses.course import Course
from platebook.practice.courses.course_file import load_course, shipped_course
from platebook.practice.records import ClassTerm, Membership, Setter, Teacher, Weekday
from platebook.services.answers import progress
from platebook.services.classes.inspections import sign_off
from platebook.services.session import INVENTED, Session, put_in_use, session_at
from platebook.values import replace

ZONE = timezone(timedelta(hours=1))
TERMS = ((date(2025, 9, 8), 12), (date(2026, 1, 5), 12), (date(2026, 4, 13), 10))
"""The Monday of each term's first week, and how many evenings there were; the last one runs."""

TERM_WEEKS = 12
SIGNED = "small-to-large-signed"


@dataclass(frozen=True)
class Evening:
    """One class of the school: its day, its course, who teaches it, who is in it."""

    name: str
    weekday: Weekday
    course: str
    teacher: str
    people: tuple[str, ...]


def _people(names: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in names.split(","))


CLASSES = (
    Evening(
        "Monday",
        "monday",
        "small-to-large",
        "Isolde Crane",
        _people(
            "Ana Brook, Aled Marsh, Asta Holm, Benno Kral, Bea Lindqvist, Carl-Otto Weyermann,"
            "Chidi Okoro, Clara Mendes, Dilip Rao, Edda Storm, Emrys Vaughan, Fatou Sarr"
        ),
    ),
    Evening(
        "Tuesday",
        "tuesday",
        "large-to-small",
        "Isolde Crane",
        _people(
            "Gita Anand, Goran Pavic, Hana Sedlak, Hector Ruiz, Ida Norling, Ilse Baumgartner,"
            "Ivo Tadic, Jana Novotna, Jin-ho Bae, Joao Teles, Kaito Mori, Karin Ek"
        ),
    ),
    Evening(
        "Wednesday",
        "wednesday",
        SIGNED,
        "Bartholomew Ostrander-Finch",
        _people(
            "Lars Friis, Leila Haddad, Lin Zhao, Luca Ferrante, Maeve Doyle, Malik Traore,"
            "Marta Nowak, Mateo Rios, Mina Park, Nadia Petrova, Nils Aune, Noor Aziz"
        ),
    ),
    Evening(
        "Thursday",
        "thursday",
        "small-to-large",
        "Bartholomew Ostrander-Finch",
        _people(
            "Olga Reyes, Omar Said, Oona Laine, Pia Brandt, Petra Hruska, Quentin Marchand,"
            "Rafael Souza, Ravi Iyer, Rosa Bellini, Runa Dahl, Samir Khoury,"
            "Maximiliana Abernathy-Thistlewood"
        ),
    ),
    Evening(
        "Saturday morning",
        "saturday",
        "large-to-small",
        "Wanda Ruthven",
        _people(
            "Selma Kaya, Sven Ostby, Tariq Aziz, Tess Moran, Tomas Vlk, Ulla Berg, Uma Nair,"
            "Viktor Horak, Wilma Roth, Xenia Pappas, Yusuf Demir, Zofia Malik"
        ),
    ),
)

STARTS = {"saturday": 10}
"""The hour at which a class begins; evenings at half past six."""

COURSES_FOR_SIMULATION = {SIGNED: "small-to-large"}


@dataclass(frozen=True)
class Stay:
    """Which terms, from 0, somebody was there for; of the last so many evenings, if they left."""

    first: int = 0
    last: int = 2
    left_after: int | None = None


STAYS = {
    3: Stay(first=1),
    5: Stay(first=2),
    7: Stay(last=0),
    9: Stay(left_after=5),
    10: Stay(last=1),
}
"""By place in the class: in each class one comes a term later, one two, three leave."""

LAST_WAITS = 4
"""So many people of the class whose grades are signed have a grade that waits."""

NEVER_CAME = "Zofia Malik"
ENTERED_TWICE = "Edda Storm"
ALSO_IN = {"Rosa Bellini": "Monday"}


LOOKED_UNTIL = {"Isolde Crane": 3, "Bartholomew Ostrander-Finch": 7, "Wanda Ruthven": 0}
"""How many weeks ago each teacher looked last."""


def evenings_of(evening: Evening, term: int) -> tuple[datetime, ...]:
    """When the class met in a term."""
    monday, count = TERMS[term]
    days = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    hour, minute = (STARTS[evening.weekday], 0) if evening.weekday in STARTS else (18, 30)
    first = monday + timedelta(days=days.index(evening.weekday))
    at = datetime(first.year, first.month, first.day, hour, minute, tzinfo=ZONE)
    return tuple(at + timedelta(weeks=week) for week in range(count))


def today() -> datetime:
    """Sunday after the last evening there was."""
    monday, count = TERMS[-1]
    day = monday + timedelta(weeks=count, days=-1)
    return datetime(day.year, day.month, day.day, 17, 0, tzinfo=UTC)


def write_school(path: Path) -> int:
    """Write the school into a new logbook; how many attempts there are."""
    now = today()
    attempts = 0
    with open_logbook(path) as book:
        book.tell(set_default, INVENTED, now.isoformat())
        teachers = _teachers(book, now)
        _signed_course(book, now)
        classes = {e.name: _terms(book, e, teachers[e.teacher], now) for e in CLASSES}
        for evening in CLASSES:
            for place, name in enumerate(evening.people):
                attempts += _person(book, evening, place, name, classes, teachers)
        put_in_use(book, teacher_id=teachers["Isolde Crane"])
    _sign(session_at(path))
    return attempts


def _teachers(book: Logbook, now: datetime) -> dict[str, str]:
    found = {}
    for name in dict.fromkeys(evening.teacher for evening in CLASSES):
        own = None
        if name == "Wanda Ruthven":
            stamp = book.stamp(name, now, "add")
            own = book.tell(add_setter, Setter(name=name, course="large-to-small"), stamp).setter_id
        teacher = Teacher(name=name, setter_id=own)
        stamp = book.stamp(name, now, "add")
        found[name] = book.tell(class_records.add_teacher, teacher, stamp).teacher_id or ""
    return found


def _signed_course(book: Logbook, now: datetime) -> None:
    text = shipped_course("small-to-large")
    text = text.replace('id = "small-to-large"', f'id = "{SIGNED}"\nsign_off = true', 1)
    text = text.replace('title = "Small to large"', 'title = "Small to large, signed"', 1)
    course = load_course(text)
    wanted = PutInForce(course.id, course.version, text)
    book.tell(course_records.put_in_force, wanted, book.stamp("Isolde Crane", now, "use"))


def _terms(book: Logbook, evening: Evening, teacher: str, now: datetime) -> tuple[ClassTerm, ...]:
    made = []
    for monday, _ in TERMS:
        term = ClassTerm(
            name=evening.name,
            begins=monday,
            ends=monday + timedelta(weeks=TERM_WEEKS, days=-1),
            course=evening.course,
            evening=evening.weekday,
            teachers=(teacher,),
        )
        stamp = book.stamp(evening.teacher, now, "new class")
        made.append(book.tell(class_records.add_class, term, (), stamp)[0])
    return tuple(made)


def _person(
    book: Logbook,
    evening: Evening,
    place: int,
    name: str,
    classes: dict[str, tuple[ClassTerm, ...]],
    teachers: dict[str, str],
) -> int:
    """One person with their log, their classes, and the looks at it; how many attempts."""
    now = today()
    stay = STAYS.get(place, Stay())
    setter = book.tell(
        add_setter,
        Setter(name=name, course=evening.course),
        book.stamp(evening.teacher, now, "add"),
    )
    if name == ENTERED_TWICE:
        again = Setter(name="Eda Storm", course=evening.course)
        book.tell(add_setter, again, book.stamp("Eda Storm", now, "add"))
    _enrol(book, evening, setter, stay, classes)
    if name == NEVER_CAME:
        return 0
    log, tools = practised(
        replace(PEOPLE[place], name=name),
        setter,
        _simulated(evening.course),
        _evenings(evening, stay, ALSO_IN.get(name)),
        seed=SEED,
    )
    log = tuple(a.with_values(course=evening.course) for a in log)
    setter_id = setter.setter_id or ""
    book.tell(add_tools, setter_id, tools, book.stamp(name, now, "add"))
    book.tell(add_attempts, log, book.stamp(name, now, "import"))
    last = now - timedelta(weeks=LOOKED_UNTIL[evening.teacher])
    signed = [
        look.model_copy(update={"inspector": teachers[evening.teacher]})
        for look in inspections_of([setter], {setter_id: log}, seed=SEED)
        if look.looked is not None and look.looked < last
    ]
    book.tell(add_inspections, signed, book.stamp(evening.teacher, now, "inspect"))
    return len(log)


def _simulated(course_id: str) -> Course:
    return load_course(shipped_course(COURSES_FOR_SIMULATION.get(course_id, course_id)))


def _evenings(evening: Evening, stay: Stay, also: str | None) -> list[datetime]:
    met: list[datetime] = []
    for term in range(stay.first, stay.last + 1):
        there = evenings_of(evening, term)
        met += there[: stay.left_after] if term == stay.last else there
        met += [at for e in CLASSES if e.name == also for at in evenings_of(e, term)]
    return sorted(met)


def _enrol(
    book: Logbook,
    evening: Evening,
    setter: Setter,
    stay: Stay,
    classes: dict[str, tuple[ClassTerm, ...]],
) -> None:
    stays = []
    for number in range(stay.first, stay.last + 1):
        term = classes[evening.name][number]
        left = None
        if number == stay.last and stay.left_after is not None:
            left = evenings_of(evening, number)[stay.left_after - 1].date()
        stays.append(_stay(term, setter, left))
        if also := ALSO_IN.get(setter.name):
            stays.append(_stay(classes[also][number], setter, None))
    stamp = book.stamp(evening.teacher, today(), "join")
    book.tell(class_records.enrol, stays, stamp)


def _stay(term: ClassTerm, setter: Setter, left: date | None) -> Membership:
    return Membership(
        class_id=term.class_id or "",
        setter_id=setter.setter_id or "",
        joined=term.begins,
        left=left,
    )


def _sign(session: Session) -> None:
    """Sign the grades that wait; of some of the class the last one waits on."""
    evening = next(e for e in CLASSES if e.course == SIGNED)
    for place, name in enumerate(evening.people):
        setter = session_at(session.path, setter=name)
        waiting = [g.grade for g in progress(setter).grades if g.state == "to be signed off"]
        for grade in waiting[: -1 if place < LAST_WAITS else None]:
            sign_off(session, name, grade, by=evening.teacher)


def main(arguments: list[str]) -> int:
    """Write the school where asked, or for a while; print what does not agree in it."""
    with tempfile.TemporaryDirectory(prefix="platebook-bench-") as name:
        book = Path(arguments[0] if arguments else Path(name) / "school.sqlite")
        if not book.exists():
            began = time.perf_counter()
            attempts = write_school(book)
            print(f"  {attempts:,} attempts written in {time.perf_counter() - began:.0f} s")
        found = list(disagreements(book))
    for sentence in found:
        print(f"  {sentence}")
    print(f"  {len(found)} answers do not agree")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
