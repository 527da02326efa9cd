"""The class for its instructor: a line a setter, what all share, whose eye is kind.

| function | gives |
|---|---|
| `class_so_far`, `eyes`, `class_findings` | the three answers about a class |
| `class_lines`, `lines_of`, `read_ahead` | a line a setter, kept until the setter logs something |
"""

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from concurrent.futures import Executor

from platebook.advice.class_standing import SetterLine
from platebook.analysis.classes.agreement import Agreement
from platebook.analysis.classes.find_class import (
    Lead,
    find_class,
    find_from_answers,
    lead_of,
)
from platebook.analysis.classes.search import ClassShare
from platebook.analysis.findings.telling.results import ClassFindings
from platebook.analysis.models.bayes_factors import ClassPrior, Key
from platebook.analysis.periods.practice_by_week import Practice, together
from platebook.services.cache import OF_A_CLASS, Cache, json_form, mark_of, recall
from platebook.services.classes.class_roll import Pupil, pupils
from platebook.services.classes.setter_work import (
    Line,
    form_beside,
    line_of,
    log_of,
    mark_of_share,
    share_of,
)
from platebook.services.classes.worker_pool import WORTH_A_POOL, WorkerPool
from platebook.services.findings import LATELY_ASKED, Asked
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Session, opened, today_at
from platebook.values import Value, field

ROUNDS = 3
"""A class is asked once, and again beside the first and second thing that it shares."""


class _KeptLine(Value, kw_only=True):
    mark: str
    line: Line


class _KeptLines(Value, kw_only=True):
    """The lines of a whole class in one file: hundreds of files would take long to read."""

    lines: Mapping[str, _KeptLine] = field(default_factory=dict)


_LINES = json_form(_KeptLines, "lines")


def lines_of(session: Session, members: Sequence[Pupil], pool: WorkerPool) -> tuple[Line, ...]:
    """The lines of these setters, kept or worked out and then kept.

    What depends on the day is added when it is asked for, so that a line stands from one day to
    the next.
    """
    cache = Cache(session.path)
    kept = (cache.find(_LINES, OF_A_CLASS) or _KeptLines()).lines
    marks = {pupil.setter_id: mark_of(f"{pupil.rests_on} {pupil.draws}") for pupil in members}
    lines = {
        setter_id: kept[setter_id].line
        for setter_id, mark in marks.items()
        if setter_id in kept and kept[setter_id].mark == mark
    }
    wanted = [pupil for pupil in members if pupil.setter_id not in lines]
    if wanted:
        with opened(session) as book:
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
    session: Session, group: str | None, executor: Executor | None, watch: Watch
) -> list[tuple[Pupil, Line]]:
    """Everyone of a group with their line; Refused for a group nobody is in."""
    members = pupils(session, group)
    with WorkerPool(executor, watch) as pool:
        return list(zip(members, lines_of(session, members, pool), strict=True))


def read_ahead(session: Session, watch: Watch = unwatched) -> None:
    """Work out and keep the lines of everyone, where they are so many that it takes long.

    One person alone is no class, and has no line that anybody would open.
    """
    members = pupils(session)
    if len(members) > 1 and sum(pupil.attempts for pupil in members) >= WORTH_A_POOL:
        with WorkerPool(watch=watch) as pool:
            lines_of(session, members, pool)


def class_so_far(
    session: Session,
    group: str | None = None,
    *,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> tuple[tuple[SetterLine, ...], Practice]:
    """A line a setter in the roster's order, and how much all practised and what they used."""
    lines, today = class_lines(session, group, executor, watch), today_at(session)
    practice = together(line.done for _, line in lines).seen_on(today)
    standings = tuple(line.standing_on(today, left=pupil.left) for pupil, line in lines)
    return standings, practice


def eyes(
    session: Session,
    group: str | None = None,
    *,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> dict[str, Agreement]:
    """How far each setter's eye agrees with the inspections of their drawn positions, by name."""
    return {pupil.called: line.eye for pupil, line in class_lines(session, group, executor, watch)}


def class_findings(
    session: Session,
    group: str | None = None,
    *,
    asked: Asked = LATELY_ASKED,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> ClassFindings:
    """What goes with failure across the class, kept until one of them logs something.

    Each setter's failures are those of their own course, and each is asked about the same attempts
    as their own findings rest on (`asked`).
    """
    members = pupils(session, group)
    logs = [pupil for pupil in members if pupil.attempts]
    if not logs:
        return find_class({})

    def work_out() -> ClassFindings:
        with WorkerPool(executor, watch) as pool:
            return find_from_answers(AskedSetters(session, logs, pool, asked))

    return recall(
        ClassFindings,
        work_out,
        cache=Cache(session.path),
        setter_id="-".join(filter(None, (OF_A_CLASS, "of", str(len(members)), asked.word))),
        digest="\n".join(
            (*(f"{pupil.setter_id} {pupil.called} {pupil.rests_on}" for pupil in logs), asked.text)
        ),
    )


class AskedSetters:
    """Answers for the setters of a class, as `find_from_answers` asks them.

    Whatever a setter's log alone decides is kept until the setter logs something.
    """

    def __init__(
        self,
        session: Session,
        members: Sequence[Pupil],
        pool: WorkerPool,
        asked: Asked = LATELY_ASKED,
    ) -> None:
        self._session = session
        self._asked = asked
        self._members = {pupil.called: pupil for pupil in members}
        self._pool = pool
        self._cache = Cache(session.path)
        self._first: Mapping[str, ClassShare] = {}

    def shares(self, found: Sequence[Key] = ()) -> Mapping[str, ClassShare]:
        """Every setter's share beside the cells already found."""
        form = form_beside(found, self._asked.word)
        marks = {
            name: mark_of_share(pupil, found, self._asked) for name, pupil in self._members.items()
        }
        shares: dict[str, ClassShare] = {}
        for name, pupil in self._members.items():
            share = self._cache.find(form, pupil.setter_id, marks[name])
            if share is not None:
                shares[name] = share
        wanted = [pupil for name, pupil in self._members.items() if name not in shares]
        before, window = len(found) * len(self._members) + len(shares), self._asked.window()

        def keep(name: str, share: ClassShare) -> None:
            self._cache.keep(form, self._members[name].setter_id, share, marks[name])

        with opened(self._session) as book:
            shares |= self._pool.spread(
                share_of,
                ((pupil.called, (log_of(book, pupil), tuple(found), window)) for pupil in wanted),
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
