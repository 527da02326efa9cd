"""Seeing: reference plates kept once, judged blind, and what came of it.

A plate's verdicts are told to nobody before all of its positions are judged. Anybody in the logbook
may judge anybody's reference plate.
"""

from collections.abc import Mapping
from datetime import date
from random import Random

from platebook.logbook import Logbook, setter_records
from platebook.logbook.records import add_attempts, add_plate
from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD, MISSED
from platebook.practice.records import Inspection, Plate, name_key
from platebook.practice.results import verdict
from platebook.practice.seeing import (
    SEEING,
    SeeingStanding,
    Verdict,
    agrees,
    needed,
    read_verdict,
    seeing_exercise,
    seeing_standing,
    verdict_text,
)
from platebook.practice.text import clean
from platebook.services.answers import Basis, basis_in
from platebook.services.session import Refused, Session, opened, setter_in_use, today_at
from platebook.trade.phrases import count_of
from platebook.values import Value

FEWEST = 4
"""Fewer positions say nothing of an eye (judgement)."""


class PlateToSee(Value):
    """A reference plate without its verdicts: its positions in the order they are to be judged."""

    name: str
    positions: tuple[str, ...]


class SeeingView(Value):
    """The plates there are, where the setter stands, and whether it is time to judge one."""

    plates: tuple[PlateToSee, ...]
    standing: SeeingStanding
    due: bool

    @property
    def sentence(self) -> str:
        """What Now and `next` say of it; empty where there is nothing to do."""
        if not self.plates or not self.due:
            return ""
        return f"{self.standing.sentence()} It is time: v judges a plate blind."


class Misjudged(Value):
    """One position that was not judged right."""

    position: str
    seen: str
    known: str


class Judged(Value):
    """A plate judged: how many right of how many, how many were needed, and what was missed.

    `kinder` counts positions where less was seen than there is, `harder` where more.
    """

    plate: str
    right: int
    of: int
    needed: int
    misjudged: tuple[Misjudged, ...]
    kinder: int
    harder: int
    standing: SeeingStanding

    def sentences(self) -> tuple[str, ...]:
        """What came of it, a thought a line."""
        passed = "enough" if self.right >= self.needed else f"{self.needed} are needed"
        head = f"{self.right} of {self.of} judged right: {passed}."
        return (head, *self.misses(), self.standing.sentence())

    def misses(self) -> tuple[str, ...]:
        """What was not seen right, a position a line, and to which side that lies."""
        lines = [f"{m.position}: {m.known}; you saw {m.seen}." for m in self.misjudged]
        if self.kinder or self.harder:
            less, more = (count_of(n, "time") for n in (self.kinder, self.harder))
            lines.append(f"You saw less than there is {less}, more {more}.")
        return tuple(lines)


def seeing_view(session: Session) -> SeeingView:
    """What the setter in use can judge, and when; Refused where nobody is in use."""
    with opened(session) as book:
        basis = basis_in(book, setter_in_use(session, book))
        plates = reference_plates(book)
    return seeing_at(basis, plates, today_at(session))


def seeing_at(basis: Basis, plates: tuple[Plate, ...], today: date) -> SeeingView:
    """The same of a setter whose log was read already."""
    standing = seeing_standing(basis.attempts, basis.course)
    to_see = tuple(_to_see(plate, f"{basis.setter.setter_id} {today}") for plate in plates)
    return SeeingView(to_see, standing, standing.is_due(today))


def reference_plates(book: Logbook) -> tuple[Plate, ...]:
    """Every reference plate in the logbook, whoever keeps it, in the order kept."""
    return book.ask(setter_records.reference_plates)


def keep_reference(session: Session, name: str, verdicts: Mapping[str, str]) -> Plate:
    """Keep a plate with the verdicts that are known of its positions, once and for good.

    Refused with what was read and expected; a plate's name may not repeat.
    """
    said = {clean(position): text for position, text in verdicts.items()}
    if "" in said:
        raise Refused("position: read nothing, expected its number on the plate")
    read = {position: read_verdict(text) for position, text in said.items()}
    wrong = [
        f"{position}: read {clean(said[position])!r}, expected {expected}"
        for position, (verdict, expected) in read.items()
        if verdict is None
    ]
    if wrong:
        raise Refused("; ".join(wrong))
    if len(read) < FEWEST:
        raise Refused(f"positions: read {len(read)}, expected at least {FEWEST}; twelve are usual")
    if not clean(name):
        raise Refused("name: read nothing, expected the plate's name")
    with opened(session) as book:
        setter = setter_in_use(session, book)
        mine = book.ask(setter_records.plates, setter.setter_id or "")
        taken = {name_key(plate.name) for plate in (*reference_plates(book), *mine)}
        if name_key(clean(name)) in taken:
            raise Refused(f"name: {clean(name)!r} is a plate already")
        plate = Plate(
            setter_id=setter.setter_id,
            name=clean(name),
            positions=tuple(read),
            verdicts=tuple(verdict_text(v) for v, _ in read.values() if v is not None),
        )
        return book.tell(add_plate, plate, session.stamp(book, "add"))


def judge_plate(session: Session, name: str, seen: Mapping[str, str]) -> Judged:
    """Take down what was seen at every position of a plate; only then its verdicts are told.

    Refused for a plate that is not kept, a verdict that cannot be read, and where a position is
    missing: a plate that is judged in part would tell the rest.
    """
    with opened(session, make=False) as book:
        basis = basis_in(book, setter_in_use(session, book))
        plate = _named(reference_plates(book), name)
        views = _read_views(plate, seen)
        known = [_known(text) for text in plate.verdicts]
        right = [agrees(k, v) for k, v in zip(known, views, strict=True)]
        exercise = seeing_exercise(basis.course)
        began = session.clock().astimezone(session.zone)
        attempts = [
            Attempt(
                setter_id=basis.setter.setter_id,
                began=began,
                course=basis.course.id,
                course_version=basis.course.version,
                exercise=exercise.id if exercise is not None else None,
                kind="part",
                part=SEEING,
                plate=plate.name,
                position=position,
                seen=verdict_text(view),
                result=(GOOD,) if agreed else (MISSED,),
            )
            for position, view, agreed in zip(plate.positions, views, right, strict=True)
        ]
        book.tell(add_attempts, attempts, session.stamp(book, "record"))
    kinder, harder = _eye(known, views)
    return Judged(
        plate=plate.name,
        right=sum(right),
        of=len(right),
        needed=needed(exercise, len(right)),
        misjudged=tuple(
            Misjudged(
                position,
                verdict(view.result, view.severity),
                verdict(is_so.result, is_so.severity),
            )
            for position, view, is_so, agreed in zip(
                plate.positions, views, known, right, strict=True
            )
            if not agreed
        ),
        kinder=kinder,
        harder=harder,
        standing=seeing_standing((*basis.attempts, *attempts), basis.course),
    )


def _to_see(plate: Plate, seed: str) -> PlateToSee:
    """The positions shuffled, so that nobody learns the plate by its order."""
    positions = list(plate.positions)
    Random(f"{seed} {plate.name}").shuffle(positions)  # noqa: S311 - an order, no secret
    return PlateToSee(plate.name, tuple(positions))


def _named(plates: tuple[Plate, ...], name: str) -> Plate:
    fitting = [p for p in plates if name_key(p.name) == name_key(clean(name))]
    if len(fitting) != 1:
        names = ", ".join(p.name for p in plates) or "none is kept yet (platebook seeing keep)"
        raise Refused(f"plate: read {clean(name)!r}, expected a reference plate: {names}")
    return fitting[0]


def _read_views(plate: Plate, seen: Mapping[str, str]) -> list[Verdict]:
    """The verdicts given, in the order of the plate's positions."""
    given = {clean(position): text for position, text in seen.items()}
    strange = [position for position in given if position not in plate.positions]
    missing = [position for position in plate.positions if position not in given]
    if strange:
        raise Refused(f"position: read {strange[0]!r}, expected {', '.join(plate.positions)}")
    if missing:
        raise Refused(f"positions {', '.join(missing)}: read nothing, expected all of the plate")
    views = []
    for position in plate.positions:
        verdict, expected = read_verdict(given[position])
        if verdict is None:
            raise Refused(f"{position}: read {clean(given[position])!r}, expected {expected}")
        views.append(verdict)
    return views


def _known(text: str) -> Verdict:
    return read_verdict(text)[0] or Verdict((GOOD,))


def _eye(known: list[Verdict], seen: list[Verdict]) -> tuple[int, int]:
    """How often less was seen than there is, and how often more, as two pairs of eyes compare."""
    from platebook.analysis.classes.agreement import agreement

    own = [
        Attempt(attempt_id=str(n), kind="whole", result=v.result, severity=v.severity or None)
        for n, v in enumerate(seen)
    ]
    others = [
        Inspection(
            attempt_id=str(n),
            inspector="reference",
            result=v.result,
            severity=v.severity or None,
            drawn_at_random=True,
        )
        for n, v in enumerate(known)
    ]
    both = agreement(own, others)
    return both.kinder, both.harder
