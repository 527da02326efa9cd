"""A session that answers from a table, so that a screen can be tested without a logbook."""

import dataclasses
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from tests.builders import an_attempt
from tests.tui import bench
from tests.tui.class_session import SessionOfAClass
from tests.tui.findings.values import VALUES, a_picture, some_findings
from tests.tui.grades.values import a_course_view, some_progress

from platebook.advice.minding import Minded
from platebook.analysis.findings.telling.raw_values import RawValues
from platebook.analysis.findings.telling.results import Findings
from platebook.analysis.findings.trials import Trial
from platebook.analysis.grades.progress import Progress
from platebook.logbook.attempts.wanted_attempts import Order
from platebook.practice.people.received import Received
from platebook.practice.records import Plate
from platebook.services.answers import progress
from platebook.services.attempts.log import (
    Cursor,
    LogPage,
    LogRow,
    attempt_history,
    attempt_values,
    attempts_with_ids,
    log_page,
)
from platebook.services.attempts.recording import (
    Recorded,
    amend,
    hide,
    record,
    redo,
    undo,
    undo_mark,
)
from platebook.services.attempts.spreadsheets import write_typed
from platebook.services.classes.inspections import can_take_back
from platebook.services.courses.waiting import refuse_course, take_course
from platebook.services.drawer.drawer import DrawerRow, change, drawer_view, put_in, take_out
from platebook.services.drawer.tool_checks import check_typed
from platebook.services.drawer.tool_use import tool_uses
from platebook.services.findings import Asked, FindingsWithValues, findings_with_values
from platebook.services.from_others import from_others, news, read_news, said_of
from platebook.services.now.choices import Chosen, as_suggested, practise, settle
from platebook.services.now.minding import Minding, mind_today, minded_findings
from platebook.services.now.now_view import NowView, WhatNext, now, show_steps, what_next
from platebook.services.pages.course_page import CourseView, course_view
from platebook.services.pages.handouts import card_here, report_here
from platebook.services.people.setters import FirstOffers, OfferedCourse, begin, first_offers
from platebook.services.people.teachers import begin_teaching
from platebook.services.plates import PlateCell, PlateView, plate_of_attempt
from platebook.services.seeing import Judged, judge_plate, keep_reference, seeing_view
from platebook.services.sharing.start_files import begin_with_file
from platebook.values import replace

EVENING = datetime(2026, 3, 4, 18, 42, tzinfo=UTC)
PAGE = 200
STORED = Recorded(("a",), (), stored=True)


class DraftsInMemory:
    """Keeps the draft of one window, and offers one that another window left."""

    def __init__(self, left_behind: Mapping[str, object] | None = None) -> None:
        self.left_behind = left_behind
        self.kept: Mapping[str, object] | None = None
        self.syncs = 0
        self.full: OSError | None = None

    def save(self, draft: Mapping[str, object], *, sync: bool = False) -> None:
        """Keep this draft, or fail as a full disk does."""
        if self.full is not None:
            raise self.full
        self.kept = dict(draft)
        self.syncs += sync

    def draft(self) -> Mapping[str, object] | None:
        """What is kept now."""
        return self.kept

    def load(self) -> Mapping[str, object] | None:
        """What another window left, once."""
        found, self.left_behind = self.left_behind, None
        return found

    def waiting_for_others(self) -> tuple[str, ...]:
        """Nobody else left any."""
        return ()

    def clear(self) -> None:
        """Forget the draft."""
        self.kept = None


@dataclasses.dataclass
class SessionOfAnEvening(SessionOfAClass):
    """The answers about a setter's evening at the bench beside those about the class."""

    view: NowView = dataclasses.field(default_factory=bench.a_view)
    rows: tuple[LogRow, ...] = ()
    found: Findings = dataclasses.field(default_factory=some_findings)
    behind: tuple[RawValues | None, ...] = VALUES
    counted: Progress = dataclasses.field(default_factory=some_progress)
    recorded: Recorded = STORED
    left_behind: Mapping[str, object] | None = None
    there: tuple[str, ...] = ()
    course_shown: CourseView = dataclasses.field(default_factory=a_course_view)
    tools: tuple[DrawerRow, ...] = bench.DRAWER
    new: bool = False
    invented: bool = False
    trials: tuple[Trial, ...] = ()
    received: Received = dataclasses.field(default_factory=Received)
    news: str = ""
    minding: Minding = dataclasses.field(default_factory=Minding)
    minded: tuple[Minded, ...] = ()
    courses: tuple[OfferedCourse, ...] = (
        OfferedCourse("small-to-large", "From small to large", "1.5 to 3.0 mm."),
        OfferedCourse("large-to-small", "From large to small", "2.5 to 1.5 mm."),
    )

    def __post_init__(self) -> None:
        super().__post_init__()
        self.saved: list[Mapping[str, object]] = []
        self.amended: list[tuple[str, Mapping[str, object]]] = []
        self.begun: list[tuple[str, str | None, str | None, Sequence[Any]]] = []
        self.taught: list[tuple[str, bool, str | None]] = []
        self.keeper = DraftsInMemory(self.left_behind)
        self.answers |= {
            amend: self._amend,
            as_suggested: lambda: self._chose("as suggested", "As suggested again."),
            mind_today: lambda: self.minding,
            minded_findings: lambda: self.minded,
            practise: self._practise,
            settle: self._settle,
            attempt_history: _history,
            attempt_values: _values,
            attempts_with_ids: lambda ids: [
                an_attempt(attempt_id=i) for i in ids if i in self.there
            ],
            begin: self._begin,
            change: self._change_tool,
            check_typed: self._check_tool,
            begin_teaching: self._begin_teaching,
            begin_with_file: self._begin_with_file,
            course_view: lambda: self.course_shown,
            take_course: lambda key: f"{key} is in force here; undo takes it back.",
            refuse_course: lambda key: f"{key} is refused.",
            drawer_view: lambda: self.tools,
            tool_uses: lambda: bench.TOOL_USES,
            findings_with_values: self._findings,
            first_offers: self._first_offers,
            from_others: lambda: self.received,
            hide: lambda *attempt_ids: f"Hidden: {', '.join(attempt_ids)}.",
            log_page: self._log_page,
            plate_of_attempt: self._plate_of,
            news: lambda: self.news,
            now: self._now,
            read_news: self._read_news,
            said_of: self._said_of,
            progress: lambda: self.counted,
            put_in: self._put_in,
            record: self._record,
            redo: lambda: "Put back: the attempt of 18:42.",
            seeing_view: bench.some_plates_to_see,
            judge_plate: self._judge_plate,
            keep_reference: self._keep_reference,
            show_steps: self._show_steps,
            take_out: lambda tool_id: f"{tool_id} is taken out; undo puts it back.",
            undo: self._undo,
            undo_mark: lambda: str(self.calls.count("record") - self.calls.count("undo")),
            can_take_back: lambda: len(self.looked) + len(self.signed) > self.calls.count("undo"),
            what_next: self._what_next,
            write_typed: _written,
            report_here: lambda: "Written to report.html.",
            card_here: lambda whose="": f"Written to card{whose}.svg.",
        }

    def open(self) -> None:
        """There is no logbook to open."""
        self._called("open")

    def clock(self) -> datetime:
        """Always the same evening."""
        return EVENING

    def new_id(self) -> str:
        """Always the same id."""
        return "0198c1a0-0000-7000-8000-000000000001"

    def drafts(self) -> Any:
        """The keeper in memory."""
        return self.keeper

    def _standing(self, ids: Sequence[str]) -> Sequence[Any]:
        return [an_attempt(attempt_id=key) for key in ids if key in self.there]

    def _first_offers(self) -> FirstOffers | None:
        return FirstOffers(self.courses, bench.SOME_TOOLS) if self.new else None

    def _begin(
        self, *, name: str, course_id: str | None, tools: Sequence[Any], seats: str | None
    ) -> None:
        self.begun.append((name, seats, course_id, tools))

    def _judge_plate(self, name: str, seen: Mapping[str, str]) -> Judged:
        self._called(f"judge {name}: {dict(seen)}")
        return bench.a_judged_plate()

    def _keep_reference(self, name: str, verdicts: Mapping[str, str]) -> Plate:
        self._called(f"keep {name}: {dict(verdicts)}")
        return Plate(name=name, positions=tuple(verdicts), verdicts=tuple(verdicts.values()))

    def _now(self) -> NowView:
        self._called("now")
        return self.view

    def _what_next(self, result: str) -> WhatNext:
        remedy = ("Before burnishing press the high side; after, lift the lip.",)
        return WhatNext(self._now(), remedy if "tilted" in result else ())

    def _show_steps(self, *, shown: bool) -> None:
        self.calls.append(f"steps {shown}")

    def _record(self, rows: Sequence[Mapping[str, object]], *, as_typed: bool) -> Recorded:
        assert as_typed, "the screens show and ask everything themselves"
        self._called("record")
        if not self.recorded.stored:
            return self.recorded
        self.saved.extend(rows)
        return replace(self.recorded, ids=tuple(str(n) for n, _ in enumerate(rows)))

    def _amend(self, attempt_id: str, values: Mapping[str, object]) -> Recorded:
        self.amended.append((attempt_id, values))
        return self.recorded

    def _put_in(self, typed: str) -> str:
        self._called("put_in")
        self.calls.append(f"put in {typed}")
        return f"{typed} lies in the drawer."

    def _change_tool(self, tool_id: str, typed: str) -> str:
        self.calls.append(f"change {tool_id} to {typed}")
        return f"It is now {typed}."

    def _check_tool(self, tool_id: str, typed: str) -> str:
        self.calls.append(f"check {tool_id} by {typed}")
        return "It reads 0.010 mm more."

    def _begin_teaching(self, *, name: str, also_sets: bool, course_id: str | None) -> None:
        self.taught.append((name, also_sets, course_id))
        self.setter, self.teaches = name, True

    def _begin_with_file(self, typed: str) -> None:
        self.calls.append(f"begin with {typed}")

    def _read_news(self) -> Received:
        self._called("read news")
        self.news = ""
        return self.received

    def _said_of(self, attempt_id: str) -> Received:
        looks = tuple(x for x in self.received.looks if x.attempt_id == attempt_id)
        return replace(self.received, looks=looks, words=())

    def _practise(self, *, grade: str | None, exercise: str | None) -> Chosen:
        self._called("practise")
        self.calls.append(f"practise {grade} {exercise}")
        return Chosen("Your choice.", ("It counts as always.",))

    def _settle(self, variable: str, defect: str) -> Chosen:
        self._called("settle")
        self.calls.append(f"settle {variable} {defect}")
        return Chosen("Block 1: 8 settings.", ("Seat bur, by lot.",))

    def _chose(self, what: str, sentence: str) -> str:
        self.calls.append(what)
        return sentence

    def _undo(self) -> str:
        self._called("undo")
        return "Taken back: the attempt of 18:42."

    def _log_page(
        self, *, words: str, before: Cursor | None, everyone: bool, order: Order
    ) -> LogPage:
        """A page of the rows that have all the words."""
        del everyone
        self.calls.append(f"log {words} {order}".strip())
        kept = tuple(r for r in self.rows if all(w in str(r) for w in words.split()))
        start = int(before.before.attempt_id or 0) if before is not None else 0
        end = start + PAGE
        older = Cursor(an_attempt(attempt_id=str(end))) if end < len(kept) else None
        return LogPage(kept[start:end], len(kept), older)

    def _plate_of(self, attempt_id: str) -> PlateView:
        """Ten rows of the log lie on a plate."""
        place = [row.attempt_id for row in self.rows].index(attempt_id)
        rows = self.rows[place - place % 10 :][:10]
        cells = tuple(
            PlateCell(
                str(n), row.result[0][:1], " + ".join(row.result), row.attempt_id, row.outcome
            )
            for n, row in zip(range(10, 0, -1), rows, strict=False)
        )
        return PlateView("C", cells[::-1], None)

    def _findings(self, *, asked: Asked) -> FindingsWithValues:
        self.calls.append(f"{asked.text} findings".strip())
        behind = dict(enumerate(self.behind))
        values = tuple(behind.get(place) for place in range(len(self.found.findings)))
        drawn = (*self.found.findings, *self.found.retired)
        return FindingsWithValues(self.found, values, tuple(map(a_picture, drawn)), self.trials)


def _values(attempt_id: str) -> Mapping[str, str]:
    """An attempt with two defects."""
    del attempt_id
    return {
        **bench.SET_UP,
        "kind": "whole",
        "began": "2026-02-28T18:30+00:00",
        "fit": "drops in",
        "result": "tilted;gap",
        "severity": "2;1",
        "note": "chatter",
    }


def _history(attempt_id: str) -> tuple[str, ...]:
    """Two changes."""
    return (f"{attempt_id}: recorded", "result: good became tilted")


def _written(file: str, *, words: str, everyone: bool, attempt_ids: Sequence[str]) -> str:
    """What would be written."""
    return f"{file}: {words!r} {everyone} {', '.join(attempt_ids)}"
