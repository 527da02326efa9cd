"""Large logbooks: the evening class again and again, under other names and a little later."""

import functools
from datetime import timedelta
from itertools import islice
from pathlib import Path

from platebook.demo.evening_class import DemoClass, evening_class
from platebook.logbook import defaults, open_logbook, setter_records
from platebook.logbook.records import add_attempts, add_setter
from platebook.practice.records import Setter

EACH = 200
"""Attempts a setter."""


@functools.cache
def _evening() -> DemoClass:
    return evening_class()


def school(path: Path, attempts: int, *, first: int = 0) -> Path:
    """A new logbook with so many attempts of setters with 200 each; the first one is in use.

    They are numbered from `first` on.
    """
    invented = _evening()
    pool = [a for log in invented.attempts_by_setter.values() for a in log]
    evening = max(a.began for a in pool if a.began is not None) + timedelta(days=6)
    with open_logbook(path) as book:
        for number, start in enumerate(range(0, attempts, EACH), first):
            setter = book.tell(
                add_setter,
                Setter(name=f"Setter {number}", group="school", course=invented.course_id),
                book.stamp("bench", evening, "add"),
            )
            again = (pool[(number * 37 + n) % len(pool)] for n in range(EACH))
            book.tell(
                add_attempts,
                [
                    a.with_values(
                        attempt_id=None,
                        setter_id=setter.setter_id,
                        setter=setter.name,
                        began=a.began + timedelta(minutes=number) if a.began else None,
                    )
                    for a in islice(again, min(EACH, attempts - start))
                ],
                book.stamp("bench", evening, "import"),
            )
        book.tell(defaults.set_default, "setter", book.ask(setter_records.setters)[0].setter_id)
    return path
