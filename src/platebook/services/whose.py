"""Whose attempt it is: by id, by name, or the setter in use.

With an id, that setter (made new where the logbook does not know the id yet). With only a name: one
match is that setter, none is a new one and it is said so, several is a problem that lists them.
With neither, the setter in use.
"""

import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass

from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem
from platebook.practice.setter import Setter, name_key, named
from platebook.services.people import same_name, with_id


@dataclass(frozen=True)
class Placed:
    """Attempts that each have a setter, the setters to add first, and what was wrong or new."""

    attempts: tuple[Attempt, ...]
    new_setters: tuple[Setter, ...]
    problems: tuple[Problem, ...]


def placed(
    attempts: Iterable[Attempt],
    known: Iterable[Setter],
    *,
    in_use: str | None,
    new_id: "Iterable[str]",
) -> Placed:
    """Give every attempt its setter; rows are counted from 1 in the order given."""
    people = list(known)
    ids = iter(new_id)
    done: list[Attempt] = []
    new: list[Setter] = []
    problems: list[Problem] = []
    for row, attempt in enumerate(attempts, 1):
        found = _one(attempt, people, in_use)
        if isinstance(found, str):
            problems.append(Problem(row, "setter", attempt.setter or "", found))
            continue
        if found is None:
            found = Setter(
                setter_id=attempt.setter_id or next(ids),
                name=attempt.setter or f"setter {(attempt.setter_id or '')[-6:]}",
            )
            people.append(found)
            new.append(found)
            told = f"a setter of the logbook; {found.name} is new and is added"
            problems.append(Problem(row, "setter", found.name, told, level="notice"))
        done.append(dataclasses.replace(attempt, setter_id=found.setter_id, setter=found.name))
    return Placed(tuple(done), tuple(new), tuple(problems))


def _one(attempt: Attempt, people: list[Setter], in_use: str | None) -> Setter | str | None:
    """The setter meant; None for a new one; a sentence of what was expected where it is unclear."""
    if attempt.setter_id is not None:
        return with_id(people, attempt.setter_id)
    if attempt.setter is not None and name_key(attempt.setter):
        found = named(people, attempt.setter)
        if len(found) > 1:
            return f"one setter; this name is {same_name(found)}: give setter_id"
        return found[0] if found else None
    mine = with_id(people, in_use)
    return mine or "a name, because no setter is in use (platebook setter use NAME)"
