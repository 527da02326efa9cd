"""An invented evening class over one term, with planted habits, and what its instructor saw.

Twelve setters follow the course as the program leads them (`advice.replay`), on twelve Thursday
evenings. Most see what the instructor sees. The eyes named in `KIND_EYES` pass over what is a
little high or tilted, and one is harder on itself than anybody else: agreement has something to
find. All chance comes from the seed; the same seed gives the same class to the last byte.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta, timezone
from functools import partial
from itertools import groupby
from uuid import UUID
from zlib import crc32

import numpy as np

from platebook.advice.choices import held_by_plate
from platebook.advice.defect_skills import SKILLS
from platebook.advice.replay import Offer, Replay
from platebook.advice.suggestion import asks
from platebook.demo.people import COMMON, GROUP, PEOPLE, TOWN, Person, Planted
from platebook.demo.simulated_record import look, part_look, readings, with_fields
from platebook.demo.simulated_setter import cut_seat, judge, noise_left, still_to_learn
from platebook.demo.workbench import Workbench
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Grade
from platebook.practice.courses.course_file import load_course, shipped_course
from platebook.practice.defects import GOOD
from platebook.practice.records import Inspection, Setter
from platebook.practice.results import severity_of
from platebook.trade.records import Tool
from platebook.values import Value

INSTRUCTOR = "Marta Corvo"
KIND_EYES = ("Rashid Benkara", "Oluchi Eze-Barr")
HARD_EYE = "Mei Hanakawa"
COMMENTS: Mapping[str, str] = {
    "high": "Deepen the seat, then try again before burnishing.",
    "tilted": "Level it before the first stroke.",
    "loose": "Burnish again in opposite pairs.",
}
_MISSED, _SEEN_TOO = 0.45, 0.08
_TAKEN_BACK = 0.5
_LATER = timedelta(hours=15)


def inspections_of(
    setters: Sequence[Setter], attempts: Mapping[str, Sequence[Attempt]], *, seed: int
) -> tuple[Inspection, ...]:
    """The looks at each setter's evenings, in the order of the roster, then of the evenings."""
    inspections: list[Inspection] = []
    for setter in setters:
        rng = np.random.default_rng((seed, crc32(setter.name.encode()), 7))
        judged = [a for a in attempts[setter.setter_id or ""] if a.result and a.kind == "whole"]
        for _, evening in groupby(judged, key=lambda a: a.began.date() if a.began else None):
            here = list(evening)
            inspections.append(_look(here[int(rng.integers(len(here)))], setter.name, rng))
    return tuple(inspections)


def _look(attempt: Attempt, name: str, rng: np.random.Generator) -> Inspection:
    seen = {d: severity_of(attempt, d) or 2 for d in attempt.result or () if d != GOOD}
    passed_over = _MISSED if name in KIND_EYES else _SEEN_TOO
    if rng.random() < passed_over:
        seen.setdefault(str(rng.choice(["high", "tilted"])), 2)
    if name == HARD_EYE and rng.random() < _TAKEN_BACK:
        seen = {defect: size for defect, size in seen.items() if size > 1}
    looked = attempt.began + _LATER if attempt.began is not None else None
    return Inspection(
        attempt_id=attempt.attempt_id or "",
        inspector=INSTRUCTOR,
        result=tuple(seen) or (GOOD,),
        severity=tuple(seen.values()) or None,
        clock=attempt.clock if seen else None,
        comment=next((COMMENTS[d] for d in seen if d in COMMENTS), ""),
        drawn_at_random=True,
        looked=looked,
    )


COURSE_ID = "small-to-large"
EVENINGS = 12
FIRST_EVENING = datetime(2026, 1, 8, 18, 30, tzinfo=timezone(timedelta(hours=1)))
_LESSON_ENDS_MINUTES = 130
SEED = 20260101
"""The program's one seed, taken as it is: what the class shows is built into its people."""

POSITIONS = 10
"""Positions of a plate that nobody laid out."""


class DemoClass(Value):
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
        self.bench = Workbench(person, self.rng)

    def evening(self, number: int, starts: datetime) -> None:
        """One evening: a plate, worked position by position until the lesson ends."""
        if self.rng.random() > self.person.comes and number:
            return
        began = starts + timedelta(minutes=int(self.rng.integers(2, 12)))
        ends = starts + timedelta(minutes=_LESSON_ENDS_MINUTES)
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
        offer = self._offer(began.date(), plate, int(position))
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
        self.replay.log(logged)

    def _offer(self, day: date, plate: str, position: int) -> Offer:
        """What the program says: the rule's offer, but for a plate in its middle."""
        offer = self.replay.offer(day)
        stays = held_by_plate(
            self.replay,
            kind=offer.kind,
            grade=offer.grade,
            plate=plate,
            free=max(POSITIONS - position + 1, 0),
            today=day,
            again=partial(Replay.of, self.course),
        )
        return offer if stays is None else Offer("plate", stays.id, POSITIONS - position + 1)

    def _asked(self, offer: Offer) -> bool:
        return asks(
            passed=self.replay.counters.is_passed(offer.grade),
            kind=offer.kind,
            seed=self.seed,
            attempts=len(self.replay.attempts),
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


def practised(
    person: Person,
    setter: Setter,
    course: Course,
    evenings: Sequence[datetime],
    *,
    seed: int = SEED,
) -> tuple[tuple[Attempt, ...], tuple[Tool, ...]]:
    """What this person logs on evenings that start so, and the drawer they have after them.

    They come to the first one, and to the others as often as is theirs; the chance is the person's
    own, by name and seed.
    """
    term = _Term(person, setter, course, (seed, crc32(person.name.encode())))
    for number, starts in enumerate(evenings):
        term.evening(number, starts)
    return tuple(term.replay.attempts), term.bench.tools()


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
    evenings = [FIRST_EVENING + timedelta(weeks=week) for week in range(EVENINGS)]
    attempts: dict[str, tuple[Attempt, ...]] = {}
    tools: dict[str, tuple[Tool, ...]] = {}
    for person, setter in zip(PEOPLE, setters, strict=True):
        own = str(setter.setter_id)
        attempts[own], tools[own] = practised(person, setter, course, evenings, seed=seed)
    return DemoClass(
        town=TOWN,
        group=GROUP,
        setters=setters,
        attempts_by_setter=attempts,
        inspections=inspections_of(setters, attempts, seed=seed),
        tools_by_setter=tools,
        course_id=course.id,
        truth=(COMMON, *(planted for person in PEOPLE for planted in person.planted)),
        today=evenings[-1].date() + timedelta(days=6),
    )
