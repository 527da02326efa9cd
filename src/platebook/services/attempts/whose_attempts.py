"""Whose attempts rows are.

With an id, that setter (made new where the logbook does not know the id yet). With only a name: one
match is that setter, none is a new one and it is said so, several is a problem that lists them.
With neither, the setter in use.
"""

from collections.abc import Iterable

from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem
from platebook.practice.records import Setter, name_key, named
from platebook.services.session import same_name, with_id
from platebook.values import Value


class Assigned(Value):
    """Attempts that each have a setter, the setters to add first, and what was wrong or new."""

    attempts: tuple[Attempt, ...]
    new_setters: tuple[Setter, ...]
    problems: tuple[Problem, ...]


def assign_setters(
    attempts: Iterable[Attempt],
    known: Iterable[Setter],
    *,
    in_use: str | None,
    new_id: Iterable[str],
) -> Assigned:
    """Give every attempt its setter; rows are counted from 1 in the order given."""
    people = list(known)
    ids = iter(new_id)
    done: list[Attempt] = []
    new: list[Setter] = []
    problems: list[Problem] = []
    for row, attempt in enumerate(attempts, 1):
        setter = _setter_meant(attempt, people, in_use)
        if isinstance(setter, str):
            problems.append(Problem(row, "setter", attempt.setter or "", setter))
            continue
        if setter is None:
            setter = Setter(
                setter_id=attempt.setter_id or next(ids),
                name=attempt.setter or f"setter {(attempt.setter_id or '')[-6:]}",
            )
            people.append(setter)
            new.append(setter)
            expected = f"a setter of the logbook; {setter.name} is new and is added"
            problems.append(Problem(row, "setter", setter.name, expected, level="notice"))
        done.append(attempt.with_values(setter_id=setter.setter_id, setter=setter.name))
    return Assigned(tuple(done), tuple(new), tuple(problems))


def _setter_meant(
    attempt: Attempt, people: list[Setter], in_use: str | None
) -> Setter | str | None:
    """The setter meant; None for a new one; a sentence of what was expected where it is unclear."""
    if attempt.setter_id is not None:
        return with_id(people, attempt.setter_id)
    if attempt.setter is not None and name_key(attempt.setter):
        fitting = named(people, attempt.setter)
        if len(fitting) > 1:
            return f"one setter; this name is {same_name(fitting)}: give setter_id"
        return fitting[0] if fitting else None
    mine = with_id(people, in_use)
    return mine or "a name, because no setter is in use (platebook setter use NAME)"
