"""What is worked out of one setter of a class, from plain values, wherever a process is free.

| function | gives |
|---|---|
| `share_of` | the setter's share in what the class is asked |
| `line_of` | what the class screen and the queue say of the setter, whatever day it is |
| `page_part_of` | what the class's page says beside that |
"""

import dataclasses
import functools
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from pydantic import BaseModel, ConfigDict

from platebook.advice.inspection_queue import Waiting, waiting
from platebook.advice.standing import Standing, standing_of
from platebook.analysis.agreement import Agreement, agreement
from platebook.analysis.class_share import (
    ClassShare,
    class_share,
    question_of,
)
from platebook.analysis.progress import progress
from platebook.analysis.ranking import Question
from platebook.analysis.weigh import Key
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.inspection import Inspection
from platebook.practice.setter import Setter

if TYPE_CHECKING:
    from platebook.logbook.attempts import PlainRows


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

    `lies` says of every attempt that waits to be looked at where it lies, by its id.
    """

    model_config = ConfigDict(frozen=True)

    standing: Standing
    last_day: date | None
    eye: Agreement
    waits: Waiting | None
    lies: Mapping[str, Lies]

    def standing_on(self, today: date) -> Standing:
        """The line as it reads on this day."""
        days = None if self.last_day is None else max((today - self.last_day).days, 0)
        return dataclasses.replace(self.standing, days_since=days)


@dataclass(frozen=True, slots=True)
class PagePart:
    """What the class's page says of a setter: what they practise next, and what they used up."""

    next_title: str
    stones: Mapping[str, int]
    burs: Mapping[str, int]


def share_of(log: SetterLog, found: tuple[Key, ...]) -> ClassShare:
    """The setter's share beside the cells already found."""
    return class_share(_question(log), found)


@functools.lru_cache(maxsize=64)
def _question(log: SetterLog) -> Question:
    """The setter's question, which a class asks up to three times."""
    return question_of(log.rows.attempts(), log.course)


def line_of(log: SetterLog) -> Line:
    """The setter's line; a setter's own second looks are their own affair."""
    attempts = log.rows.attempts()
    mine = {log.setter.setter_id, log.setter.name}
    looks = tuple(look for look in log.inspections if look.inspector not in mine)
    waits = waiting(log.course, attempts, looks, progress(log.course, attempts))
    wanted = {*waits.pool, waits.last, *(d.attempt_id for d in waits.found)} if waits else set()
    return Line(
        standing=standing_of(log.setter, log.course, attempts, looks),
        last_day=max((a.began.date() for a in attempts if a.began), default=None),
        eye=agreement(attempts, looks),
        waits=waits,
        lies={a.attempt_id: _lies(a) for a in attempts if a.attempt_id and a.attempt_id in wanted},
    )


def page_part_of(log: SetterLog, today: date) -> PagePart:
    """What the page says of the setter on this day."""
    from platebook.advice.next_exercise import next_exercise

    attempts = log.rows.attempts()
    track = log.setter.track if log.setter.track in log.course.tracks() else None
    advice = next_exercise(log.course, attempts, today=today, track=track)
    return PagePart(
        next_title=f"{advice.title}, {advice.grade_title}",
        stones=Counter(f"{a.stone_diameter_mm:.1f}" for a in attempts if a.stone_diameter_mm),
        burs=Counter(f"{a.seat_bur_mm:g}" for a in attempts if a.seat_bur_mm),
    )


def _lies(attempt: Attempt) -> Lies:
    return Lies(
        grade=attempt.grade or "", plate=attempt.plate or "", position=attempt.position or ""
    )
