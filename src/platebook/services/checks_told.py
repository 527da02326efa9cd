"""What a check of a measuring tool tells, in figures and in words."""

import math
from dataclasses import dataclass

from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool
from platebook.trade.measuring import can_settle, reading_uncertainty
from platebook.trade.uncertainty import coverage

WINDOW_MM = 0.06
"""How wide the wanted window of a seat is, as custom has it: what a tool has to tell apart."""

SHARE = math.erf(math.sqrt(2))
SHOWN_MM = 0.0005
"""Less than this does not show in a figure of three decimals."""


@dataclass(frozen=True)
class Checked:
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


def told(tool: Tool, record: ToolCheckRecord, *, beside: ToolCheckRecord | None = None) -> Checked:
    """What a check says of its tool.

    `beside` is another check of it: the one that goes on counting beside a single reading, or a
    single reading made after this one.
    """
    check = record.worth()
    known = reading_uncertainty(tool, check)
    expanded = coverage(SHARE, known.freedom) * known.standard if known is not None else None
    within = None if tool.mpe_mm is None else check.within(tool.mpe_mm)
    settled = can_settle(WINDOW_MM, tool, check)
    sentences = [_bias_told(tool, record, outside=within is False), _spread_told(record)]
    if within is not None:
        word = "within" if within else "OUTSIDE"
        sentences.append(f"That is {word} its stated error of {tool.mpe_mm:g} mm.")
    if beside is not None:
        sentences.append(_beside_told(record, beside))
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
    return f"{record.checked:%Y-%m-%d}" if record.checked else "an earlier day"


def _bias_told(tool: Tool, record: ToolCheckRecord, *, outside: bool) -> str:
    bias, mpe = record.worth().bias_mm, tool.mpe_mm
    if abs(bias) < SHOWN_MM:
        return f"{tool.name} reads {record.known_mm:g} mm as it is."
    # A bias just outside its limit is told finer, or it would read like the limit itself.
    close = outside and mpe is not None and abs(bias) < mpe + SHOWN_MM
    figure = f"{abs(bias):.4f}" if close else f"{abs(bias):.3f}"
    more = "more" if bias > 0 else "less"
    return f"{tool.name} reads {figure} mm {more} than {record.known_mm:g} mm."


def _spread_told(record: ToolCheckRecord) -> str:
    spread = record.worth().repeatability_mm
    if spread is None:
        return "This is one reading: it tells no spread and corrects nothing; take five."
    return f"Its readings differ by {spread:.3f} mm (one s.d.)."


def _beside_told(record: ToolCheckRecord, beside: ToolCheckRecord) -> str:
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
