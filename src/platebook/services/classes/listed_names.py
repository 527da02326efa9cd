"""A list of names and what it means in the logbook: who is known, who is new, who is asked about.

Names come as people have them: typed, pasted one a line, or in a file with a column of them.
Whoever is in the logbook by that name is that person; where a name may be somebody's who is there,
it is asked, and the answer is given with the list the next time.
"""

from collections.abc import Iterable, Mapping
from pathlib import Path

from platebook.exchange.name_list import names_in
from platebook.practice.people.names import may_be_one
from platebook.practice.records import name_key
from platebook.practice.text import clean
from platebook.services.files import read_whole
from platebook.services.people.doubles import Known, known_people
from platebook.services.session import Refused, Session, opened, today_at
from platebook.values import Value

SOMEBODY_NEW = "new"
"""The answer that a name is somebody's who is not in the logbook yet."""


class Double(Value):
    """A name of a list that may be somebody's who is in the logbook, or one of several there."""

    typed: str
    candidates: tuple[Known, ...]

    @property
    def sentence(self) -> str:
        """The question in words."""
        who = "; or ".join(known.sentence for known in self.candidates)
        return f"{self.typed}: is this {who}?"


class Listed(Value):
    """What a list of names means: who is known, who is new, what is asked, which stand twice."""

    known: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    doubles: tuple[Double, ...] = ()
    twice: tuple[str, ...] = ()


def read_names(session: Session, names: Iterable[str], answers: Mapping[str, str]) -> Listed:
    """What these names mean in the logbook.

    `answers` says of a name whose it is: the id or name of somebody there, or `SOMEBODY_NEW`.
    """
    typed = [" ".join(name.split()) for name in map(clean, names) if name]
    said = {name_key(name): answer for name, answer in answers.items()}
    if not session.path.exists():
        people: tuple[Known, ...] = ()
    else:
        with opened(session) as book:
            people = known_people(book, today_at(session))
    known: list[str] = []
    new: list[str] = []
    asked: list[Double] = []
    twice: list[str] = []
    seen: set[str] = set()
    for name in typed:
        key = name_key(name)
        if key in seen:
            twice.append(name)
            continue
        seen.add(key)
        same = [person for person in people if name_key(person.name) == key]
        alike = same or [person for person in people if may_be_one(person.name, name)]
        if key in said:
            _take(said[key], name, people, known, new)
        elif len(same) == 1:
            known.append(same[0].setter_id)
        elif alike:
            asked.append(Double(name, tuple(alike)))
        else:
            new.append(name)
    return Listed(tuple(dict.fromkeys(known)), tuple(new), tuple(asked), tuple(twice))


def _take(
    answer: str, name: str, people: Iterable[Known], known: list[str], new: list[str]
) -> None:
    if answer == SOMEBODY_NEW:
        new.append(name)
        return
    meant = [p for p in people if p.setter_id == answer or name_key(p.name) == name_key(answer)]
    if len(meant) != 1:
        raise Refused(f"{name}: read {clean(answer)!r}, expected one person's name or id")
    known.append(meant[0].setter_id)


def names_from(file: Path) -> tuple[str, ...]:
    """The names in a file, as text, CSV or XLSX; Refused for what is no list of names."""
    return _read(read_whole(file), file.name, workbook=file.suffix.lower() == ".xlsx")


def pasted_names(data: bytes) -> tuple[str, ...]:
    """The names in what was pasted; Refused for what is no list of names."""
    return _read(data, "the names pasted", workbook=False)


def _read(data: bytes, where: str, *, workbook: bool) -> tuple[str, ...]:
    names, problem = names_in(data, workbook=workbook)
    if problem is not None:
        line = f", line {problem.line}" if problem.line else ""
        raise Refused(f"{where}{line}: read {problem.read}, expected {problem.expected}")
    return names
