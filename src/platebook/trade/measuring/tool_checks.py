"""What a measuring tool can take, and what its reading is worth after a check.

A tool has a resolution and a maximum permissible error; readings of a known size give its bias and
repeatability. Uncertainties follow JCGM 100: components, combined, expanded; "±" is the expanded
uncertainty that holds about 95 % (k = 2 where it rests on the tool's stated errors).

| function | gives |
|---|---|
| `rectangular` | standard uncertainty of a value known within ± a half-width |
| `combined` | standard uncertainty of several components together, with its degrees of freedom |
| `coverage` | how many standard uncertainties hold a share of the values (Student's t) |
| `reading_uncertainty`, `reading_worth` | what one reading of a tool is worth, bias and spread |
| `measure` | a reading corrected by the tool's check, with its uncertainty |
| `can_settle` | whether two readings of a tool can tell sizes apart that differ by so much |
| `takes_outsides`, `takes_insides` | whether a kind of tool may have read a stone, or a seat |
| `refuse_inside`, `unfit_inside` | the reason not to believe a seat's diameter by a tool |
"""

import functools
import math
import statistics
from collections.abc import Iterable
from typing import get_args

from pydantic import Field

from platebook.trade.records import CheckedValue, MeasuringKind, Tool
from platebook.trade.rules import RuleBook
from platebook.trade.validation import Fault
from platebook.values import Value

HALVINGS = 100


class Component(Value):
    """One source of uncertainty: standard uncertainty, and the degrees of freedom it rests on."""

    standard: float
    freedom: float = math.inf


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a value that lies anywhere within ± this (JCGM 100, 4.3.7)."""
    return half_width / math.sqrt(3)


def combined(components: Iterable[Component]) -> Component:
    """The components together (JCGM 100, 5.1.2), with effective degrees of freedom (G.4.1).

    With no component, or with zeros only, the uncertainty is 0 and rests on infinitely many.
    """
    parts = tuple(components)
    standard = math.hypot(*[part.standard for part in parts])
    doubt = sum([part.standard**4 / part.freedom for part in parts])
    return Component(standard, standard**4 / doubt if doubt else math.inf)


@functools.lru_cache(maxsize=256)
def coverage(share: float, freedom: float) -> float:
    """The factor k that holds this share of the values either side of a mean (JCGM 100, G.2).

    Degrees of freedom are truncated to a whole number, as G.4.1 advises; infinitely many give the
    normal distribution's. Raises ValueError outside 0 < share < 1 or below one degree of freedom.
    """
    if not 0 < share < 1:
        raise ValueError(f"a share lies between 0 and 1, not {share!r}")
    if freedom < 1:
        raise ValueError("at least one degree of freedom is needed")
    low, high = 0.0, 1.0
    while _held(high, freedom) < share:
        high *= 2
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _held(middle, freedom) < share else (low, middle)
    return high


def _held(k: float, freedom: float) -> float:
    """The share of Student's t within ± k, by the finite series for whole degrees of freedom.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
    """
    if math.isinf(freedom):
        return math.erf(k / math.sqrt(2))
    whole = math.floor(freedom)
    angle = math.atan(k / math.sqrt(whole))
    cosine = math.cos(angle)
    odd = whole % 2 == 1
    term = math.sin(angle) * (cosine if odd else 1.0)
    total = term if whole > 1 or not odd else 0.0
    for step in range(3 if odd else 2, whole - 1, 2):
        term *= cosine**2 * (step - 1) / step
        total += term
    return (angle + total) * 2 / math.pi if odd else total


TWO_SIGMA = math.erf(math.sqrt(2))
LEAST_READINGS = 2


class ToolCheck(CheckedValue):
    """Readings of a known size (a gauge block, a plug gauge, a measured drill shank).

    `known_u_mm` is the standard uncertainty of the known size.
    """

    known_mm: float = Field(gt=0)
    known_u_mm: float = Field(default=0.0, ge=0)
    readings_mm: tuple[float, ...] = Field(min_length=1)

    @property
    def bias_mm(self) -> float:
        """How much the tool reads over the known size, on the mean."""
        return statistics.fmean(self.readings_mm) - self.known_mm

    @property
    def repeatability_mm(self) -> float | None:
        """Standard deviation of one reading; None from a single one."""
        if not self.counts:
            return None
        return statistics.stdev(self.readings_mm)

    @property
    def counts(self) -> bool:
        """Whether it says how far readings spread, and so what one of them is worth."""
        return len(self.readings_mm) >= LEAST_READINGS

    def within(self, mpe_mm: float) -> bool:
        """Whether the bias is at most this error; a tool that is just so far off is within it.

        Lengths are whole micrometres, so the readings are added up as such: nothing is rounded.
        """
        known, most = _micrometres(self.known_mm), _micrometres(mpe_mm)
        off = sum(_micrometres(reading) - known for reading in self.readings_mm)
        return abs(off) <= most * len(self.readings_mm)


class Measured(Value):
    """A reading with what it is worth: `value_mm` ± `expanded_mm`, which is `k` · `standard_mm`.

    `bias_mm` is what was taken off the reading; 0 without a check.
    """

    value_mm: float
    standard_mm: float
    expanded_mm: float
    k: float
    bias_mm: float
    sentence: str


class ReadingWorth(Value, kw_only=True):
    """What is taken off a tool's reading, and the standard uncertainty that is left, in mm."""

    bias_mm: float = 0.0
    standard_mm: float


def reading_worth(tool: Tool, check: ToolCheck | None = None) -> ReadingWorth | None:
    """What this tool's readings are worth, by its check or its stated errors; None if unknown."""
    known = reading_uncertainty(tool, check)
    if known is None or known.standard <= 0:
        return None
    bias = check.bias_mm if check is not None and check.counts else 0.0
    return ReadingWorth(bias_mm=bias, standard_mm=known.standard)


class Settled(Value):
    """Whether a tool can settle a question this fine, and the sentence that says so."""

    settles: bool
    expanded_mm: float
    sentence: str


def measure(reading_mm: float, tool: Tool, check: ToolCheck | None = None) -> Measured | None:
    """A reading corrected by the tool's check, with its uncertainty; None where nothing is known.

    Without a check of at least two readings it rests on the tool's stated errors and nothing is
    taken off; a tool with neither a check nor a maximum permissible error gives None.
    """
    known = reading_uncertainty(tool, check)
    if known is None:
        return None
    bias = check.bias_mm if check is not None and check.counts else 0.0
    k = coverage(TWO_SIGMA, known.freedom)
    value, expanded = reading_mm - bias, k * known.standard
    return Measured(
        value_mm=value,
        standard_mm=known.standard,
        expanded_mm=expanded,
        k=k,
        bias_mm=bias,
        sentence=f"{value:.3f} ± {expanded:.3f} mm",
    )


def reading_uncertainty(tool: Tool, check: ToolCheck | None = None) -> Component | None:
    """Standard uncertainty of one reading (JCGM 100, type B: rectangular limits; type A: a check).

    With a check of at least two readings: its repeatability s and its mean's as one component,
    s·√(1 + 1/n) with n - 1 degrees of freedom, the known size's and the resolution. Else the
    maximum permissible error and the resolution; None without the first.
    """
    resolution = Component(rectangular((tool.resolution_mm or 0.0) / 2))
    if check is not None and check.counts:
        freedom = len(check.readings_mm) - 1
        spread = check.repeatability_mm or 0.0
        # The reading and the mean it is corrected by share one estimated spread, so they are one
        # component: taken as two, their degrees of freedom would be counted twice.
        scatter = Component(spread * math.sqrt(1 + 1 / len(check.readings_mm)), freedom)
        return combined((scatter, Component(check.known_u_mm), resolution))
    if tool.mpe_mm is None:
        return None
    return combined((Component(rectangular(tool.mpe_mm)), resolution))


def can_settle(question_mm: float, tool: Tool, check: ToolCheck | None = None) -> Settled | None:
    """Whether two readings of this tool can tell sizes apart that differ by this much.

    The difference of two readings has √2 the uncertainty of one. None where nothing is known of
    the tool.
    """
    known = reading_uncertainty(tool, check)
    if known is None:
        return None
    expanded = math.sqrt(2) * coverage(TWO_SIGMA, known.freedom) * known.standard
    settles = abs(question_mm) >= expanded
    name = tool.name or "this tool"
    can = "can" if settles else "cannot"
    return Settled(
        settles=settles,
        expanded_mm=expanded,
        sentence=f"The difference of two readings of {name} is good to ± {expanded:.3f} mm: "
        f"it {can} settle {abs(question_mm):.3f} mm.",
    )


def inside_jaw_error_mm(hole_mm: float, land_mm: float) -> float:
    """How much flat inside jaws read small in a round hole: D - √(D² - w²), w their flats' width.

    Raises ValueError where jaws that wide do not enter at all.
    """
    if not 0 <= land_mm < hole_mm:
        raise ValueError(f"flats {land_mm:g} mm wide do not enter a hole of {hole_mm:g} mm")
    return hole_mm - math.sqrt(hole_mm**2 - land_mm**2)


def refuse_caliper_inside(reading_mm: float, book: RuleBook | None = None) -> Fault | None:
    """The reason not to take a caliper's inside reading of a small hole, or None for a larger one.

    The reading may be of a hole that is larger than it says; it is judged as it stands.
    """
    book = book or RuleBook()
    smallest = book.rule("smallest caliper inside")
    if reading_mm >= smallest.plus_mm:
        return None
    land = book.rule("jaw land")
    reason = "its jaws often will not even enter"
    if reading_mm > land.high_mm:
        low, high = (inside_jaw_error_mm(reading_mm, w) for w in (land.low_mm, land.high_mm))
        reason = f"it reads {low:.2f} to {high:.2f} mm small here"
    expected = (
        f"pins, a drill shank or the stone itself under {smallest.plus_mm:g} mm: "
        f"a caliper's flat inside jaws bridge the curve, {reason}"
    )
    return Fault("seat_diameter_mm", f"{reading_mm:g} mm by caliper", expected)


def _micrometres(length_mm: float) -> int:
    return round(length_mm * 1000)


INSIDES = "a bore gauge, pins, a drill shank or the stone itself"


class Reach(Value):
    """What a kind of tool can take: a stone's diameter, a seat's; `why` says why not a seat's."""

    outside: bool
    inside: bool
    why: str = ""


REACH: dict[MeasuringKind, Reach] = {
    "caliper": Reach(outside=True, inside=True),
    "micrometer": Reach(outside=True, inside=False, why="its anvils close on outsides"),
    "bore gauge": Reach(outside=False, inside=True),
    "pins": Reach(outside=False, inside=True),
    "depth gauge": Reach(outside=False, inside=False, why="it reads depths, not widths"),
    "dial gauge": Reach(outside=True, inside=False, why="its plunger follows outsides and heights"),
    "microscope": Reach(outside=True, inside=True),
    "rule": Reach(outside=False, inside=False, why="its marks are too coarse for a seat"),
}
"""By what each touches (geometry). A caliper reaches inside from a size on, which is a rule."""


def measuring_kinds() -> tuple[MeasuringKind, ...]:
    """All kinds, in the order they are listed."""
    return get_args(MeasuringKind)


def takes_outsides(tool: Tool) -> bool:
    """Whether a stone's diameter may have been taken with this; a tool of no known kind may do."""
    if tool.kind != "measuring":
        return False
    return tool.measuring_kind is None or REACH[tool.measuring_kind].outside


def takes_insides(tool: Tool) -> bool:
    """Whether a seat's diameter may have been taken with this; a tool of no known kind may do."""
    if tool.kind != "measuring":
        return False
    return tool.measuring_kind is None or REACH[tool.measuring_kind].inside


def unfit_inside(tool: Tool) -> Fault | None:
    """The reason why this kind of tool takes no seat's diameter at all; None where it may."""
    if tool.measuring_kind is None or REACH[tool.measuring_kind].inside:
        return None
    expected = f"{INSIDES}: a {tool.measuring_kind} does not fit inside ({_why(tool)})"
    return Fault("seat_measured_with", tool.name, expected)


def refuse_inside(seat_mm: float, tool: Tool, book: RuleBook | None = None) -> Fault | None:
    """The reason not to believe a seat of this size by this tool; None where it may be so.

    Only a caliper is refused: its reading of a small hole looks sound and is not.
    """
    if tool.measuring_kind != "caliper":
        return None
    return refuse_caliper_inside(seat_mm, book)


def _why(tool: Tool) -> str:
    return REACH[tool.measuring_kind].why if tool.measuring_kind else ""
