"""What a class has shown, for each of its setters to take along in a bundle.

It travels as sums for five other setters or more; no attempt and no name is in it. A setter who
keeps a logbook of their own gets better findings early on by it (`answers.sums_for`).

What a setter's log gives to the sums is kept until the setter logs something, and so are the sums
of a class: a class of thousands is read once, and then only who practised.

| function | gives |
|---|---|
| `class_priors` | what the classes here have shown, as a bundle has it |
| `keep_priors` | what a bundle says of the class of somebody here, kept |
"""

import hashlib
import io
import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.classes.search import own_sums
from platebook.analysis.classes.sums import ClassSums, OwnSums, Summed
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import Window
from platebook.logbook import Logbook, defaults, setter_records
from platebook.logbook.attempts.attempt_queries import attempt_counts
from platebook.practice.revision import Bundle
from platebook.services.answers import prior_in
from platebook.services.cache import OF_A_CLASS, Cache, Form, mark_of
from platebook.services.classes.class_roll import Pupil, enrol
from platebook.services.classes.setter_work import (
    UNREADABLE,
    SetterLog,
    cells_from,
    fields_of_cells,
    form_beside,
    log_of,
    mark_of_share,
    prepared,
)
from platebook.services.classes.terms import home_groups, roll_of
from platebook.services.classes.worker_pool import WorkerPool
from platebook.services.findings import LATELY_ASKED
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Session, today_at
from platebook.values import Value

FEWEST = 6
"""A setter and five others: fewer have no class."""


class ClassPriors(Value, eq=False):
    """Setters' ids, in order, each with the sums of their class without them, as JSON text.

    `sums` are those of each class, by a mark of what they rest on. With `about` that setter's
    alone. The texts are made as they are asked for: of thousands they are far longer than the sums.
    """

    sums: Mapping[str, ClassSums]
    about: str | None = None

    def __iter__(self) -> Iterator[tuple[str, str]]:
        """Each setter's."""
        places = sorted(
            (setter_id, mark, number)
            for mark, sums in self.sums.items()
            for number, setter_id in enumerate(sums.setters)
            if self.about in {None, setter_id}
        )
        for setter_id, mark, number in places:
            prior = self.sums[mark].prior(number)
            if prior is not None:
                yield setter_id, prior.model_dump_json()


def class_priors(
    session: Session, book: Logbook, *, about: str | None = None, watch: Watch | None = unwatched
) -> ClassPriors:
    """What the classes have shown for each of their setters, or for one of them.

    Setters of one class (`home_groups`) who follow one course are asked together. Without a `watch`
    nothing is worked out, and a class of which nothing is kept is passed over.
    """
    people = book.ask(setter_records.setters)
    if len(people) < FEWEST:
        return ClassPriors({})
    counts, today = book.ask(attempt_counts), today_at(session)
    groups = home_groups(roll_of(book, today), today)
    practising = [(s, counts[s.setter_id]) for s in people if s.setter_id in counts]
    classes: defaultdict[tuple[str | None, str], list[Pupil]] = defaultdict(list)
    for pupil in enrol(book, (member for member in practising if member[1])):
        classes[pupil.setter.course, groups[pupil.setter_id]].append(pupil)
    asked = {of: members for of, members in classes.items() if len(members) >= FEWEST}
    total, done = sum(map(len, asked.values())), 0
    sums: dict[str, ClassSums] = {}
    for (course, group), members in asked.items():
        mark = _mark_of_class(members)
        name = hashlib.sha256(repr((course, group)).encode("utf-8")).hexdigest()
        about_class = f"{OF_A_CLASS}-{name[:12]}"
        cache = Cache(session.path)
        of_class = cache.find(_CLASS_SUMS, about_class, mark)
        if of_class is None and watch is not None:
            of_class = _summed(session, book, members, watch, (done, total))
            cache.keep(_CLASS_SUMS, about_class, of_class, mark)
        if of_class is not None:
            sums[mark] = of_class
        done += len(members)
    return ClassPriors(sums, about)


def _mark_of_class(members: Sequence[Pupil]) -> str:
    digest = "\n".join(f"{member.setter_id} {member.rests_on}" for member in members)
    return mark_of(digest, members[0].course.model_dump_json())


def _summed(
    session: Session,
    book: Logbook,
    members: Sequence[Pupil],
    watch: Watch,
    steps: tuple[int, int],
) -> ClassSums:
    """The sums of a class; each setter's part is kept as it comes."""
    cache, window = Cache(session.path), LATELY_ASKED.window()
    marks = {pupil.setter_id: mark_of_share(pupil) for pupil in members}
    share_form = form_beside((), LATELY_ASKED.word)
    packed: dict[str, bytes] = {}
    for pupil in members:
        whose = pupil.setter_id
        known: Summed | None = cache.find(_OWN_SUMS, whose, marks[whose])
        known = known or cache.find(share_form, whose, marks[whose])
        if known is not None:
            packed[whose] = pack_sums(known)
    wanted = [pupil for pupil in members if pupil.setter_id not in packed]
    with WorkerPool(watch=watch) as pool:
        packed |= pool.spread(
            packed_sums_of,
            ((pupil.setter_id, (log_of(book, pupil), window)) for pupil in wanted),
            attempts=sum(pupil.attempts for pupil in wanted),
            steps=(steps[0] + len(packed), steps[1]),
            keep=lambda whose, data: cache.keep(_PACKED, whose, data, marks[whose]),
        )
    return ClassSums.of(
        (pupil.setter_id, unpack_sums(packed[pupil.setter_id])) for pupil in members
    )


def packed_sums_of(log: SetterLog, window: Window) -> bytes:
    """What a class sums of one setter, packed: thousands of them are held at once."""
    return pack_sums(own_sums(prepared(log, window)))


def pack_sums(own: Summed) -> bytes:
    """The bytes of one setter's part in the sums."""
    header = {"cells": fields_of_cells(own.cells), "failing": dict(own.failing)}
    return _packed(header, u=own.own.u, v=own.own.v)


def unpack_sums(data: bytes) -> OwnSums:
    """One setter's part in the sums; ValueError for bytes that hold none."""
    header, u, v = _unpacked(data)
    cells = cells_from(header["cells"])
    _refuse_unless(u.shape == v.shape == (1, len(cells)))
    failing = {str(defect): int(times) for defect, times in header["failing"].items()}
    return OwnSums(cells, Scores(u, v), failing)


def pack_class(sums: ClassSums) -> bytes:
    """The bytes of a class's sums."""
    header = {"setters": sums.setters, "cells": fields_of_cells(sums.cells)}
    return _packed(header, u=sums.u, v=sums.v)


def unpack_class(data: bytes) -> ClassSums:
    """A class's sums; ValueError for bytes that hold none."""
    header, u, v = _unpacked(data)
    setters, cells = tuple(map(str, header["setters"])), cells_from(header["cells"])
    _refuse_unless(u.shape == v.shape == (len(setters), len(cells)))
    return ClassSums(setters, cells, u, v)


def _packed(header: Mapping[str, Any], **arrays: Floats) -> bytes:
    file = io.BytesIO()
    text = np.frombuffer(json.dumps(header).encode("utf-8"), dtype=np.uint8)
    np.savez_compressed(file, header=text, **arrays)  # type: ignore[arg-type]  # arrays by name
    return file.getvalue()


def _unpacked(data: bytes) -> tuple[dict[str, Any], Floats, Floats]:
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
            return json.loads(arrays["header"].tobytes()), arrays["u"], arrays["v"]
    except (*UNREADABLE, ValueError) as error:
        raise ValueError("these bytes are no sums") from error


def _refuse_unless(fits: bool) -> None:  # noqa: FBT001 - the one thing that is asked
    if not fits:
        raise ValueError("the arrays are not those of the cells")


_OWN_SUMS: Form[Summed] = Form("sums", "npz", pack_sums, unpack_sums)
_PACKED: Form[bytes] = Form("sums", "npz", bytes, bytes)
_CLASS_SUMS = Form("classsums", "npz", pack_class, unpack_class)


def keep_priors(book: Logbook, bundle: Bundle, only: str | frozenset[str] | None) -> None:
    """Keep what a bundle says of the class of `only`; of several classes the largest stays.

    What cannot be read is left, because findings are as right without it.
    """
    for setter_id, sums in bundle.priors:
        if setter_id != only:
            continue
        new = prior_in(sums)
        kept = json.loads(book.ask(defaults.default, defaults.prior_name(setter_id)) or "{}")
        same = kept.get("replica") in {None, bundle.replica}
        if new is not None and (same or new.setters > int(kept["setters"])):
            value = {"replica": bundle.replica, "setters": new.setters, "sums": sums}
            book.tell(defaults.set_default, defaults.prior_name(setter_id), json.dumps(value))
