"""A class as an XLSX workbook: students, looks, attempts, what to order, and the burs.

Every figure is the one that Class, Progress and their commands give: the lines are
`class_answers.class_lines`, and what one setter's log says beyond them is `setter_facts`.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.analysis.classes.register import Register
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.periods.practice_by_week import Used
from platebook.analysis.periods.stock import Stock
from platebook.logbook import Logbook, setter_records
from platebook.practice.attempt import Attempt
from platebook.reports.text.class_text import main_defect
from platebook.reports.text.figures import GRADES
from platebook.services.attempts.log import attempts_of
from platebook.services.classes.class_answers import class_lines
from platebook.services.classes.class_roll import Pupil, roster_of
from platebook.services.classes.register import registers
from platebook.services.classes.setter_work import Line, SetterLog, log_of
from platebook.services.classes.terms import find_term, roll_of
from platebook.services.classes.worker_pool import WorkerPool
from platebook.services.files import write_new_bytes, wrong_ending
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Refused, Session, opened, signed_name, signers, today_at
from platebook.services.workbook.setter_facts import PERIODS, Facts, Need, facts_of
from platebook.trade.phrases import count_of
from platebook.trade.records import Tool
from platebook.values import Value, field

if TYPE_CHECKING:
    from platebook.exchange.xlsx_pages import Page

SUFFIX = ".xlsx"
STUDENTS, LOOKS, ATTEMPTS, TO_ORDER = "Students", "Looks", "Attempts", "To order"
WORN_BURS = "Worn burs"
SHARES = frozenset(
    {
        "share good",
        "share good from",
        "share good to",
        "same verdict",
        "same verdict from",
        "same verdict to",
    }
)
OUTCOMES = {"+": "good", "x": "failed"}

Row = dict[str, object]


class WrittenWorkbook(Value):
    """How many rows each sheet has."""

    students: int
    looks: int
    attempts: int
    to_order: int
    burs: int


class _Student(Value):
    pupil: Pupil
    classes: str
    line: Line
    log: SetterLog
    burs: Sequence[Tool]


class _Gathered(Value):
    """All of a class that a workbook tells: `facts` by setter id, `known` are signers by id.

    `came` says by setter id on how many evenings they came, of how many while in their class.
    """

    students: Sequence[_Student]
    facts: Mapping[str, Facts]
    attempts: Sequence[Attempt]
    today: date
    known: Mapping[str, str] = field(default_factory=dict)
    came: Mapping[str, tuple[int, int]] = field(default_factory=dict)


def export_class(
    session: Session,
    file: Path,
    group: str | None = None,
    *,
    worn_at: int | None = None,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> WrittenWorkbook:
    """Write a class, or everyone, to a new XLSX file; gives how many rows each sheet has.

    A bur that has cut `worn_at` seats or more is marked. Refused for a file of another kind or one
    that is there, and for a class that is not there or that nobody is in. The file appears whole
    or not at all.
    """
    if file.suffix.lower() != SUFFIX:
        raise wrong_ending(Path(file.name), f"*{SUFFIX}")
    if file.exists():
        raise Refused(f"{file}: is there already; name another file")
    if worn_at is not None and worn_at < 1:
        raise Refused(f"worn at: read {worn_at}, expected 1 seat or more")
    gathered = _gather(session, group, executor, watch)
    pages = _pages(gathered, worn_at)
    from platebook.exchange.xlsx_pages import write_pages

    write_new_bytes(file, [write_pages(pages, watch)])
    return WrittenWorkbook(*(len(page.rows) for page in pages))


def _gather(
    session: Session, group: str | None, executor: Executor | None, watch: Watch
) -> _Gathered:
    lines, today = class_lines(session, group, executor, watch), today_at(session)
    if not lines:
        raise Refused("class: nobody is in it yet; add people with platebook class add")
    classes = {
        listed.setter.setter_id or "": ", ".join(listed.classes) or listed.group
        for listed in roster_of(session, group)
    }
    with opened(session) as book, WorkerPool(executor, watch) as pool:
        roll = roll_of(book, today)
        term = find_term(roll, group, today) if group else None
        came = _came(registers(book, roll, term, today))
        students = [
            _Student(
                pupil=pupil,
                classes=classes.get(pupil.setter_id, "") or (term.name if term else ""),
                line=line,
                log=log_of(book, pupil),
                burs=_burs(book, pupil),
            )
            for pupil, line in lines
        ]
        facts = pool.spread(
            facts_of,
            ((one.pupil.setter_id, (one.log, today)) for one in students),
            attempts=sum(one.pupil.attempts for one in students),
            steps=(0, len(students)),
        )
        known = signers(book)
    theirs = {one.pupil.setter_id for one in students}
    attempts = [a for a in attempts_of(session, everyone=True) if a.setter_id in theirs]
    return _Gathered(students, facts, attempts, today, known, came)


def _came(kept: Iterable[Register]) -> dict[str, tuple[int, int]]:
    """On how many evenings each came and of how many, in all their classes; by setter id."""
    sums: dict[str, tuple[int, int]] = {}
    for row in (row for register in kept for row in register.rows if row.of):
        came, of = sums.get(row.setter_id, (0, 0))
        sums[row.setter_id] = came + row.came, of + row.of
    return sums


def _burs(book: Logbook, pupil: Pupil) -> list[Tool]:
    lying = book.ask(setter_records.tools, pupil.setter_id)
    return [tool for tool in lying if tool.kind == "bur"]


def _pages(gathered: _Gathered, worn_at: int | None) -> "list[Page]":
    from platebook.exchange.xlsx_pages import Page
    from platebook.exchange.xlsx_writer import attempts_page

    students = [_student(one, gathered) for one in gathered.students]
    return [
        Page(title=STUDENTS, headings=tuple(students[0]), rows=students, shares=SHARES),
        Page(title=LOOKS, headings=LOOK_HEADINGS, rows=_looks(gathered)),
        attempts_page(gathered.attempts, ATTEMPTS),
        Page(title=TO_ORDER, headings=ORDER_HEADINGS, rows=_orders(gathered.facts.values())),
        _worn_burs(gathered.students, worn_at),
    ]


def _student(one: _Student, gathered: _Gathered) -> Row:
    """A row of the first sheet; what nobody knows of a student is empty."""
    facts = gathered.facts[one.pupil.setter_id]
    came, evenings = gathered.came.get(one.pupil.setter_id, (None, None))
    line, eye = one.line.standing_on(gathered.today), one.line.eye
    verdict = eye.verdict if eye.not_enough is None else None
    days = [p.day for p in facts.passed if p.day is not None]
    return {
        "class": one.classes,
        "name": one.pupil.called,
        "grade": line.grade,
        "state": GRADES[line.state].words if line.state else "",
        "good ones to go": line.good_to_go if line.state in TO_BE_PASSED else None,
        "share good": line.lately,
        "share good from": line.lately_low,
        "share good to": line.lately_high,
        "last eight": ", ".join(OUTCOMES[sign] for sign in line.signs),
        "mostly": main_defect(line),
        "next": facts.next_title,
        "grades passed": len(facts.passed),
        "passed on": "; ".join(f"{p.title}: {p.day or 'no day noted'}" for p in facts.passed),
        "last passed": max(days, default=None),
        "signed by": "; ".join(f"{p.title}: {p.signed_by}" for p in facts.passed if p.signed_by),
        "waits for a sign-off": line.sign_off_title,
        "evenings came": came,
        "of evenings": evenings,
        "attempts": line.attempts,
        "days practised": len(one.line.done.days),
        "last practised": one.line.last_day,
        "attempts a week": line.practice.a_week if line.practice else None,
        "looks": len(one.log.others_looks),
        "drawn and looked at": eye.looks,
        "same verdict": verdict.same if verdict else None,
        "same verdict from": verdict.low if verdict else None,
        "same verdict to": verdict.high if verdict else None,
        "eye": line.eye,
        "setter_id": one.pupil.setter_id,
    }


LOOK_HEADINGS = (
    "when",
    "who",
    "whose",
    "plate",
    "position",
    "own result",
    "own severity",
    "look",
    "severity",
    "clock",
    "comment",
    "drawn at random",
    "attempt_id",
)


def _looks(gathered: _Gathered) -> list[Row]:
    """Every look by somebody else that has its attempt, a student after the other."""
    by_id = {attempt.attempt_id: attempt for attempt in gathered.attempts}
    rows: list[Row] = []
    for one in gathered.students:
        for look in one.log.others_looks:
            attempt = by_id.get(look.attempt_id)
            if attempt is None:
                continue
            values = (
                look.looked.replace(tzinfo=None) if look.looked else None,
                signed_name(gathered.known, look.inspector),
                one.pupil.called,
                attempt.plate,
                attempt.position,
                ";".join(attempt.result or ()),
                ";".join(map(str, attempt.severity or ())),
                ";".join(look.result or ()),
                ";".join(map(str, look.severity or ())),
                look.clock,
                look.comment,
                look.drawn_at_random,
                look.attempt_id,
            )
            rows.append(dict(zip(LOOK_HEADINGS, values, strict=True)))
    return rows


NEXT = "for the next exercises"
ORDER_HEADINGS = ("kind", "what", "material", "students", NEXT, "about cm²", *PERIODS)


def _orders(everyone: Iterable[Facts]) -> list[Row]:
    """A row a stone size, then one a sheet: what the next exercises need and what was used."""
    facts = tuple(everyone)
    needs = [need for one in facts for need in one.needs]
    stones = _used(facts, lambda used: used.stones)
    places = _used(facts, lambda used: used.places)
    return [*_order_rows("stone", needs, stones), *_order_rows("sheet", needs, places)]


def _used(facts: Iterable[Facts], counted: Callable[[Stock], Iterable[Used]]) -> list[Counter[str]]:
    """What everyone used together, by what it is, in the order of the periods."""
    sums: list[Counter[str]] = [Counter() for _ in PERIODS]
    for one in facts:
        for period, used in zip(sums, one.used, strict=True):
            period.update({each.what: each.count for each in counted(used)})
    return sums


def _order_rows(kind: str, needs: Iterable[Need], used: Sequence[Counter[str]]) -> Iterator[Row]:
    mine = [need for need in needs if need.kind == kind]
    for what in sorted({*(need.what for need in mine), *(name for sums in used for name in sums)}):
        here = [need for need in mine if need.what == what]
        areas = [need.area_mm2 for need in here if need.area_mm2 is not None]
        yield {
            "kind": kind,
            "what": what,
            "material": ", ".join(dict.fromkeys(need.material for need in here)),
            "students": len(here),
            NEXT: sum(need.count for need in here),
            "about cm²": round(sum(areas) / 100, 1) if areas else None,
            **{period: sums[what] for period, sums in zip(PERIODS, used, strict=True)},
        }


def _worn_burs(students: Iterable[_Student], worn_at: int | None) -> "Page":
    """Every bur that has cut a seat, the most used first, marked where it is over the limit."""
    from platebook.exchange.xlsx_pages import Page

    limit = () if worn_at is None else (f"{count_of(worn_at, 'seat')} or more",)
    rows: list[Row] = [
        {
            "student": one.pupil.called,
            "bur": bur.name,
            "shape": bur.shape,
            "size mm": bur.size_mm,
            "seats cut": bur.seats_cut,
            **dict.fromkeys(limit, worn_at is not None and bur.seats_cut >= worn_at),
        }
        for one in students
        for bur in one.burs
        if bur.seats_cut
    ]
    rows.sort(key=lambda row: -int(str(row["seats cut"])))
    headings = ("student", "bur", "shape", "size mm", "seats cut", *limit)
    return Page(title=WORN_BURS, headings=headings, rows=rows)
