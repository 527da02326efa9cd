"""A tool from what a person typed about it."""

from typing import cast

from platebook.practice.fields import choices
from platebook.practice.problem import Problem, only_problems
from platebook.practice.text import LONGEST_LINE, clean, folded
from platebook.practice.values import bounds, read_choice
from platebook.trade.drawer import MeasuringKind, Tool, ToolKind
from platebook.trade.lengths import read_length
from platebook.trade.measuring_kinds import measuring_kinds

SIZED = ("twist drill", "bur", "pin")
LIMITS = {
    "twist drill": "pilot_mm",
    "bur": "seat_bur_mm",
    "pin": "seat_go_mm",
    "burnisher": "burnisher_tip_mm",
}
"""The field of the record that has the limits for a kind's size."""

SHAPES = ("seat_bur_shape", "opening_bur_shape")
OTHER_SPELLINGS: dict[str, MeasuringKind] = {
    "calliper": "caliper",
    "calipers": "caliper",
    "callipers": "caliper",
    "pin": "pins",
    "pingauge": "pins",
    "pingauges": "pins",
    "pluggauge": "pins",
    "pluggauges": "pins",
    "smallholegauge": "bore gauge",
    "dial": "dial gauge",
    "dialindicator": "dial gauge",
    "steelrule": "rule",
    "ruler": "rule",
}
"""Other words for a kind, folded."""


def tool_from(  # noqa: PLR0913 - all that may be known of a tool, by keyword
    *,
    kind: str,
    size: str | None,
    name: str = "",
    shape: str | None = None,
    angle_deg: float | None = None,
    seats_cut: int = 0,
    resolution: str | None = None,
    mpe: str | None = None,
    measuring_kind: str | None = None,
) -> tuple[Tool | None, tuple[Problem, ...]]:
    """The tool, named by shape and size where it has no name; None with what was wrong.

    A tool may come with notices, such as of a shape that nobody knows.
    """
    faults: list[Problem] = []
    if kind == "measuring" and size and not measuring_kind and measuring_kind_named(size):
        size, measuring_kind = None, size
    size_mm = _size(kind, size or "", faults)
    if len(clean(name)) > LONGEST_LINE:
        expected = f"at most {LONGEST_LINE} characters"
        faults.append(Problem(0, "name", clean(name)[:LONGEST_LINE], expected))
    measures = _measuring_kind(measuring_kind, kind, faults)
    errors = {
        name: _error(name, text, kind, faults)
        for name, text in (("resolution", resolution), ("mpe", mpe))
    }
    if angle_deg is not None and not 0 < angle_deg < 180:
        faults.append(Problem(0, "angle", f"{angle_deg:g}", "degrees between 0 and 180"))
    if shape is not None:
        shape = _shape(shape, faults)
    if only_problems(faults):
        return None, tuple(faults)
    size_told = f"{size_mm:g} mm" if size_mm else ""
    made = " ".join(p for p in (size_told, shape or "", measures or kind) if p)
    tool = Tool(
        kind=cast("ToolKind", kind),
        name=clean(name) or made,
        shape=shape,
        measuring_kind=measures,
        size_mm=size_mm,
        angle_deg=angle_deg,
        seats_cut=seats_cut,
        resolution_mm=errors["resolution"],
        mpe_mm=errors["mpe"],
    )
    return tool, tuple(faults)


def _size(kind: str, text: str, faults: list[Problem]) -> float | None:
    """A size within what such tools have; the limits are the record's (judgement, and wide)."""
    if not clean(text):
        if kind in SIZED:
            faults.append(Problem(0, "size", "nothing", f"the size of the {kind}, such as 1.9"))
        return None
    size_mm, expected = read_length(text)
    if size_mm is not None and kind in LIMITS:
        limits = bounds()[LIMITS[kind]]
        if not limits.low <= size_mm <= limits.high:
            expected = f"a {kind} of {limits.low:g} to {limits.high:g} mm"
    if expected:
        faults.append(Problem(0, "size", clean(text), expected))
    return size_mm


def _shape(text: str, faults: list[Problem]) -> str:
    """The record's word for a shape; another is kept as typed, with a notice."""
    listed = {choice.value: choice for name in SHAPES for choice in choices()[name]}
    typed = clean(text)
    read, expected = read_choice(typed, tuple(listed.values()))
    if expected:
        faults.append(Problem(0, "shape", typed, f"{expected}; kept as typed", "notice"))
    return str(read or typed)


def measuring_kind_named(text: str) -> MeasuringKind | None:
    """The kind of measuring tool that goes by this word; None for any other word."""
    wanted = folded(text)
    spelt = {folded(kind): kind for kind in measuring_kinds()}
    return spelt.get(wanted) or OTHER_SPELLINGS.get(wanted)


def _measuring_kind(text: str | None, kind: str, faults: list[Problem]) -> MeasuringKind | None:
    """The kind of a measuring tool as typed, other words for it understood."""
    if not text:
        return None
    if kind != "measuring":
        faults.append(Problem(0, "kind", clean(text), f"nothing: a {kind} does not measure"))
        return None
    found = measuring_kind_named(text)
    if found is None:
        faults.append(Problem(0, "kind", clean(text), f"one of {', '.join(measuring_kinds())}"))
    return found


def _error(name: str, text: str | None, kind: str, faults: list[Problem]) -> float | None:
    """What a measuring tool's maker says of it, in millimetres."""
    if not text:
        return None
    read, expected = read_length(text)
    if kind != "measuring":
        faults.append(Problem(0, name, clean(text), f"nothing: a {kind} is not read"))
    elif read is None:
        faults.append(Problem(0, name, clean(text), expected))
    return read
