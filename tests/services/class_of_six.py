"""A class of six who share a habit, in a logbook, small enough to be analysed many times."""

from dataclasses import replace
from pathlib import Path

from tests.services.bench import ZONE, ticking
from tests.simulated.planted import Cause, Plan, planted

from platebook.logbook.records import add_attempts, add_setter
from platebook.practice.records import Setter
from platebook.services.session import Session, opened

HABIT = Plan(attempts=30, causes=(Cause("clearance_mm", "loose", size=1.6),))


def class_of_six(folder: Path) -> Session:
    """Six setters with 30 attempts each."""
    return class_of(6, folder)


def class_of(setters: int, folder: Path) -> Session:
    """So many setters with 30 attempts each, or with 60 where there are many."""
    session = Session(path=folder / "logbook.sqlite", clock=ticking(), zone=ZONE, author="tutor")
    with opened(session) as book:
        plan = HABIT if setters < 20 else replace(HABIT, attempts=60)
        for number in range(setters):
            setter = book.tell(
                add_setter,
                Setter(name=f"Setter {number}"),
                book.stamp(session.author, session.clock(), "add"),
            )
            book.tell(
                add_attempts,
                [
                    a.with_values(attempt_id=None, setter_id=setter.setter_id, setter=None)
                    for a in planted(plan, [9, number]).attempts
                ],
                book.stamp(session.author, session.clock(), "record"),
            )
    return session
