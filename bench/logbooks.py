"""Large logbooks: the evening class again and again, under other names and a little later."""

import functools
from datetime import timedelta
from pathlib import Path

from platebook.demo.evening_class import DemoClass, evening_class
from platebook.logbook import defaults, open_logbook, setter_records
from platebook.logbook.records import add_attempts, add_setter
from platebook.practice.attempt import Attempt
from platebook.practice.records import Setter

EACH = 200
"""Attempts a setter."""


@functools.cache
def _evening() -> DemoClass:
    return evening_class()


def school(path: Path, attempts: int, *, first: int = 0, own: int = EACH) -> Path:
    """A new logbook with so many attempts of setters with 200 each; the first one is in use.

    They are numbered from `first` on. The one in use has `own` attempts.
    """
    invented = _evening()
    pool = [a for log in invented.attempts_by_setter.values() for a in log]
    times = [a.began for a in pool if a.began is not None]
    evening = max(times) + timedelta(days=6)
    terms_apart = timedelta(days=(max(times) - min(times)).days + 7)
    with open_logbook(path) as book:
        shares = [min(own, attempts)]
        while (left := attempts - sum(shares)) > 0:
            shares.append(min(EACH, left))
        for number, share in enumerate(shares, first):
            setter = book.tell(
                add_setter,
                Setter(name=f"Setter {number}", group="school", course=invented.course_id),
                book.stamp("bench", evening, "add"),
            )
            book.tell(
                add_attempts,
                [
                    _moved(
                        pool[(number * 37 + n) % len(pool)],
                        setter,
                        timedelta(minutes=number) - n // len(pool) * terms_apart,
                    )
                    for n in range(share)
                ],
                book.stamp("bench", evening, "import"),
            )
        book.tell(defaults.set_default, "setter", book.ask(setter_records.setters)[0].setter_id)
    return path


def _moved(attempt: Attempt, setter: Setter, by: timedelta) -> Attempt:
    return attempt.with_values(
        attempt_id=None,
        setter_id=setter.setter_id,
        setter=setter.name,
        began=attempt.began + by if attempt.began else None,
    )
