"""The answers over a class for its instructor: a line a setter, what all share, whose eye is kind.

Each setter's part is taken from the cache or made by the worker pool, so that only those are read
anew who logged something.
"""

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from concurrent.futures import Executor

from pydantic import BaseModel, ConfigDict

from platebook.advice.standing import Standing
from platebook.analysis.agreement import Agreement
from platebook.analysis.class_findings import ClassFindings
from platebook.analysis.class_personal import Lead, lead_of
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.class_share import ClassShare
from platebook.analysis.find_class import find_class, found_in
from platebook.analysis.practising import Practice, together
from platebook.analysis.weigh import Key
from platebook.services.cache import OF_A_CLASS, Cache, json_form, mark_of, remembered
from platebook.services.class_roll import Pupil, pupils
from platebook.services.desk import Desk, today_at
from platebook.services.faults import opened
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.setter_work import Line, line_of, log_of, share_of
from platebook.services.share_file import form_beside
from platebook.services.worker_pool import WORTH_A_POOL, WorkerPool

ROUNDS = 3
"""A class is asked once, and again beside the first and second thing that it shares."""


class _KeptLine(BaseModel):
    model_config = ConfigDict(frozen=True)

    mark: str
    line: Line


class _KeptLines(BaseModel):
    """The lines of a whole class in one file: hundreds of files would take long to read."""

    model_config = ConfigDict(frozen=True)

    lines: dict[str, _KeptLine] = {}


_LINES = json_form(_KeptLines, "lines")


def lines_of(desk: Desk, members: Sequence[Pupil], pool: WorkerPool) -> tuple[Line, ...]:
    """The lines of these setters, kept or worked out and then kept.

    What depends on the day is added when it is asked for, so that a line stands from one day to
    the next.
    """
    cache = Cache(desk.path)
    kept = (cache.find(_LINES, OF_A_CLASS) or _KeptLines()).lines
    marks = {pupil.setter_id: mark_of(f"{pupil.rests_on} {pupil.draws}") for pupil in members}
    lines = {
        setter_id: kept[setter_id].line
        for setter_id, mark in marks.items()
        if setter_id in kept and kept[setter_id].mark == mark
    }
    wanted = [pupil for pupil in members if pupil.setter_id not in lines]
    if wanted:
        with opened(desk) as book:
            lines |= pool.spread(
                line_of,
                ((pupil.setter_id, (log_of(book, pupil),)) for pupil in wanted),
                attempts=sum(pupil.attempts for pupil in wanted),
                steps=(len(lines), len(members)),
            )
        new = {key: _KeptLine(mark=mark, line=lines[key]) for key, mark in marks.items()}
        cache.keep(_LINES, OF_A_CLASS, _KeptLines(lines={**kept, **new}))
    return tuple(lines[pupil.setter_id] for pupil in members)


def class_lines(
    desk: Desk, group: str | None, executor: Executor | None, watch: Watch
) -> list[tuple[Pupil, Line]]:
    """Everyone of a group with their line; Refused for a group nobody is in."""
    members = pupils(desk, group)
    with WorkerPool(executor, watch) as pool:
        return list(zip(members, lines_of(desk, members, pool), strict=True))


def read_ahead(desk: Desk, watch: Watch = unwatched) -> None:
    """Work out and keep the lines of everyone, where they are so many that it takes long."""
    members = pupils(desk)
    if sum(pupil.attempts for pupil in members) >= WORTH_A_POOL:
        with WorkerPool(watch=watch) as pool:
            lines_of(desk, members, pool)


def class_so_far(
    desk: Desk,
    group: str | None = None,
    *,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> tuple[tuple[Standing, ...], Practice]:
    """A line a setter in the roster's order, and how much all practised and what they used."""
    lines, today = class_lines(desk, group, executor, watch), today_at(desk)
    practice = together(line.done for _, line in lines).seen_on(today)
    return tuple(line.standing_on(today) for _, line in lines), practice


def eyes(
    desk: Desk,
    group: str | None = None,
    *,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> dict[str, Agreement]:
    """How far each setter's eye agrees with the inspections of their drawn positions, by name."""
    return {pupil.called: line.eye for pupil, line in class_lines(desk, group, executor, watch)}


def class_findings(
    desk: Desk,
    group: str | None = None,
    *,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> ClassFindings:
    """What goes with failure across the class, kept until one of them logs something.

    Each setter's failures are those of their own course.
    """
    members = pupils(desk, group)
    logs = [pupil for pupil in members if pupil.attempts]
    if not logs:
        return find_class({})

    def work_out() -> ClassFindings:
        with WorkerPool(executor, watch) as pool:
            return found_in(AskedSetters(desk, logs, pool))

    return remembered(
        ClassFindings,
        work_out,
        logbook=desk.path,
        setter_id=f"{OF_A_CLASS}-of-{len(members)}",
        digest="\n".join(f"{pupil.setter_id} {pupil.called} {pupil.rests_on}" for pupil in logs),
    )


class AskedSetters:
    """Answers for the setters of a class, as `found_in` asks them.

    Whatever a setter's log alone decides is kept until the setter logs something.
    """

    def __init__(self, desk: Desk, members: Sequence[Pupil], pool: WorkerPool) -> None:
        self._desk = desk
        self._members = {pupil.called: pupil for pupil in members}
        self._pool = pool
        self._cache = Cache(desk.path)
        self._first: Mapping[str, ClassShare] = {}

    def shares(self, found: Sequence[Key] = ()) -> Mapping[str, ClassShare]:
        """Every setter's share beside the cells already found."""
        form, beside = form_beside(found), repr([tuple(key) for key in found])
        marks = {name: mark_of(pupil.rests_on, beside) for name, pupil in self._members.items()}
        shares: dict[str, ClassShare] = {}
        for name, pupil in self._members.items():
            share = self._cache.find(form, pupil.setter_id, marks[name])
            if share is not None:
                shares[name] = share
        wanted = [pupil for name, pupil in self._members.items() if name not in shares]
        before = len(found) * len(self._members) + len(shares)

        def keep(name: str, share: ClassShare) -> None:
            self._cache.keep(form, self._members[name].setter_id, share, marks[name])

        with opened(self._desk) as book:
            shares |= self._pool.spread(
                share_of,
                ((pupil.called, (log_of(book, pupil), tuple(found))) for pupil in wanted),
                attempts=sum(pupil.attempts for pupil in wanted),
                steps=(before, ROUNDS * len(self._members)),
                keep=keep,
            )
        shares = {name: shares[name] for name in self._members}
        if not found:
            self._first = shares
        return shares

    def leads(
        self, priors: Mapping[str, ClassPrior | None], common: AbstractSet[str]
    ) -> Mapping[str, Lead]:
        """The leads of those who have one."""
        leads = self._pool.spread(
            lead_of,
            (
                (name, (share, priors[name], frozenset(common)))
                for name, share in self._first.items()
            ),
            attempts=0,
        )
        return {name: lead for name, lead in leads.items() if lead is not None}
