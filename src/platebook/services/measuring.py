"""Measuring tools: checked against something of known size, and what their readings are worth."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from platebook.practice.problem import Problem
from platebook.practice.text import clean, folded
from platebook.practice.tool_check import ToolCheckRecord
from platebook.services.checks_told import Checked, told
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.naming import tools_named
from platebook.services.people import setter_in_use
from platebook.trade.drawer import Tool
from platebook.trade.lengths import read_length
from platebook.trade.measuring import ReadingWorth, reading_worth

if TYPE_CHECKING:
    from platebook.logbook import Logbook


MOST_UNSURE_MM = 0.1
"""A known size less sure than this is not known as seats go (judgement)."""


def check_tool(
    desk: Desk,
    named: str,
    *,
    known: str,
    readings: Sequence[str],
    against: str = "",
    uncertainty: str | None = None,
) -> Checked:
    """Record readings of a known size by a measuring tool of the drawer, and say what they tell.

    Refused with everything that is wrong at once; nothing is recorded then.
    """
    from platebook.logbook import belongings
    from platebook.logbook.adding import add_tool_check

    faults: list[Problem] = []
    known_mm = _length("against", known, faults)
    unsure = _length("uncertainty", uncertainty, faults) if uncertainty else 0.0
    read = tuple(_length("reading", text, faults) for text in readings)
    if not read:
        faults.append(Problem(0, "reading", "nothing", "at least one reading; five say more"))
    faults += _far_off(known_mm, read)
    if unsure > MOST_UNSURE_MM:
        expected = (
            f"a standard uncertainty of at most {MOST_UNSURE_MM:g} mm; else it checks nothing"
        )
        faults.append(Problem(0, "uncertainty", clean(uncertainty or ""), expected))
    if faults:
        raise Refused(
            "; ".join(f"{p.field}: read {p.read!r}, expected {p.expected}" for p in faults)
        )
    with opened(desk, make=False) as book:
        setter_id = setter_in_use(desk, book).setter_id or ""
        tool = _measuring(book, setter_id, named)
        made = book.tell(
            add_tool_check,
            ToolCheckRecord(
                setter_id=setter_id,
                tool_id=tool.tool_id or "",
                against=clean(against),
                known_mm=known_mm,
                known_uncertainty_mm=unsure,
                readings_mm=read,
                checked=desk.clock().astimezone(desk.zone),
            ),
            book.stamp(desk.author, desk.clock(), "check"),
        )
        counting = checks_by_tool(book.ask(belongings.tool_checks, setter_id))[made.tool_id]
    return told(tool, made, beside=_other(counting, made))


def checks_by_tool(checks: Iterable[ToolCheckRecord]) -> Mapping[str, ToolCheckRecord]:
    """The check of each tool that counts, by the tool's id: its last one.

    A single reading tells no spread: it counts only where nothing better was made before it.
    """
    found: dict[str, ToolCheckRecord] = {}
    for check in checks:
        before = found.get(check.tool_id)
        if before is None or check.worth().counts or not before.worth().counts:
            found[check.tool_id] = check
    return found


def last_checks(desk: Desk) -> Mapping[str, Checked]:
    """What the check that counts says of each measuring tool in the drawer, by the tool's id."""
    from platebook.logbook import belongings

    with opened(desk, make=False) as book:
        setter_id = setter_in_use(desk, book).setter_id or ""
        tools = {tool.tool_id: tool for tool in book.ask(belongings.tools, setter_id)}
        checks = book.ask(belongings.tool_checks, setter_id)
    latest = {check.tool_id: check for check in checks}
    return {
        name: told(tools[name], check, beside=_other(latest[name], check))
        for name, check in checks_by_tool(checks).items()
        if name in tools
    }


def _other(one: ToolCheckRecord, check: ToolCheckRecord) -> ToolCheckRecord | None:
    return None if one == check else one


def worth_by_name(
    tools: Iterable[Tool], checks: Iterable[ToolCheckRecord]
) -> Mapping[str, ReadingWorth]:
    """What readings are worth by the tool's id and name, as it is and folded.

    A name that two tools bear stands for neither.
    """
    tools = tuple(tools)
    bearing = Counter(key for tool in tools for key in {tool.name, folded(tool.name)})
    last = checks_by_tool(checks)
    found: dict[str, ReadingWorth] = {}
    for tool in tools:
        record = last.get(tool.tool_id or "")
        worth = reading_worth(tool, record.worth() if record is not None else None)
        if tool.kind == "measuring" and worth is not None:
            names = (name for name in (tool.name, folded(tool.name)) if bearing[name] == 1)
            found |= dict.fromkeys((tool.tool_id or "", *names), worth)
    return found


def _measuring(book: "Logbook", setter_id: str, named: str) -> Tool:
    from platebook.logbook import belongings

    tools = [t for t in book.ask(belongings.tools, setter_id) if t.kind == "measuring"]
    found = tools_named(tools, clean(named))
    if len(found) == 1:
        return found[0]
    names = (
        ", ".join(t.name for t in tools) or "none yet: platebook drawer add measuring --name ..."
    )
    raise Refused(
        f"tool: read {clean(named)!r}, expected one measuring tool of the drawer: {names}"
    )


def _length(name: str, text: str, faults: list[Problem]) -> float:
    read, expected = read_length(text)
    if read is None or read < 0:
        faults.append(Problem(0, name, clean(text), expected or "a length"))
        return 0.0
    return read


def _far_off(known_mm: float, readings: Sequence[float]) -> list[Problem]:
    """Readings that cannot be of this size: a typing error, or another unit."""
    return [
        Problem(0, "reading", f"{read:g} mm", f"within 1 mm of {known_mm:g} mm")
        for read in readings
        if known_mm and read and abs(read - known_mm) > 1
    ]
