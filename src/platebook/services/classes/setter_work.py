"""What is worked out of one setter of a class, from plain values, wherever a process is free.

| function | gives |
|---|---|
| `log_of` | the setter's log as plain values: the one function that asks a logbook |
| `share_of` | the setter's share in what the class is asked |
| `line_of` | what the class screen and the queue say of the setter, whatever day it is |
| `next_title_of` | what the setter practises next, for the class's page |
"""

import dataclasses
import functools
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel, ConfigDict

from platebook.advice.class_standing import SetterLine, standing_of
from platebook.advice.inspection_queue import Waiting, next_draw, open_draws, waiting
from platebook.analysis.classes.agreement import Agreement, agreement
from platebook.analysis.classes.search import ClassShare, class_share, prepared_for_class
from platebook.analysis.findings.search import PreparedLog
from platebook.analysis.grades.practice_by_week import Done, done
from platebook.analysis.grades.progress import progress
from platebook.analysis.models.bayes_factors import Key
from platebook.logbook import setter_records
from platebook.logbook.attempt_queries import plain_rows
from platebook.logbook.revisions import replica_of
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.records import Draw, Inspection, Setter, SignOff
from platebook.services.session import sign_offs_of

if TYPE_CHECKING:
    from platebook.logbook import Logbook
    from platebook.logbook.attempt_queries import PlainRows
    from platebook.services.classes.class_roll import Pupil


@dataclass(frozen=True, slots=True, eq=False)
class SetterLog:
    """One setter with their log as plain rows, and the looks at it by whomever.

    `rests_on` is another one after every change of any of these: logs with the same are equal.
    """

    rests_on: str
    setter: Setter
    course: Course
    rows: "PlainRows"
    inspections: tuple[Inspection, ...] = ()
    draws: tuple[Draw, ...] = ()
    sign_offs: tuple[SignOff, ...] = ()
    verdicts: Mapping[str, Mapping[str, Any]] = dataclasses.field(default_factory=dict)

    @property
    def others_looks(self) -> tuple[Inspection, ...]:
        """Looks by someone else; a setter's own second look is their own affair."""
        mine = {self.setter.setter_id, self.setter.name}
        return tuple(look for look in self.inspections if look.inspector not in mine)

    def as_judged_then(self, attempts: tuple[Attempt, ...]) -> tuple[Attempt, ...]:
        """The attempts as they were judged before their setter heard of a look."""
        if not self.verdicts:
            return attempts
        then = ((a, self.verdicts.get(a.attempt_id or "")) for a in attempts)
        return tuple(a.with_values(**verdict) if verdict else a for a, verdict in then)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SetterLog) and self.rests_on == other.rests_on

    def __hash__(self) -> int:
        return hash(self.rests_on)


class Lies(BaseModel):
    """Where an attempt lies."""

    model_config = ConfigDict(frozen=True)

    grade: str
    plate: str
    position: str


class Line(BaseModel):
    """A setter's line in the class, whatever day it is: `last_day` is the last one of practice.

    `draw` is due and not kept yet; what `waits` counts it already. `lies` says of every attempt
    that waits to be looked at where it lies, by its id.
    """

    model_config = ConfigDict(frozen=True)

    standing: SetterLine
    last_day: date | None
    eye: Agreement
    done: Done
    waits: Waiting
    draw: Draw | None
    lies: Mapping[str, Lies]

    def standing_on(self, today: date) -> SetterLine:
        """The line as it reads on this day."""
        days = None if self.last_day is None else max((today - self.last_day).days, 0)
        practice = self.done.seen_on(today)
        return dataclasses.replace(self.standing, days_since=days, practice=practice)


def log_of(book: "Logbook", pupil: "Pupil") -> SetterLog:
    """The setter's log as plain values, with what others said of it."""
    looks = book.ask(setter_records.inspections, pupil.setter_id)
    drawn = (look.attempt_id for look in looks if look.drawn_at_random)
    return SetterLog(
        rests_on=f"{book.ask(replica_of)} {pupil.setter_id} {pupil.rests_on} {pupil.draws}",
        setter=pupil.setter,
        course=pupil.course,
        rows=book.ask(plain_rows, pupil.setter_id),
        inspections=looks,
        draws=book.ask(setter_records.draws, pupil.setter_id),
        sign_offs=sign_offs_of(book, pupil.setter_id),
        verdicts=book.ask(setter_records.verdicts_before_looks, pupil.setter_id, drawn),
    )


def share_of(log: SetterLog, found: tuple[Key, ...]) -> ClassShare:
    """The setter's share beside the cells already found."""
    return class_share(_prepared(log), found)


@functools.lru_cache(maxsize=64)
def _prepared(log: SetterLog) -> PreparedLog:
    """The setter's log made ready, which a class asks up to three times."""
    return prepared_for_class(log.rows.attempts(), log.course)


def line_of(log: SetterLog) -> Line:
    """The setter's line."""
    attempts, looks = log.rows.attempts(), log.others_looks
    looked_at = frozenset(look.attempt_id for look in looks)
    draw = next_draw(log.setter.setter_id or "", log.draws, attempts, looked_at)
    draws = log.draws if draw is None else (*log.draws, draw)
    drawn = {one.attempt_id for one in open_draws(draws, attempts, looked_at)}
    eye = agreement(log.as_judged_then(attempts), looks)
    standing = progress(log.course, attempts, sign_offs=log.sign_offs)
    waits = waiting(log.course, attempts, looks, standing, drawn)
    wanted = {waits.last, *(one.attempt_id for one in waits.found)}
    return Line(
        standing=standing_of(log.setter, log.course, attempts, log.sign_offs, eye),
        last_day=max((a.began.date() for a in attempts if a.began), default=None),
        eye=eye,
        done=done(attempts),
        waits=waits,
        draw=draw,
        lies={a.attempt_id: _lies(a) for a in attempts if a.attempt_id and a.attempt_id in wanted},
    )


def next_title_of(log: SetterLog, today: date) -> str:
    """What the setter practises next, asked on this day."""
    from platebook.advice import next_exercise

    attempts = log.rows.attempts()
    track = log.setter.track if log.setter.track in log.course.tracks() else None
    advice = next_exercise(log.course, attempts, today=today, track=track, sign_offs=log.sign_offs)
    return f"{advice.title}, {advice.grade_title}"


def _lies(attempt: Attempt) -> Lies:
    grade, plate, position = attempt.grade, attempt.plate, attempt.position
    return Lies(grade=grade or "", plate=plate or "", position=position or "")
