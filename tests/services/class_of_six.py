"""A class of six who share a habit, in a logbook, small enough to be analysed many times."""

from dataclasses import replace
from pathlib import Path

from tests.services.bench import ZONE, ticking

from platebook.demo.planted import Cause, Plan, planted
from platebook.logbook.adding import add_attempts, add_setter
from platebook.practice.setter import Setter
from platebook.services.desk import Desk
from platebook.services.faults import opened

HABIT = Plan(attempts=30, causes=(Cause("clearance_mm", "loose", size=1.6),))


def class_of_six(folder: Path) -> Desk:
    """Six setters with 30 attempts each."""
    return class_of(6, folder)


def class_of(setters: int, folder: Path) -> Desk:
    """So many setters with 30 attempts each, or with 60 where there are many."""
    desk = Desk(path=folder / "logbook.sqlite", clock=ticking(), zone=ZONE, author="tutor")
    with opened(desk) as book:
        plan = HABIT if setters < 20 else replace(HABIT, attempts=60)
        for number in range(setters):
            setter = book.tell(
                add_setter,
                Setter(name=f"Setter {number}"),
                book.stamp(desk.author, desk.clock(), "add"),
            )
            book.tell(
                add_attempts,
                [
                    a.with_values(attempt_id=None, setter_id=setter.setter_id, setter=None)
                    for a in planted(plan, [9, number]).attempts
                ],
                book.stamp(desk.author, desk.clock(), "record"),
            )
    return desk
