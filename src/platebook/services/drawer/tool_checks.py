"""Measuring tools: checked against something of known size, and what that tells."""

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from platebook.logbook import Logbook, setter_records
from platebook.logbook.records import add_tool_check
from platebook.practice.problem import Problem
from platebook.practice.records import ToolCheckRecord
from platebook.practice.text import clean, folded
from platebook.services.drawer.tool_names import tools_named
from platebook.services.session import Refused, Session, opened, refusal_of, setter_in_use
from platebook.trade.lengths import read_length
from platebook.trade.measuring.tool_checks import (
    ReadingWorth,
    can_settle,
    coverage,
    reading_uncertainty,
    reading_worth,
)
from platebook.trade.phrases import full_day
from platebook.trade.records import Tool
from platebook.values import Value

WINDOW_MM = 0.06
"""How wide the wanted window of a seat is, as custom has it: what a tool has to tell apart."""

SHARE = math.erf(math.sqrt(2))
SHOWN_MM = 0.0005
"""Less than this does not show in a figure of three decimals."""


class Checked(Value):
    """A check of a tool in figures (mm) and words; None where the readings do not say.

    `within_mpe` says whether the bias lies within the tool's stated error. `expanded_mm` is what a
    corrected reading is good to (about 95 %); from a single reading nothing is corrected, and it is
    what the tool's stated error says.
    """

    tool: Tool
    check: ToolCheckRecord
    bias_mm: float
    repeatability_mm: float | None
    expanded_mm: float | None
    within_mpe: bool | None
    settles_window: bool | None
    sentences: tuple[str, ...]


def explain_check(
    tool: Tool, record: ToolCheckRecord, *, beside: ToolCheckRecord | None = None
) -> Checked:
    """What a check says of its tool.

    `beside` is another check of it: the one that goes on counting beside a single reading, or a
    single reading made after this one.
    """
    check = record.worth()
    known = reading_uncertainty(tool, check)
    expanded = coverage(SHARE, known.freedom) * known.standard if known is not None else None
    within = None if tool.mpe_mm is None else check.within(tool.mpe_mm)
    settled = can_settle(WINDOW_MM, tool, check)
    sentences = [_bias_sentence(tool, record, outside=within is False), _spread_sentence(record)]
    if within is not None:
        word = "within" if within else "OUTSIDE"
        sentences.append(f"That is {word} its stated error of {tool.mpe_mm:g} mm.")
    if beside is not None:
        sentences.append(_beside_sentence(record, beside))
    # What a tool is good to after one reading is said by the check that counts beside it.
    if expanded is not None and (check.counts or beside is None):
        how = "A reading, corrected, is" if check.counts else "By its stated error a reading is"
        sentences.append(f"{how} good to ± {expanded:.3f} mm.")
        if settled is not None:
            sentences.append(settled.sentence)
    return Checked(
        tool=tool,
        check=record,
        bias_mm=round(check.bias_mm, 6),
        repeatability_mm=_rounded(check.repeatability_mm),
        expanded_mm=_rounded(expanded),
        within_mpe=within,
        settles_window=settled.settles if settled is not None else None,
        sentences=tuple(sentences),
    )


def day_of(record: ToolCheckRecord) -> str:
    """The day of a check; "an earlier day" where nobody wrote it down."""
    return full_day(record.checked) if record.checked else "an earlier day"


def _bias_sentence(tool: Tool, record: ToolCheckRecord, *, outside: bool) -> str:
    bias, mpe = record.worth().bias_mm, tool.mpe_mm
    if abs(bias) < SHOWN_MM:
        return f"{tool.name} reads {record.known_mm:g} mm as it is."
    # A bias just outside its limit is told finer, or it would read like the limit itself.
    close = outside and mpe is not None and abs(bias) < mpe + SHOWN_MM
    figure = f"{abs(bias):.4f}" if close else f"{abs(bias):.3f}"
    more = "more" if bias > 0 else "less"
    return f"{tool.name} reads {figure} mm {more} than {record.known_mm:g} mm."


def _spread_sentence(record: ToolCheckRecord) -> str:
    spread = record.worth().repeatability_mm
    if spread is None:
        return "This is one reading: it tells no spread and corrects nothing; take five."
    return f"Its readings differ by {spread:.3f} mm (one s.d.)."


def _beside_sentence(record: ToolCheckRecord, beside: ToolCheckRecord) -> str:
    if record.worth().counts:
        bias = beside.worth().bias_mm
        return (
            f"One reading on {day_of(beside)} was {bias:+.3f} mm off; "
            f"it tells no spread, so this check still counts."
        )
    many, bias = len(beside.readings_mm), beside.worth().bias_mm
    return (
        f"The check of {day_of(beside)} with {many} readings ({bias:+.3f} mm) "
        f"still corrects what is read."
    )


def _rounded(length_mm: float | None) -> float | None:
    return None if length_mm is None else round(length_mm, 6)


MOST_UNSURE_MM = 0.1
"""A known size less sure than this is not known as seats go (judgement)."""


def check_tool(
    session: Session,
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
    problems: list[Problem] = []
    known_mm = _length("against", known, problems)
    unsure = _length("uncertainty", uncertainty, problems) if uncertainty else 0.0
    read = tuple(_length("reading", text, problems) for text in readings)
    if not read:
        problems.append(Problem(0, "reading", "nothing", "at least one reading; five say more"))
    problems += _far_off(known_mm, read)
    if unsure > MOST_UNSURE_MM:
        expected = (
            f"a standard uncertainty of at most {MOST_UNSURE_MM:g} mm; else it checks nothing"
        )
        problems.append(Problem(0, "uncertainty", clean(uncertainty or ""), expected))
    if problems:
        raise refusal_of(problems)
    with opened(session, make=False) as book:
        setter_id = setter_in_use(session, book).setter_id or ""
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
                checked=session.clock().astimezone(session.zone),
            ),
            session.stamp(book, "check"),
        )
        counting = checks_by_tool(book.ask(setter_records.tool_checks, setter_id))[made.tool_id]
    return explain_check(tool, made, beside=_other(counting, made))


def checks_by_tool(checks: Iterable[ToolCheckRecord]) -> Mapping[str, ToolCheckRecord]:
    """The check of each tool that counts, by the tool's id: its last one.

    A single reading tells no spread: it counts only where nothing better was made before it.
    """
    counting: dict[str, ToolCheckRecord] = {}
    for check in checks:
        before = counting.get(check.tool_id)
        if before is None or check.worth().counts or not before.worth().counts:
            counting[check.tool_id] = check
    return counting


def last_checks(session: Session) -> Mapping[str, Checked]:
    """What the check that counts says of each measuring tool in the drawer, by the tool's id."""
    with opened(session, make=False) as book:
        return checks_in(book, setter_in_use(session, book).setter_id or "")


def checks_in(book: Logbook, setter_id: str) -> Mapping[str, Checked]:
    """The same of a setter whose logbook is open."""
    tools = {tool.tool_id: tool for tool in book.ask(setter_records.tools, setter_id)}
    checks = book.ask(setter_records.tool_checks, setter_id)
    latest = {check.tool_id: check for check in checks}
    return {
        name: explain_check(tools[name], check, beside=_other(latest[name], check))
        for name, check in checks_by_tool(checks).items()
        if name in tools
    }


def check_words(last: Checked | None) -> str:
    """Whether a tool was checked, and when: "checked 3 February 2026", "never checked"."""
    if last is None:
        return "never checked"
    one = "" if last.check.worth().counts else " (one reading)"
    return f"checked {day_of(last.check)}{one}"


CHECK_SAYS = "A known size, then what it reads: 1.00 1.01 1.00 1.02 1.01 1.01"
FEWEST_TYPED = 2


def check_typed(session: Session, tool_id: str, typed: str) -> str:
    """Check a tool by a line of a known size and readings of it; says how far off it reads."""
    words = clean(typed).replace(";", " ").split()
    if len(words) < FEWEST_TYPED:
        raise Refused(f"check: read {clean(typed)!r}, expected a known size and readings of it")
    done = check_tool(session, tool_id, known=words[0], readings=words[1:])
    return done.sentences[0]


def _other(counting: ToolCheckRecord, check: ToolCheckRecord) -> ToolCheckRecord | None:
    return None if counting == check else counting


def worth_by_name(
    tools: Iterable[Tool], checks: Iterable[ToolCheckRecord]
) -> Mapping[str, ReadingWorth]:
    """What readings are worth by the tool's id and name, as it is and folded.

    A name that two tools bear stands for neither.
    """
    tools = tuple(tools)
    bearing = Counter([key for tool in tools for key in {tool.name, folded(tool.name)}])
    last = checks_by_tool(checks)
    worth_of: dict[str, ReadingWorth] = {}
    for tool in tools:
        if tool.kind != "measuring":
            continue
        record = last.get(tool.tool_id or "")
        worth = reading_worth(tool, record.worth() if record is not None else None)
        if worth is not None:
            names = [name for name in (tool.name, folded(tool.name)) if bearing[name] == 1]
            worth_of |= dict.fromkeys((tool.tool_id or "", *names), worth)
    return worth_of


def _measuring(book: Logbook, setter_id: str, named: str) -> Tool:
    tools = [t for t in book.ask(setter_records.tools, setter_id) if t.kind == "measuring"]
    fitting = tools_named(tools, clean(named))
    if len(fitting) == 1:
        return fitting[0]
    names = (
        ", ".join(t.name for t in tools) or "none yet: platebook drawer add measuring --name ..."
    )
    raise Refused(
        f"tool: read {clean(named)!r}, expected one measuring tool of the drawer: {names}"
    )


def _length(name: str, text: str, problems: list[Problem]) -> float:
    read, expected = read_length(text)
    if read is None or read < 0:
        problems.append(Problem(0, name, clean(text), expected or "a length"))
        return 0.0
    return read


def _far_off(known_mm: float, readings: Sequence[float]) -> list[Problem]:
    """Readings that cannot be of this size: a typing error, or another unit."""
    return [
        Problem(0, "reading", f"{read:g} mm", f"within 1 mm of {known_mm:g} mm")
        for read in readings
        if known_mm and read and abs(read - known_mm) > 1
    ]
