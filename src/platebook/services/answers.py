"""Answers for the setter in use: progress, the hand and its sizes, and what all answers rest on.

What loads arrays is imported where an answer is worked out: one that was kept is shown without.

| function | gives |
|---|---|
| `progress`, `progress_by_calendar` | where the setter stands at each grade, and by month |
| `basis_of`, `basis_in` | what the answers start from: course, log, tools, plates |
| `hand_of`, `sizes_at`, `tools_and_hand`, `rules_at` | what sizes are chosen by |
| `sums_for`, `prior_in` | what the setter's class has shown, where a bundle brought it |
"""

import json
from collections.abc import Mapping, Sequence
from contextlib import nullcontext
from functools import partial
from itertools import islice
from typing import TYPE_CHECKING

from pydantic import ValidationError

from platebook.advice.exercise import Choice
from platebook.logbook import Logbook, defaults, setter_records
from platebook.logbook.attempts.attempt_queries import count_attempts, select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Grade, at_grades_now, signed_now
from platebook.practice.records import Plate, Setter, SignOff
from platebook.practice.set_up.last_tools import last_tools
from platebook.services.attempts.form import stone_in_turn, with_stone_of
from platebook.services.cache import Cache, recall
from platebook.services.classes.terms import roll_of
from platebook.services.courses.followed import course_with_own
from platebook.services.drawer.tool_checks import worth_by_name
from platebook.services.now.own_choice import choice_in
from platebook.services.session import (
    Refused,
    Session,
    nobody_in_use,
    opened,
    setter_in_use,
    sign_offs_of,
    today_at,
)
from platebook.trade import Drawer, Hand, SetUpSheet, Sheet, Stone, check_sheet, check_stone, size
from platebook.trade.measuring.tool_checks import ReadingWorth
from platebook.trade.rules import RuleBook, chosen_over, rules
from platebook.values import Value, field

if TYPE_CHECKING:
    from platebook.advice.replay import Replay
    from platebook.analysis.grades.progress import Progress
    from platebook.analysis.models.bayes_factors import ClassPrior
    from platebook.analysis.periods.calendar import By, Calendar


def sizes_for_grade(
    grade: Grade | None,
    attempts: Sequence[Attempt],
    drawer: Drawer | None = None,
    hand: Hand | None = None,
    book: RuleBook | None = None,
) -> SetUpSheet | None:
    """The sizes; None without a grade, or where its sheet or stone is outside the limits."""
    if grade is None:
        return None
    sheet = Sheet(
        sheet_mm=grade.sheet_mm,
        layers=grade.layers,
        metal=grade.metal,
        backing=grade.backing,
        curve=grade.curved,
    )
    stone = _stone(grade, attempts)
    if check_stone(stone) or check_sheet(sheet):
        return None
    return size(stone, sheet, method=grade.method, drawer=drawer, hand=hand, book=book)


def _stone(grade: Grade, attempts: Sequence[Attempt]) -> Stone:
    """The stone last measured at this grade; the grade's own size before there is one."""
    here = (a for a in reversed(with_stone_of(grade, attempts)) if a.stone_diameter_mm)
    last = next(here, None)
    if last is not None:
        measured = {
            "diameter_mm": last.stone_diameter_mm,
            "diameter_min_mm": last.stone_diameter_min_mm,
            "diameter_max_mm": last.stone_diameter_max_mm,
            "hole_mm": last.stone_hole_mm,
            "hand_cut": grade.hand_cut if last.hand_cut is None else last.hand_cut,
            "depth_mm": last.stone_depth_mm,
            "crown_mm": last.stone_crown_mm,
            "girdle": last.stone_girdle,
            "girdle_low_mm": last.stone_girdle_min_mm,
            "girdle_high_mm": last.stone_girdle_max_mm,
            "table_off_mm": last.stone_table_off_mm,
            "material": last.stone_material or grade.stone_material,
        }
        if not check_stone(measured):
            return Stone.model_validate(measured)
    return Stone(
        diameter_mm=stone_in_turn(grade, attempts),
        material=grade.stone_material,
        hand_cut=grade.hand_cut,
    )


CLASSMATES = 12
"""As many others as a class's hand is taken from: more would not make it surer, only slower."""

OWN_HAND = 60
"""Attempts from which a setter's own seats say more of their hand than a class does (judgement)."""


class Basis(Value):
    """What every answer about a setter starts from; `digest` is new after each change of it.

    `classmates` are ids and digests of those whose seats tell of a hand before the setter's own do;
    none for a setter who has a hand of their own by now: a class says little more then.
    `worth` says what readings are worth by the name of the tool that took them. `class_sums` is
    what the setter's class has shown, as a bundle brought it; empty for nothing. `sign_offs` are an
    instructor's, by name. `choice` is what is practised instead of the suggestion.
    """

    setter: Setter
    course: Course
    attempts: tuple[Attempt, ...]
    drawer: Drawer
    plates: tuple[Plate, ...]
    digest: str
    classmates: tuple[tuple[str, str], ...] = ()
    worth: Mapping[str, ReadingWorth] = field(default_factory=dict)
    class_sums: str = ""
    sign_offs: tuple[SignOff, ...] = ()
    choice: Choice | None = None

    @property
    def rules(self) -> tuple[str, ...]:
        """The rules of thumb in use: the setter's own, then the course's for what is left."""
        return chosen_over(
            (name for name in self.setter.rules if name in rules()), self.course.rules
        )

    @property
    def track(self) -> str | None:
        """The track the setter chose, where their course still has it."""
        track = self.setter.track
        return track if track in self.course.tracks() else None

    def replay(self, attempts: "Sequence[Attempt] | None" = None) -> "Replay":
        """The log played again under the rule in use, or this one as if it were the setter's."""
        from platebook.advice.replay import Replay

        log = self.attempts if attempts is None else attempts
        return Replay.of(self.course, log, self.sign_offs, seats=self.setter.seats)


def basis_of(session: Session) -> Basis:
    """The setter in use with course, attempts, tools and plates; Refused where nobody is in use."""
    if not session.path.exists():
        raise nobody_in_use(session.path)
    with opened(session) as book:
        return basis_in(book, setter_in_use(session, book))


def basis_in(book: Logbook, setter: Setter) -> Basis:
    """The same of any setter, from a logbook that is open already."""
    setter_id = setter.setter_id or ""
    course = course_with_own(book, setter)
    attempts = at_grades_now(course, book.ask(select_attempts, Wanted(setter_id=setter_id)))
    tools = book.ask(setter_records.tools, setter_id)
    return Basis(
        setter=setter,
        course=course,
        attempts=attempts,
        drawer=Drawer(tools=tools, last_used=last_tools(attempts)),
        plates=book.ask(setter_records.plates, setter_id),
        digest=book.ask(defaults.digest, setter_id),
        classmates=_classmates(book, setter) if len(attempts) < OWN_HAND else (),
        worth=worth_by_name(tools, book.ask(setter_records.tool_checks, setter_id)),
        class_sums=sums_for(book, setter_id),
        sign_offs=signed_now(course, sign_offs_of(book, setter_id)),
        choice=choice_in(book, setter_id),
    )


def _classmates(book: Logbook, setter: Setter) -> tuple[tuple[str, str], ...]:
    """Ids and digests of others of their class who have logged something; the first dozen."""
    others = roll_of(book).mates_of(setter.setter_id or "")
    with_log = (mate for mate in others if book.ask(count_attempts, Wanted(setter_id=mate)))
    return tuple((mate, book.ask(defaults.digest, mate)) for mate in islice(with_log, CLASSMATES))


def sums_for(book: Logbook, setter_id: str) -> str:
    """What the class of this setter has shown, where a bundle brought it; empty for nothing."""
    kept = book.ask(defaults.default, defaults.prior_name(setter_id))
    return "" if kept is None else str(json.loads(kept)["sums"])


def prior_in(sums: str) -> "ClassPrior | None":
    """The prior that these sums are; None where they are none."""
    from platebook.analysis.models.bayes_factors import ClassPrior

    try:
        return ClassPrior.model_validate_json(sums) if sums else None
    except ValidationError:
        return None


def hand_of(session: Session, basis: Basis, book: Logbook | None = None) -> Hand:
    """How wide this setter cuts with each bur shape: from their own seats, and their class's.

    The class are others of their group in this logbook (`Basis.classmates`); without five of them
    custom speaks. `book` is the session's logbook, where it is open already.
    """
    from platebook.analysis.measurements.hand import hand, hand_of_class

    rests_on = [f"{setter_id} {digest}" for setter_id, digest in basis.classmates]

    cache = Cache(session.path)

    def learn() -> Hand:
        mates = _hands_alone(session, basis.classmates, book, cache)
        return hand(basis.attempts, class_hand=hand_of_class(mates), worth=basis.worth)

    return recall(
        Hand,
        learn,
        cache=cache,
        setter_id=basis.setter.setter_id or "",
        digest="\n".join((basis.digest, *rests_on)),
    )


def _hands_alone(
    session: Session, classmates: Sequence[tuple[str, str]], book: Logbook | None, cache: Cache
) -> list[Hand]:
    """Each classmate's hand from their own seats alone, kept until they log something."""
    if not classmates:
        return []
    with opened(session, make=False) if book is None else nullcontext(book) as of_all:
        return [
            recall(
                Hand,
                partial(_own_hand, of_all, setter_id),
                cache=cache,
                setter_id=f"{setter_id}-alone",
                digest=digest,
            )
            for setter_id, digest in classmates
        ]


def _own_hand(book: Logbook, setter_id: str) -> Hand:
    from platebook.analysis.measurements.hand import classmates_hand
    from platebook.analysis.measurements.seat_readings import FIELDS

    return classmates_hand(book.ask(select_attempts, Wanted(setter_id=setter_id), only=FIELDS))


def progress(session: Session, basis: Basis | None = None) -> "Progress":
    """Where this setter stands at each grade of their course.

    `basis` is the session's, where it was read already.
    """
    from platebook.analysis.grades.progress import progress as count

    basis = basis or basis_of(session)
    return count(basis.course, basis.attempts, today=today_at(session), sign_offs=basis.sign_offs)


def progress_by_calendar(
    session: Session, by: "By | None", *, since: str | None = None, grade: str | None = None
) -> "tuple[Progress, Calendar | None]":
    """The same with the calendar of all whole settings, or of one grade's; None where not asked.

    Months where only `since` or `grade` is given. Refused where `since` is no date or the course
    has no such grade.
    """
    from platebook.analysis.periods.calendar import calendar, first_day

    answer = progress(session)
    if by is None and since is None and grade is None:
        return answer, None
    try:
        begins = first_day(since) if since is not None else None
    except ValueError as wrong:
        raise Refused(f"since: {wrong}") from None
    line = answer.together if grade is None else answer.grade(grade)
    if line is None:
        known = ", ".join(standing.grade for standing in answer.grades)
        raise Refused(f"grade: read {grade!r}, expected one of {known}")
    return answer, calendar(line, by or "month", since=begins)


def sizes_at(basis: Basis, grade: Grade | None, hand: Hand) -> SetUpSheet | None:
    """The sizes for a grade from the setter's drawer, by their hand and their rules of thumb."""
    book = RuleBook(chosen=basis.rules)
    return sizes_for_grade(grade, basis.attempts, basis.drawer, hand, book)


def rules_at(session: Session) -> tuple[str, ...]:
    """The rules of thumb that the setter in use goes by; none where nobody is in use."""
    if session.setter_id is None or not session.path.exists():
        return ()
    return basis_of(session).rules


def tools_and_hand(session: Session) -> tuple[Drawer | None, Hand | None]:
    """The drawer and hand that sizes are chosen with; None for both where nobody is in use."""
    if session.setter_id is None or not session.path.exists():
        return None, None
    basis = basis_of(session)
    return basis.drawer, hand_of(session, basis)
