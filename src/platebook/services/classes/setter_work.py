"""What is worked out of one setter of a class, from plain values, wherever a process is free.

| function | gives |
|---|---|
| `log_of` | the setter's log as plain values: the one function that asks a logbook |
| `share_of` | the setter's share in what the class is asked |
| `line_of` | what the class screen and the queue say of the setter, whatever day it is |
| `next_of`, `next_title_of` | what the setter practises next, for the class's page and workbook |
| `form_beside` | how a share is kept in the cache: text and numbers, nothing that could run |
"""

import functools
import io
import json
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

import numpy as np

from platebook.advice.class_standing import SetterLine, standing_of
from platebook.advice.draws import next_draw, open_draws
from platebook.advice.exercise import Choice, NextExercise
from platebook.advice.reasons_to_look import Waiting, waiting
from platebook.analysis.arrays import Floats
from platebook.analysis.classes.agreement import Agreement, agreement
from platebook.analysis.classes.search import (
    CLASS_DRAWS,
    ClassShare,
    Drawn,
    bare,
    class_share,
    prepared_for_class,
)
from platebook.analysis.findings.asking.candidates import Unjudged
from platebook.analysis.findings.asking.search import PreparedLog
from platebook.analysis.grades.progress import grades_reached
from platebook.analysis.models.bayes_factors import Cell, Key
from platebook.analysis.models.scores import Scores
from platebook.analysis.periods.practice_by_week import Done, done
from platebook.analysis.variables.attempt_log import Window
from platebook.analysis.variables.columns import Column
from platebook.logbook import Logbook, setter_records
from platebook.logbook.attempts.attempt_queries import PlainRows, plain_rows
from platebook.logbook.history.revisions import replica_of
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, at_grades_now, signed_now
from platebook.practice.records import Draw, Inspection, Plate, Setter, SignOff
from platebook.services.answers import Basis
from platebook.services.cache import Form, mark_of
from platebook.services.classes.class_roll import Pupil
from platebook.services.drawer.tool_checks import worth_by_name
from platebook.services.findings import LATELY_ASKED, Asked
from platebook.services.now.next_up import advise
from platebook.services.now.own_choice import choice_in
from platebook.services.session import sign_offs_of
from platebook.trade import Drawer
from platebook.trade.measuring.tool_checks import ReadingWorth
from platebook.values import Value, field, replace


class SetterLog(Value, eq=False):
    """One setter with their log as plain rows, and the looks at it by whomever.

    `rests_on` is another one after every change of any of these: logs with the same are equal.
    `worth` says what readings are worth by the name of the tool that took them, and `choice` what
    the setter practises instead of the suggestion.
    """

    rests_on: str
    setter: Setter
    course: Course
    rows: PlainRows
    inspections: tuple[Inspection, ...] = ()
    draws: tuple[Draw, ...] = ()
    sign_offs: tuple[SignOff, ...] = ()
    verdicts: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    worth: Mapping[str, ReadingWorth] = field(default_factory=dict)
    plates: tuple[Plate, ...] = ()
    choice: Choice | None = None

    def attempts(self) -> tuple[Attempt, ...]:
        """The attempts, at the grades as the course calls them now."""
        return at_grades_now(self.course, self.rows.attempts())

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


class Lies(Value, kw_only=True):
    """Where an attempt lies; `title` is its grade in words.

    It is the attempt of that `number` of its `day`, from 1; 0 and None where that is not known.
    """

    grade: str
    title: str
    plate: str
    position: str
    day: date | None = None
    number: int = 0


class Line(Value, kw_only=True):
    """A setter's line in the class, whatever day it is: `last_day` is the last one of practice.

    `draw` is due and not kept yet; what `waits` counts it already. `lies` says of every attempt
    that waits to be looked at where it lies, by its id.
    """

    standing: SetterLine
    last_day: date | None
    eye: Agreement
    done: Done
    waits: Waiting
    draw: Draw | None
    lies: Mapping[str, Lies]

    def standing_on(self, today: date, *, left: bool = False) -> SetterLine:
        """The line as it reads on this day, of somebody who is in their class still or has left."""
        days = None if self.last_day is None else max((today - self.last_day).days, 0)
        practice = self.done.seen_on(today)
        return replace(
            self.standing,
            days_since=days,
            last_day="" if self.last_day is None else self.last_day.isoformat(),
            practice=practice,
            left=left,
        )


def log_of(book: Logbook, pupil: Pupil) -> SetterLog:
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
        sign_offs=signed_now(pupil.course, sign_offs_of(book, pupil.setter_id)),
        verdicts=book.ask(setter_records.verdicts_before_looks, pupil.setter_id, drawn),
        worth=worth_by_name(
            book.ask(setter_records.tools, pupil.setter_id),
            book.ask(setter_records.tool_checks, pupil.setter_id),
        ),
        plates=book.ask(setter_records.plates, pupil.setter_id),
        choice=choice_in(book, pupil.setter_id),
    )


def share_of(log: SetterLog, found: tuple[Key, ...], window: Window) -> ClassShare:
    """The setter's share beside the cells already found, of the attempts inside the window."""
    return class_share(prepared(log, window), found)


@functools.lru_cache(maxsize=64)
def prepared(log: SetterLog, window: Window) -> PreparedLog:
    """The setter's log made ready, which a class asks up to three times."""
    return prepared_for_class(log.attempts(), log.course, worth=log.worth, window=window)


def line_of(log: SetterLog) -> Line:
    """The setter's line."""
    attempts, looks = log.attempts(), log.others_looks
    looked_at = frozenset(look.attempt_id for look in looks)
    draw = next_draw(log.setter.setter_id or "", log.draws, attempts, looked_at)
    draws = log.draws if draw is None else (*log.draws, draw)
    drawn = {row.attempt_id for row in open_draws(draws, attempts, looked_at)}
    eye = agreement(log.as_judged_then(attempts), looks, failure_from=log.course.failure_from)
    standing = grades_reached(log.course, attempts, sign_offs=log.sign_offs)
    waits = waiting(log.course, attempts, looks, standing, drawn)
    wanted = {
        waits.last,
        waits.newest,
        *waits.drawn,
        *(reason.attempt_id for reason in waits.found),
    }
    return Line(
        standing=standing_of(log.setter, log.course, attempts, standing, eye),
        last_day=max((a.began.date() for a in attempts if a.began), default=None),
        eye=eye,
        done=done(attempts, log.course),
        waits=waits,
        draw=draw,
        lies={
            a.attempt_id: _lies(a, number, log.course)
            for a, number in _numbered(attempts)
            if a.attempt_id and a.attempt_id in wanted
        },
    )


def next_title_of(log: SetterLog, today: date) -> str:
    """What the setter practises next, in words."""
    advice = next_of(log, today)
    return f"{advice.title}, {advice.grade_title}"


def next_of(log: SetterLog, today: date) -> NextExercise:
    """What the setter practises next, asked on this day: the suggestion, or what they chose."""
    basis = Basis(
        setter=log.setter,
        course=log.course,
        attempts=log.attempts(),
        drawer=Drawer(),
        plates=log.plates,
        digest=log.rests_on,
        sign_offs=log.sign_offs,
        choice=log.choice,
    )
    return advise(basis, today)


def _numbered(attempts: Sequence[Attempt]) -> Iterator[tuple[Attempt, int]]:
    """Each attempt, in their order, with its number on its day; 0 without a day."""
    so_far: Counter[date] = Counter()
    for attempt in attempts:
        if attempt.began is not None:
            so_far[attempt.began.date()] += 1
        yield attempt, so_far[attempt.began.date()] if attempt.began is not None else 0


def _lies(attempt: Attempt, number: int, course: Course) -> Lies:
    grade, plate, position = attempt.grade or "", attempt.plate or "", attempt.position or ""
    known = course.grade(grade)
    title = known.title if known is not None else grade
    day = attempt.began.date() if attempt.began is not None else None
    return Lies(grade=grade, title=title, plate=plate, position=position, day=day, number=number)


UNREADABLE = (KeyError, TypeError, EOFError, zipfile.BadZipFile, zlib.error)


def form_beside(found: Sequence[Key], asked: str = "") -> Form[ClassShare]:
    """The form of a share beside the cells found already; their number is in its name.

    `asked` is a word for the window, so that shares of another one stay where they are.
    """
    name = "-".join(filter(None, (f"share{len(found)}", asked)))
    return Form(name, "npz", pack_share, unpack_share)


def mark_of_share(pupil: Pupil, found: Sequence[Key] = (), asked: Asked = LATELY_ASKED) -> str:
    """What the share of a setter rests on, beside the cells found already."""
    return mark_of(pupil.rests_on, repr([tuple(key) for key in found]), asked.text)


def pack_share(share: ClassShare) -> bytes:
    """The bytes of a share."""
    header = {
        "attempts": share.attempts,
        "failures": share.failures,
        "failing": dict(share.failing),
        "defects": share.defects,
        "judged": share.judged,
        "unjudged": [(gone.variable, gone.reason) for gone in share.unjudged],
        "columns": [
            (col.variable, col.kind, col.level, col.target if np.isscalar(col.target) else None)
            for col in share.columns
        ],
        "outcomes": list(share.truths),
        "slight": list(share.slight),
        "left_out": share.left_out,
        "cells": fields_of_cells(share.cells),
    }
    targets = {
        f"target{place}": column.target
        for place, column in enumerate(share.columns)
        if isinstance(column.target, np.ndarray)
    }
    file = io.BytesIO()
    np.savez_compressed(
        file,
        header=np.frombuffer(json.dumps(header).encode("utf-8"), dtype=np.uint8),
        usual=share.usual,
        own=np.vstack([share.own.u, share.own.v]),
        steps=share.drawn.steps,
        step=share.drawn.step,
        values=np.array([column.values for column in share.columns], dtype=float),
        truths=np.array(list(share.truths.values()), dtype=bool),
        slight=np.array(list(share.slight.values()), dtype=bool),
        **targets,  # type: ignore[arg-type]  # arrays by name, none of which is an option
    )
    return file.getvalue()


def unpack_share(data: bytes) -> ClassShare:
    """The share that these bytes hold; ValueError where they hold none."""
    try:
        return _unpack(data)
    except UNREADABLE as error:
        raise ValueError("these bytes are no share") from error


def _unpack(data: bytes) -> ClassShare:
    with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
        header = json.loads(arrays["header"].tobytes())
        usual, own, steps, step = (arrays[name] for name in ("usual", "own", "steps", "step"))
        truths = dict(zip(header["outcomes"], arrays["truths"], strict=True))
        slight = dict(zip(header["slight"], arrays["slight"], strict=True))
        columns = tuple(
            _column(fields, values, arrays.get(f"target{place}"))
            for place, (fields, values) in enumerate(
                zip(header["columns"], arrays["values"], strict=True)
            )
        )
    cells = cells_from(header["cells"])
    n = len(cells)
    shapes = (usual.shape, own.shape, steps.shape, step.shape)
    if shapes != ((n,), (2, n), (CLASS_DRAWS, n), (n,)):
        raise ValueError("the arrays are not those of the cells")
    return ClassShare(
        attempts=int(header["attempts"]),
        failures=int(header["failures"]),
        failing={str(defect): int(times) for defect, times in header["failing"].items()},
        defects=tuple(header["defects"]),
        judged=tuple(header["judged"]),
        unjudged=tuple(Unjudged(name, reason) for name, reason in header["unjudged"]),
        cells=cells,
        usual=usual,
        own=Scores(own[:1], own[1:]),
        drawn=Drawn(steps, step),
        columns=columns,
        truths=truths,
        slight=slight,
        left_out=int(header["left_out"]),
    )


def _column(fields: Sequence[Any], values: Floats, targets: Floats | None) -> Column:
    name, kind, level, target = fields
    wanted = target if targets is None else targets
    return Column(name, kind, process=False, values=values, level=level, target=wanted)


def fields_of_cells(cells: Sequence[Cell]) -> list[tuple[Any, ...]]:
    """Cells without values as plain values, to be kept."""
    return [(*c.key, c.candidate.column.kind, c.weight, c.mean, c.sd) for c in cells]


def cells_from(rows: Sequence[Sequence[Any]]) -> tuple[Cell, ...]:
    """The cells that these plain values are."""
    return tuple(map(_cell, rows))


def _cell(fields: Sequence[Any]) -> Cell:
    variable, form, level, outcome, kind, weight, mean, sd = fields
    return Cell(bare(variable, form, kind, level or None), outcome, weight, mean, sd)
