"""The records beside attempts: people, classes, plates, draws, looks, sign-offs, tool checks.

A draw is kept so that it stays what it is, whoever asks again and whatever is logged after. An
inspection stands beside the setter's look, never over it.
"""

import functools
import unicodedata
from collections.abc import Iterable
from datetime import date
from typing import Literal, TypeVar

from pydantic import AwareDatetime, Field

from platebook.trade.measuring.tool_checks import ToolCheck
from platebook.trade.records import CheckedValue


class Setter(CheckedValue):
    """One person. Names may repeat between people, ids may not.

    `group` is the evening class or other group; `active` says that they still come. `course` is
    the id of the course they follow and `track` one of its tracks; None where not chosen yet.
    `rules` are the ids of rules of thumb that they take instead of the course's. `seats` says who
    prepares seats to practise in: "given" by somebody, or only their "own"; None where not said.
    """

    setter_id: str | None = None
    name: str = Field(min_length=1)
    group: str = ""
    active: bool = True
    course: str | None = None
    track: str | None = None
    rules: tuple[str, ...] = ()
    note: str = ""
    seats: Literal["given", "own"] | None = None


@functools.lru_cache(maxsize=1024)
def name_key(name: str) -> str:
    """What two spellings of one name share, without case, form and number of blanks.

    It is Unicode's compatibility caseless matching (The Unicode Standard, section 3.13).
    """
    form = unicodedata.normalize("NFD", name)
    for _ in range(2):
        form = unicodedata.normalize("NFKD", form.casefold())
    return " ".join(form.split())


Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


class Teacher(CheckedValue):
    """One person who teaches: signs looks, sign-offs and messages, and has no grade.

    `setter_id` is the same person's own entry as a setter where they set as well. `active` says
    that they still teach here.
    """

    teacher_id: str | None = None
    name: str = Field(min_length=1)
    setter_id: str | None = None
    note: str = ""
    active: bool = True


class ClassTerm(CheckedValue):
    """One class in one term: those who come together, from `begins` to `ends`, both within it.

    A date that nobody set is None, and the class is open on that side. The terms of one class have
    one name (`name_key`). `course` is the id of the course it follows, `evening` the day of the
    week it meets on, `teachers` the ids of those who teach it.
    """

    class_id: str | None = None
    name: str = Field(min_length=1)
    begins: date | None = None
    ends: date | None = None
    course: str | None = None
    evening: Weekday | None = None
    note: str = ""
    teachers: tuple[str, ...] = ()

    def runs_on(self, day: date) -> bool:
        """Whether the class runs on this day."""
        return within(day, self.begins, self.ends)


class Membership(CheckedValue):
    """One setter's time in one class, from `joined` to `left`, both within it; None is open."""

    membership_id: str | None = None
    class_id: str
    setter_id: str
    joined: date | None = None
    left: date | None = None

    def holds_on(self, day: date) -> bool:
        """Whether the setter is in the class on this day, as far as they themselves go."""
        return within(day, self.joined, self.left)


class Message(CheckedValue):
    """A word to one student or to a class, of which one of `setter_id` and `class_id` is set.

    `author` is the id of the teacher or setter who wrote it, or a name where the logbook has none.
    `written` is when, with its offset.
    """

    message_id: str | None = None
    author: str
    setter_id: str | None = None
    class_id: str | None = None
    text: str = Field(min_length=1)
    written: AwareDatetime | None = None


def within(day: date, first: date | None, last: date | None) -> bool:
    """Whether a day lies in a stretch of days, ends included; None leaves a side open."""
    return (first is None or first <= day) and (last is None or day <= last)


Named = TypeVar("Named", Setter, Teacher, ClassTerm)


def named(people: Iterable[Named], name: str) -> tuple[Named, ...]:
    """All that bear this name, in the order given; empty for none or a blank name."""
    wanted = name_key(name)
    return tuple(one for one in people if wanted and name_key(one.name) == wanted)


class Plate(CheckedValue):
    """One plate. `positions` are named in the order worked, `across` of them in a row.

    Neighbouring positions lie `pitch_mm` apart in both directions, their grid in the middle of
    `width_mm` by `height_mm`; all None where nobody laid it out. A row each in turn is for stones
    of `stones_mm`. `sheet_mm` is one layer. A reference plate has `verdicts`, one a position as it
    is known to be (`platebook.practice.seeing`); other plates have none.
    """

    plate_id: str | None = None
    setter_id: str | None = None
    name: str = Field(min_length=1)
    metal: str | None = None
    metal_state: str | None = None
    sheet_mm: float | None = Field(default=None, gt=0)
    layers: int = Field(default=1, ge=1)
    backing: str | None = None
    support: str | None = None
    positions: tuple[str, ...] = ()
    across: int = Field(default=5, ge=1)
    pitch_mm: float | None = Field(default=None, gt=0)
    width_mm: float | None = Field(default=None, gt=0)
    height_mm: float | None = Field(default=None, gt=0)
    stones_mm: tuple[float, ...] = ()
    note: str = ""
    verdicts: tuple[str, ...] = ()

    def place_of(self, position: str) -> tuple[int, int] | None:
        """Row and column of a position, counted from 0; None for a name the plate does not have."""
        if position not in self.positions:
            return None
        return divmod(self.positions.index(position), self.across)

    def centre_of(self, position: str) -> tuple[float, float] | None:
        """A position's centre from the top left corner, in mm; None where nobody laid it out."""
        place = self.place_of(position)
        if place is None or None in {self.pitch_mm, self.width_mm, self.height_mm}:
            return None
        pitch, width, height = self.pitch_mm or 0.0, self.width_mm or 0.0, self.height_mm or 0.0
        rows = -(-len(self.positions) // self.across)
        left = (width - (self.across - 1) * pitch) / 2
        top = (height - (rows - 1) * pitch) / 2
        return round(left + place[1] * pitch, 3), round(top + place[0] * pitch, 3)

    def stone_at(self, position: str) -> float | None:
        """The stone size that a position is for, in mm; None where none is named."""
        place = self.place_of(position)
        if place is None or not self.stones_mm:
            return None
        return self.stones_mm[place[0] % len(self.stones_mm)]


class Draw(CheckedValue):
    """One attempt drawn out of `pool`, in which every attempt was as likely as any other.

    `pool` holds the ids that were drawn from and `seed` the text that decided, so that anybody can
    draw it again (`platebook.advice.draws`). `drawn` is when, with its offset.
    """

    draw_id: str | None = None
    setter_id: str
    attempt_id: str
    pool: tuple[str, ...] = Field(min_length=1)
    seed: str
    drawn: AwareDatetime | None = None


class Inspection(CheckedValue):
    """One look at one attempt by someone other than its setter, or by the setter a day later.

    `result` and `severity` read as in an attempt. `inspector` is the setter id of who looked, or a
    name where the logbook has none. `drawn_at_random` marks the positions that agreement is
    computed from. `looked` is the time of the look, with its offset.
    """

    inspection_id: str | None = None
    attempt_id: str
    inspector: str
    result: tuple[str, ...] | None = None
    severity: tuple[int, ...] | None = None
    clock: int | None = Field(default=None, ge=1, le=12)
    comment: str = ""
    drawn_at_random: bool = False
    looked: AwareDatetime | None = None


class SignOff(CheckedValue):
    """One grade of one course signed off for one setter.

    `signed_by` is the setter id of who signs, or a name where the logbook has none. `attempt_id` is
    the last whole setting that counted then: what comes after it may make the grade slip back, and
    then it has to be signed again. `signed` is when, with its offset.
    """

    sign_off_id: str | None = None
    setter_id: str
    course: str
    grade: str
    signed_by: str
    attempt_id: str = ""
    comment: str = ""
    signed: AwareDatetime | None = None


class ToolCheckRecord(CheckedValue):
    """One check of one tool of a setter's drawer.

    `against` says what was measured (plug gauge, drill shank, gauge block), `known_mm` its size and
    `known_uncertainty_mm` the standard uncertainty of that; `readings_mm` are in the order read.
    `checked` is when, with its offset.
    """

    check_id: str | None = None
    setter_id: str
    tool_id: str
    against: str = ""
    known_mm: float = Field(gt=0)
    known_uncertainty_mm: float = Field(default=0.0, ge=0)
    readings_mm: tuple[float, ...] = Field(min_length=1)
    checked: AwareDatetime | None = None
    note: str = ""

    def worth(self) -> ToolCheck:
        """The check as the trade counts with it."""
        return ToolCheck(
            known_mm=self.known_mm,
            known_u_mm=self.known_uncertainty_mm,
            readings_mm=self.readings_mm,
        )


class CourseInForce(CheckedValue):
    """Which text of a course one logbook goes by: the course's id, its version, the text's SHA-256.

    A logbook has one such record a course, and its revisions are the history of what was in force
    there. `taken_from` is the record of another logbook whose text was taken, empty where it is the
    logbook's own. `answered` are texts (by SHA-256) and revisions of others' such records that were
    taken or refused here.
    """

    in_force_id: str | None = None
    course: str = Field(min_length=1)
    version: int = Field(ge=0)
    digest: str
    taken_from: str = ""
    answered: tuple[str, ...] = ()
