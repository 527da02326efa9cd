"""Measuring tools: checked against something of known size, and what their readings are worth."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.practice.problem import Problem
from platebook.practice.text import clean
from platebook.practice.tool_check import ToolCheckRecord
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.trade.drawer import Tool
from platebook.trade.lengths import read_length
from platebook.trade.measuring import ReadingWorth, can_settle, reading_uncertainty, reading_worth
from platebook.trade.uncertainty import coverage

if TYPE_CHECKING:
    from platebook.logbook import Logbook

WINDOW_MM = 0.06
"""How wide the wanted window of a seat is, as custom has it: what a tool has to tell apart."""

SHARE = math.erf(math.sqrt(2))


@dataclass(frozen=True)
class Checked:
    """A check of a tool in figures (mm) and words; None where the readings do not say.

    `within_mpe` says whether the bias lies within the tool's stated error. `expanded_mm` is what a
    corrected reading is good to (about 95 %).
    """

    tool: Tool
    check: ToolCheckRecord
    bias_mm: float
    repeatability_mm: float | None
    expanded_mm: float | None
    within_mpe: bool | None
    settles_window: bool | None
    sentences: tuple[str, ...]


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
    from platebook.services.answers import setter_in_use

    faults: list[Problem] = []
    known_mm = _length("against", known, faults)
    unsure = _length("uncertainty", uncertainty, faults) if uncertainty else 0.0
    read = tuple(_length("reading", text, faults) for text in readings)
    if not read:
        faults.append(Problem(0, "reading", "nothing", "at least one reading; five say more"))
    faults += _far_off(known_mm, read)
    if faults:
        raise Refused(
            "; ".join(f"{p.field}: read {p.read!r}, expected {p.expected}" for p in faults)
        )
    with opened(desk, make=False) as book:
        setter_id = setter_in_use(desk, book).setter_id or ""
        tool = _measuring(book, setter_id, named)
        made = book.add_tool_check(
            ToolCheckRecord(
                setter_id=setter_id,
                tool_id=tool.tool_id or "",
                against=clean(against),
                known_mm=known_mm,
                known_uncertainty_mm=unsure,
                readings_mm=read,
                checked=desk.clock().astimezone(desk.zone),
            ),
            author=desk.author,
            now=desk.clock(),
        )
    return told(tool, made)


def told(tool: Tool, record: ToolCheckRecord) -> Checked:
    """What a check says of its tool."""
    check = record.worth()
    known = reading_uncertainty(tool, check)
    expanded = coverage(SHARE, known.freedom) * known.standard if known is not None else None
    within = None if tool.mpe_mm is None else abs(check.bias_mm) <= tool.mpe_mm
    settled = can_settle(WINDOW_MM, tool, check)
    more = "more" if check.bias_mm > 0 else "less"
    sentences = [
        f"{tool.name} reads {abs(check.bias_mm):.3f} mm {more} than {record.known_mm:g} mm"
        if abs(check.bias_mm) >= 0.0005
        else f"{tool.name} reads {record.known_mm:g} mm as it is",
    ]
    if check.repeatability_mm is None:
        sentences.append("one reading corrects nothing: take five")
    else:
        sentences.append(f"its readings differ by {check.repeatability_mm:.3f} mm (one s.d.)")
    if within is not None:
        word = "within" if within else "OUTSIDE"
        sentences.append(f"that is {word} its stated error of {tool.mpe_mm:g} mm")
    if expanded is not None:
        sentences.append(f"a reading, corrected, is good to ± {expanded:.3f} mm")
    first, *others = sentences
    lines = [f"{first}.", *(f"{s[0].upper()}{s[1:]}." for s in others)]
    if settled is not None:
        lines.append(settled.sentence)
    return Checked(
        tool=tool,
        check=record,
        bias_mm=round(check.bias_mm, 6),
        repeatability_mm=_rounded(check.repeatability_mm),
        expanded_mm=_rounded(expanded),
        within_mpe=within,
        settles_window=settled.settles if settled is not None else None,
        sentences=tuple(lines),
    )


def _rounded(length_mm: float | None) -> float | None:
    return None if length_mm is None else round(length_mm, 6)


def checks_by_tool(checks: Iterable[ToolCheckRecord]) -> Mapping[str, ToolCheckRecord]:
    """The last check of each tool, by its id."""
    return {check.tool_id: check for check in checks}


def last_checks(desk: Desk) -> Mapping[str, Checked]:
    """What the last check of each measuring tool in the drawer says, by the tool's id."""
    from platebook.services.answers import setter_in_use

    with opened(desk, make=False) as book:
        setter_id = setter_in_use(desk, book).setter_id or ""
        tools = {tool.tool_id: tool for tool in book.tools(setter_id)}
        last = checks_by_tool(book.tool_checks(setter_id))
    return {name: told(tools[name], check) for name, check in last.items() if name in tools}


def worth_by_name(
    tools: Iterable[Tool], checks: Iterable[ToolCheckRecord]
) -> Mapping[str, ReadingWorth]:
    """What readings are worth by the tool's name or id, as `seat_measured_with` may give it."""
    last = checks_by_tool(checks)
    found: dict[str, ReadingWorth] = {}
    for tool in tools:
        record = last.get(tool.tool_id or "")
        worth = reading_worth(tool, record.worth() if record is not None else None)
        if tool.kind == "measuring" and worth is not None:
            found[tool.name] = found[tool.tool_id or ""] = worth
    return found


def _measuring(book: "Logbook", setter_id: str, named: str) -> Tool:
    tools = [t for t in book.tools(setter_id) if t.kind == "measuring"]
    wanted = clean(named).casefold()
    found = [t for t in tools if t.tool_id == named or t.name.casefold() == wanted]
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
