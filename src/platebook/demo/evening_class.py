"""An invented evening class over one term, with habits planted that findings can find.

| function | gives |
|---|---|
| `evening_class` | twelve setters, their attempts and tools, and what is planted |

Everyone follows the course as the program would lead them (`advice.replay`), on twelve Thursday
evenings. All chance comes from the seed; the same seed gives the same class to the last byte.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone
from uuid import UUID
from zlib import crc32

import numpy as np

from platebook.advice.blame import SKILLS
from platebook.advice.offer import Offer
from platebook.advice.readings import asks
from platebook.advice.replay import Replay
from platebook.demo.benches import Workbench
from platebook.demo.inspecting import inspections_of
from platebook.demo.roster import COMMON, GROUP, PEOPLE, TOWN, Person, Planted
from platebook.demo.simulated_record import look, part_look, readings, with_fields
from platebook.demo.simulated_setter import cut_seat, judge, noise_left, still_to_learn
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course, Grade
from platebook.practice.course_file import load_course
from platebook.practice.inspection import Inspection
from platebook.practice.setter import Setter
from platebook.practice.shipped import shipped_course
from platebook.trade.drawer import Tool

COURSE_ID = "small-to-large"
EVENINGS = 12
FIRST_EVENING = datetime(2026, 1, 8, 18, 30, tzinfo=timezone(timedelta(hours=1)))
_LESSON_ENDS_MINUTES = 130
SEED = 20260117
"""Of the classes looked at, one in which planted habits show and some are on the second track."""


@dataclass(frozen=True, slots=True)
class DemoClass:
    """The class. Attempts and tools are by setter id; `truth` is what was planted.

    `inspections` are an instructor's looks at positions drawn at random.
    """

    town: str
    group: str
    setters: tuple[Setter, ...]
    attempts_by_setter: dict[str, tuple[Attempt, ...]]
    tools_by_setter: dict[str, tuple[Tool, ...]]
    inspections: tuple[Inspection, ...]
    course_id: str
    truth: tuple[Planted, ...]
    today: date


def _uuid7(moment: datetime, rng: np.random.Generator) -> str:
    """A version 7 id (RFC 9562): the moment in milliseconds, the rest from the generator."""
    low, high = (int(part) for part in rng.integers(0, 2**62, size=2))
    milliseconds = int(moment.timestamp() * 1000)
    value = (milliseconds << 80) | (0x7 << 76) | ((high & 0xFFF) << 64) | (0b10 << 62) | low
    return str(UUID(int=value))


class _Term:
    """One person's term, an attempt at a time."""

    def __init__(
        self, person: Person, setter: Setter, course: Course, seed: tuple[int, int]
    ) -> None:
        self.person, self.setter, self.course = person, setter, course
        self.seed = seed[0]
        self.rng = np.random.default_rng(seed)
        self.replay = Replay(course)
        self.attempts: list[Attempt] = []
        self.bench = Workbench(person, self.rng)

    def evening(self, number: int) -> None:
        """One evening: a plate, worked position by position until the lesson ends."""
        if self.rng.random() > self.person.comes and number:
            return
        began = FIRST_EVENING + timedelta(weeks=number, minutes=int(self.rng.integers(2, 12)))
        ends = FIRST_EVENING + timedelta(weeks=number, minutes=_LESSON_ENDS_MINUTES)
        self.bench.new_evening()
        plate = f"{self.person.name.split()[0]} {number + 1}"
        position = 1
        while True:
            minutes = round(float(self.rng.normal(22, 3)) * (0.6 + 0.4 * self._left()), 1)
            if began + timedelta(minutes=minutes) > ends:
                return
            self._attempt(began, max(minutes, 5.0), plate, str(position))
            began += timedelta(minutes=max(minutes, 5.0) + float(self.rng.uniform(1, 4)))
            began = began.replace(second=0, microsecond=0)
            position += 1

    def _left(self) -> float:
        return still_to_learn(len(self.replay.settings))

    def _attempt(self, began: datetime, minutes: float, plate: str, position: str) -> None:
        offer = self.replay.offer(began.date())
        grade = self.course.grade(offer.grade)
        if grade is None:
            raise ValueError(f"the course has no grade {offer.grade!r}")
        asked = self._asked(offer)
        start = Attempt(
            attempt_id=_uuid7(began, self.rng),
            setter_id=self.setter.setter_id,
            setter=self.setter.name,
            began=began,
            minutes=minutes,
            course=self.course.id,
            course_version=self.course.version,
            grade=grade.id,
            exercise=self._exercise(offer),
            kind=offer.kind,
            part=offer.part,
            plate=plate,
            position=position,
            readings_asked=asked,
        )
        if offer.kind == "part":
            logged = self._part(start, grade, offer)
        else:
            logged = self._setting(start, grade, asked=asked)
        self.attempts.append(logged)
        self.replay.log(logged)

    def _asked(self, offer: Offer) -> bool:
        return asks(
            passed=self.replay.counters.is_passed(offer.grade),
            kind=offer.kind,
            seed=self.seed,
            attempts=len(self.attempts),
        )

    def _exercise(self, offer: Offer) -> str | None:
        wanted = (
            e.id for e in self.course.exercises if (e.kind, e.part) == (offer.kind, offer.part)
        )
        return next(wanted, None)

    def _setting(self, start: Attempt, grade: Grade, *, asked: bool) -> Attempt:
        hand, bench = self.person.hand, self.bench.next_setting(grade)
        left = noise_left(hand, len(self.replay.settings), bench.tonight.stone_mm)
        seat = cut_seat(hand, bench.tonight, left, self.rng)
        read = readings(bench.tonight, seat, self.rng, pins=self.person.pins) if asked else {}
        seen = judge(hand, bench.tonight, seat, left, self.rng)
        return with_fields(start, bench.fields, read, look(hand, seen, self.rng))

    def _part(self, start: Attempt, grade: Grade, offer: Offer) -> Attempt:
        trouble = max((self.replay.traces.of(s) for s in SKILLS if s == offer.part), default=0.1)
        chance = 0.85 - 0.5 * trouble * self._left()
        return with_fields(start, self.bench.sheet_fields(grade), part_look(chance, self.rng))


def _setters(seed: int) -> tuple[Setter, ...]:
    rng = np.random.default_rng((seed, 0))
    enrolled = FIRST_EVENING - timedelta(days=20)
    return tuple(
        Setter(setter_id=_uuid7(enrolled, rng), name=p.name, group=GROUP, course=COURSE_ID)
        for p in PEOPLE
    )


def evening_class(seed: int = SEED) -> DemoClass:
    """The invented class; about six hundred attempts."""
    course = load_course(shipped_course(COURSE_ID))
    setters = _setters(seed)
    terms = []
    for person, setter in zip(PEOPLE, setters, strict=True):
        term = _Term(person, setter, course, (seed, crc32(person.name.encode())))
        for evening in range(EVENINGS):
            term.evening(evening)
        terms.append(term)
    last = FIRST_EVENING + timedelta(weeks=EVENINGS - 1)
    ids = [str(setter.setter_id) for setter in setters]
    attempts = {i: tuple(t.attempts) for i, t in zip(ids, terms, strict=True)}
    return DemoClass(
        town=TOWN,
        group=GROUP,
        setters=setters,
        attempts_by_setter=attempts,
        inspections=inspections_of(setters, attempts, seed=seed),
        tools_by_setter={i: t.bench.tools() for i, t in zip(ids, terms, strict=True)},
        course_id=course.id,
        truth=(COMMON, *(planted for person in PEOPLE for planted in person.planted)),
        today=last.date() + timedelta(days=6),
    )
