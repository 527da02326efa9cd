"""How an entry begins: from the next exercise, or from an attempt that is to be corrected."""

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from platebook.practice.fields import Field, fields, parts
from platebook.practice.reading.questions import (
    MOST_DIGITS,
    Question,
    questions_for,
    sizes_to_measure,
)
from platebook.trade.phrases import full_day, moment_words
from platebook.tui.bench_session import BenchSession
from platebook.tui.entry.entry import (
    AS_LOGGED,
    FINISH,
    MORE,
    RESULT,
    SEAT_TOOL,
    SET_UP,
    SEVERITY,
    Entry,
    with_result,
)
from platebook.tui.entry.moves import first_stop
from platebook.tui.now.words import where_of
from platebook.values import replace

if TYPE_CHECKING:
    from platebook.services.now.now_view import NowView


LOOK = ("first_seen", "clock", "push_test", "ended", "rescued", "note")
SET_UP_GROUPS = ("stone", "sheet", "tools", "reading")
SET_UP_ASKED = ("once", "plate", "carried")
WHEN = ("began", "minutes")
SHEET_ROW = "sheet_row"
"""What a sheet called its row is not to be typed."""


def entry_for(view: "NowView", *, attempt_id: str, began: str) -> Entry:
    """A new attempt at the exercise shown on Now, standing at its first stop.

    Its id is given now, so that a draft saved just before the program died is not saved twice.
    """
    asked = view.readings
    advice, plate = view.advice, view.plate
    known = {
        **view.set_up,
        "attempt_id": attempt_id,
        "course": advice.course,
        "began": began,
        "grade": advice.grade,
        "exercise": advice.exercise or "",
        "kind": advice.kind,
        "part": advice.part or "",
        "block": advice.block_name,
        "block_run": str(advice.run.run) if advice.run is not None else "",
        "block_levels": advice.block_levels,
        "plate": plate.name if plate else "",
        "position": (plate.next_position or "") if plate else "",
        "readings_asked": "yes" if view.readings_asked else "no",
        **({SEAT_TOOL: view.seat_tool} if view.seat_tool else {}),
    }
    entry = _with_lists(
        asked or _readings_of(known),
        known,
        asked=view.readings_asked and bool(asked),
        part=advice.kind == "part",
        own=view.own,
    )
    windows = {q.field: q for q in sizes_to_measure(view.sizes) if q.field in entry.others}
    entry = replace(entry, others={**entry.others, **windows})
    entry = _with_seat_tools(entry, view.seat_tools)
    stop = first_stop(entry) if view.set_up else SET_UP
    return replace(
        entry,
        stop=stop,
        where=where_of(view),
        criterion=view.criterion,
        slight=view.advice.slight,
        proposed=view.proposed,
        grades=view.grades,
        differs=view.differs,
    )


def begin_entry(session: BenchSession, view: "NowView", *, began: str = "") -> Entry:
    """A new attempt that begins now, or began then."""
    began = began or session.clock().isoformat(timespec="seconds")
    return entry_for(view, attempt_id=session.new_id(), began=began)


def is_at(entry: Entry, view: "NowView") -> bool:
    """Whether an attempt is one at what Now shows, so that its sizes are those of this stone."""
    advice = view.advice
    return (entry.value("grade"), entry.value("exercise"), entry.value("plate")) == (
        advice.grade,
        advice.exercise or "",
        view.plate.name if view.plate else "",
    )


def gone_on_with(entry: Entry, view: "NowView") -> Entry:
    """An attempt of a draft, with what the course and the sizes say read again."""
    differs = view.differs if is_at(entry, view) else ()
    return replace(entry, grades=view.grades, differs=differs)


def _with_seat_tools(entry: Entry, tools: tuple[str, ...]) -> Entry:
    """The entry with the drawer's tools to choose from for a seat; more than digits are typed."""
    if not 0 < len(tools) < MOST_DIGITS:
        return entry
    keys = tuple((str(n), name) for n, name in enumerate(tools, 1))
    asked = replace(entry.others[SEAT_TOOL], keys=keys)
    return replace(entry, others={**entry.others, SEAT_TOOL: asked})


def entry_from(attempt_id: str, values: Mapping[str, str]) -> Entry:
    """An attempt as it stands in the logbook, to be corrected from its finish."""
    readings = _readings_of(values)
    part = values.get("kind") == "part"
    own = questions_for(name for name in values if name not in fields() and name != SHEET_ROW)
    known = {name: value for name, value in values.items() if value}
    entry = _with_lists(readings, known, asked=False, part=part, own=own)
    entry = with_result(entry, values.get(RESULT, ""), values.get(SEVERITY, ""))
    where = f"Correcting the attempt of {_day_and_time(values.get('began', ''))}"
    return replace(entry, attempt_id=attempt_id, stop=FINISH, origin=AS_LOGGED, where=where)


def _day_and_time(began: str) -> str:
    """When an attempt began: day and minute, or the day alone."""
    if not began:
        return "an unknown day"
    moment = datetime.fromisoformat(began)
    return moment_words(moment) if "T" in began else full_day(moment)


def _with_lists(
    readings: tuple[Question, ...],
    known: Mapping[str, str],
    *,
    asked: bool,
    part: bool,
    own: tuple[Question, ...] = (),
) -> Entry:
    """The entry with its lists; what is the setter's own stands first among "more"."""
    specs = fields()
    taken = {question.field for question in readings} | {RESULT, SEVERITY, *LOOK}
    set_up = tuple(name for name, spec in specs.items() if _is_set_up(spec) and name not in taken)
    more = tuple(
        name
        for name, spec in specs.items()
        if spec.asked in {"reading", "optional", "look"} and name not in {*taken, *set_up}
    )
    beside = tuple(question.field for question in own)
    lists = {SET_UP: set_up, MORE: (*beside, *more, *WHEN)}
    others = (*questions_for((*LOOK, *set_up, *more, *WHEN)), *own)
    return Entry(
        readings=readings,
        asked=asked,
        others={question.field: question for question in others},
        lists=lists,
        known=dict(known),
        part=part,
    )


def _readings_of(values: Mapping[str, str]) -> tuple[Question, ...]:
    """The readings of a setting, or those that a part exercise can have.

    What was read all the same is among them; of a part that has none all are offered.
    """
    every = [name for name, spec in fields().items() if spec.asked == "reading"]
    part = parts().get(values.get("part", "")) if values.get("kind") == "part" else None
    if part is None or not part.readings:
        return questions_for(every)
    return questions_for(name for name in every if name in part.readings or values.get(name))


def _is_set_up(spec: Field) -> bool:
    return spec.group in SET_UP_GROUPS and spec.asked in SET_UP_ASKED
