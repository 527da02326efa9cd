"""Whom an instructor looks at first, and at which of their attempts.

| function | gives |
|---|---|
| `due_on` | what of one setter to look at on a day |
| `not_seen` | the reason that somebody has stayed away while the class went on |
| `need`, `by_need` | who of a class needs a look most: the order of its lines and of the queue |

All of a setter's reasons stand together on one row, in the order of `ORDER` (common practice, but
for the draw): those of their work (`reasons_to_look`), who has not been seen for three weeks of the
class, until they come, and whom nobody has looked at for two weeks. Beside it stands the position
that was drawn at random (`draws`), on a row of its own where a reason points elsewhere: agreement
of eyes is computed from drawn ones alone, because what an instructor chooses to look at is no
sample. A drawn one is never given a reason that would tell how its setter judged it.
"""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from platebook.advice.class_standing import QueueRow, SetterLine
from platebook.advice.reasons_to_look import ORDER, Reason, Waiting, Why
from platebook.analysis.classes.register import RegisterRow
from platebook.practice.records import name_key
from platebook.trade.phrases import day_words
from platebook.values import Value, replace

TWO_WEEKS = timedelta(days=14)
WEEKS_MISSED = 3
"""Somebody who has not been seen for so many weeks of the class is missed: common practice."""


class Due(Value):
    """One attempt to be looked at, and why: all reasons, the weightiest first.

    `drawn` says that it is the one drawn at random.
    """

    attempt_id: str
    reasons: tuple[Reason, ...]
    drawn: bool = False

    @property
    def why(self) -> Why:
        """The weightiest reason; the draw where there is no other."""
        return self.reasons[0].why if self.reasons else "drawn"

    @property
    def sentence(self) -> str:
        """All reasons in words."""
        return "; ".join(reason.sentence for reason in self.reasons) or DRAWN

    @property
    def sign_off(self) -> str:
        """The first grade that waits to be signed off; empty for none."""
        return next((reason.sign_off for reason in self.reasons if reason.sign_off), "")


DRAWN = "drawn at random"


def not_seen(waits: Waiting, row: RegisterRow) -> tuple[Reason, ...]:
    """The reason that somebody has missed the evenings of their class for three weeks or more.

    Its register says so: counted to the class's newest evening, not to today, so that nobody is
    missed while the whole class pauses. Whoever was never seen is missed from as many evenings on.
    """
    if not waits.newest or row.missing_since is None:
        return ()
    weeks = row.missing_weeks
    if weeks is None or row.last_seen is None:
        never = f"never seen on the {row.of} evenings of the class since they joined"
        return (Reason("not seen", never, waits.newest),) if row.of >= WEEKS_MISSED else ()
    if weeks < WEEKS_MISSED:
        return ()
    newest = row.last_seen + timedelta(weeks=weeks)
    sentence = f"not seen for {weeks} weeks, last on {day_words(row.last_seen, newest)}"
    return (Reason("not seen", sentence, waits.newest),)


def due_on(waits: Waiting, today: date, missed: Sequence[Reason] = ()) -> tuple[Due, ...]:
    """What of one setter to look at on this day: the row of all reasons, then what was drawn.

    `missed` says where they have not been seen (`not_seen`), which only their class tells.

    The row points where its weightiest reason does. A drawn position that it points at has no row
    of its own.
    """
    order = [*waits.found, *missed, *_forgotten(waits, today)]
    reasons = _said_once(sorted(order, key=lambda reason: ORDER.index(reason.why)))
    rows = []
    if reasons:
        meant = reasons[0].attempt_id
        rows.append(Due(meant, reasons, drawn=meant in waits.drawn))
    rows += [
        Due(one, (), drawn=True) for one in waits.drawn if one not in {r.attempt_id for r in rows}
    ]
    return tuple(rows)


def need(setter: SetterLine, why: str = "") -> tuple[int, float, str]:
    """Where a setter stands among those to be looked at; the smallest needs it most.

    By the weight of the reason (`why`, empty for none), then whose share of good settings is the
    lower, an unknown one last, then by name. Who left their class stands after all others.
    """
    weight = ORDER.index(why) if why else len(ORDER) + setter.left
    return weight, math.inf if setter.lately is None else setter.lately, name_key(setter.name)


def by_need(standings: Iterable[SetterLine], due: Iterable[QueueRow]) -> tuple[SetterLine, ...]:
    """The lines of a class in the order of its queue, each where its weightiest reason stands.

    Of whom the queue says nothing stand last.
    """
    reasons: dict[str, str] = {}
    for row in due:
        reasons[row.setter_id] = min(reasons.get(row.setter_id, row.why), row.why, key=ORDER.index)
    return tuple(sorted(standings, key=lambda line: need(line, reasons.get(line.setter_id, ""))))


def _said_once(reasons: Sequence[Reason]) -> tuple[Reason, ...]:
    """What holds at several positions stands once, at the first of them, with how many they are."""
    places = Counter(reason.sentence for reason in reasons)
    first = {reason.sentence: reason for reason in reversed(reasons)}
    return tuple(
        replace(reason, sentence=f"{reason.sentence}, at {times} positions")
        if times > 1
        else reason
        for sentence, times in places.items()
        for reason in [first[sentence]]
    )


def _forgotten(waits: Waiting, today: date) -> list[Reason]:
    last = waits.looked
    if not waits.last or (last is not None and today - last < TWO_WEEKS):
        return []
    sentence = (
        "never looked at" if last is None else f"not looked at since {day_words(last, today)}"
    )
    return [Reason("not looked at", sentence, waits.last)]
