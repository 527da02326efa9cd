"""What each attempt tells of its seat's overcut (seat minus bur): a value, or only limits.

The closest reading speaks: a direct one, else pins, else the five answers of `fit`. A reading that
no seat of that bur can have is refused with its reason and kept; the next closest one then speaks.
"""

import math
from collections.abc import Iterable, Mapping, Sequence

from platebook.analysis.variables.attempt_log import places
from platebook.analysis.variables.derived import WIDEST_PIN_STEP_MM, stone_mm
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.fields import ranks, steps_done
from platebook.practice.reading.doubts import NARROWEST_MM, PIN_MM, WIDEST_MM
from platebook.practice.text import folded
from platebook.trade.measuring.tool_checks import ReadingWorth, refuse_caliper_inside
from platebook.trade.validation import Fault
from platebook.values import Value, replace

DIRECT_U_MM = 0.015
"""Standard uncertainty of a direct reading: good to about ± 0.03 mm (judgement)."""

PIN_U_MM = 0.005
"""Standard uncertainty of a pin's own size and of how freely it must enter (judgement)."""

FIT_U_MM = 0.0125
"""Standard uncertainty of a side that the stone itself shows: ± 0.02 to 0.03 mm (judgement)."""

CUSTOM_EDGE_MM = 0.06
"""The clearance at which a stone stops to snap in, or begins to move (the custom windows)."""

MOST_SEATS = 1000
"""No bur cuts more seats than this (judgement); a larger count is a typing error."""

_FIT_EDGES = {
    1: (-math.inf, -1.0),
    2: (-math.inf, -1.0),
    3: (-1.0, 0.0),
    4: (0.0, 1.0),
    5: (1.0, math.inf),
}
"""Seat minus stone for each answer, in edges (`CUSTOM_EDGE_MM` or as the setter's eye
has it). A firm push and no entry at all lie on one side of the same edge."""


class SeatReading(Value):
    """One overcut between `low_mm` and `high_mm`; equal ones are a value, infinite ones open.

    `low_edges` and `high_edges` say how many fit edges are to be added to a limit. `u_mm` is the
    standard uncertainty of the value or of the limits. `uses` is None where nobody counted.
    """

    shape: str
    low_mm: float
    high_mm: float
    u_mm: float
    low_edges: float = 0.0
    high_edges: float = 0.0
    uses: int | None = None
    session: int = 0


class RefusedReading(Value):
    """A reading that is kept in the record and not believed."""

    attempt_id: str | None
    fault: Fault


Worth = Mapping[str, ReadingWorth]
"""What readings are worth, by the name that `seat_measured_with` gives their tool or by that name
folded."""

NO_TOOLS: Worth = {}

FIELDS = (
    *("began", "minutes", "day_only", "plate", "kind", "part"),
    *("stone_diameter_mm", "stone_diameter_min_mm", "stone_diameter_max_mm"),
    *("seat_bur_mm", "seat_bur_shape", "seat_bur_uses"),
    *("fit", "seat_go_mm", "seat_nogo_mm", "seat_diameter_mm", "seat_measured_with"),
)
"""The fields that `seat_readings` looks at, beside whose an attempt is; of a class only they are
read."""


def corrected_seats(attempts: Sequence[Attempt], worth: Worth) -> tuple[tuple[Attempt, ...], Worth]:
    """The attempts with what each tool's check found taken off its readings, to the micrometre.

    With them comes the worth of readings that are corrected already. Whatever is derived from a
    seat's reading, clearance as well as overcut, then rests on the same number.
    """
    if not worth:
        return tuple(attempts), worth
    corrected = tuple(_corrected(attempt, worth) for attempt in attempts)
    return corrected, {name: replace(tool, bias_mm=0.0) for name, tool in worth.items()}


def _corrected(attempt: Attempt, worth: Worth) -> Attempt:
    tool = tool_of(attempt, worth)
    if tool is None or attempt.seat_diameter_mm is None or not tool.bias_mm:
        return attempt
    seat = round(1000 * (attempt.seat_diameter_mm - tool.bias_mm)) / 1000
    return replace(attempt, seat_diameter_mm=seat)


def tool_of(attempt: Attempt, worth: Worth) -> ReadingWorth | None:
    """What the tool that read this seat is worth; None where nobody said which, or none knows."""
    name = attempt.seat_measured_with or ""
    return worth.get(name) or worth.get(folded(name)) if worth and name else None


def seat_readings(
    attempts: Iterable[Attempt], worth: Worth = NO_TOOLS
) -> tuple[tuple[SeatReading, ...], tuple[RefusedReading, ...]]:
    """All readings of one setter's seats in order, and those that were refused.

    A seat bur without a shape counts as a setting bur, as it does where sizes are chosen. A seat
    that was cut for the setter, as in some parts, says nothing of this hand. Attempts without a
    seat bur's size, or with nothing read of the seat, give no reading. A direct reading with a tool
    in `worth` is corrected by its bias and counts with its uncertainty.
    """
    ordered = in_order(attempts)
    readings: list[SeatReading] = []
    refused: list[RefusedReading] = []
    for attempt, place in zip(ordered, places(ordered), strict=True):
        closest, faults = seat_reading(attempt, place.session, worth)
        if closest is not None:
            readings.append(closest)
        if faults:
            refused += [RefusedReading(attempt.attempt_id, fault) for fault in faults]
    return tuple(readings), tuple(refused)


def seat_reading(
    attempt: Attempt, session: int = 0, worth: Worth = NO_TOOLS
) -> tuple[SeatReading | None, tuple[Fault, ...]]:
    """The closest believable reading of one seat, None without one, and why closer ones are not."""
    bur = attempt.seat_bur_mm
    if "seat" not in steps_done(attempt.kind, attempt.part):
        return None, ()
    if bur is None or not 0 < bur < math.inf:
        return None, ()
    uses, shape = attempt.seat_bur_uses, attempt.seat_bur_shape or "setting"
    counted = uses if uses is not None and 0 <= uses <= MOST_SEATS else None
    refused: list[Fault] = []
    reads = []
    if attempt.seat_diameter_mm is not None:
        reads.append(_direct(attempt, bur, attempt.seat_diameter_mm, worth))
    if attempt.seat_go_mm is not None or attempt.seat_nogo_mm is not None:
        reads.append(_by_pins(attempt, bur))
    for read in reads:
        if not isinstance(read, Fault):
            return SeatReading(shape, *read, uses=counted, session=session), tuple(refused)
        refused.append(read)
    stone, answer = stone_mm(attempt), ranks("fit").get(attempt.fit or "")
    if stone is None or answer is None:
        return None, tuple(refused)
    under, (low, high) = stone - bur, _FIT_EDGES[answer]
    if (low >= 0 and under > WIDEST_MM) or (high <= 0 and under < NARROWEST_MM):
        refused.append(Fault("fit", f"{attempt.fit} for {stone:g} mm", _expected(bur)))
        return None, tuple(refused)
    by_fit = SeatReading(shape, under, under, FIT_U_MM, low, high, counted, session)
    return by_fit, tuple(refused)


def _direct(
    attempt: Attempt, bur: float, read_mm: float, worth: Worth
) -> tuple[float, float, float] | Fault:
    tool = tool_of(attempt, worth)
    seat = read_mm - (tool.bias_mm if tool is not None else 0.0)
    narrow = seat < max(bur + NARROWEST_MM, _entered_mm(attempt) - PIN_MM)
    caliper = refuse_caliper_inside(seat)
    if caliper is not None and narrow and seat > bur - WIDEST_MM:
        return caliper
    if narrow or not seat - bur <= WIDEST_MM:
        return Fault("seat_diameter_mm", f"{seat:g} mm", _expected(bur))
    return seat - bur, seat - bur, DIRECT_U_MM if tool is None else tool.standard_mm


def _entered_mm(attempt: Attempt) -> float:
    """The largest size that is known to have gone in: of a go pin, or as `fit` tells it."""
    stone, answer = stone_mm(attempt), ranks("fit").get(attempt.fit or "")
    pin = attempt.seat_go_mm or 0.0
    if stone is None or answer is None:
        return pin
    return max(pin, stone + _FIT_EDGES[answer][0] * CUSTOM_EDGE_MM)


def _by_pins(attempt: Attempt, bur: float) -> tuple[float, float, float] | Fault:
    go, nogo = attempt.seat_go_mm, attempt.seat_nogo_mm
    low = go if go is not None else (nogo or 0.0) - WIDEST_PIN_STEP_MM
    high = nogo if nogo is not None else low + WIDEST_PIN_STEP_MM
    if not low < high:
        return Fault("seat_go_mm", f"{low:g} mm", f"a pin smaller than the no-go pin ({high:g} mm)")
    if not (low - bur <= WIDEST_MM and high - bur >= NARROWEST_MM):
        return Fault("seat_go_mm", f"{low:g} to {high:g} mm", _expected(bur))
    return low - bur, high - bur, PIN_U_MM


def _expected(bur: float) -> str:
    low, high = bur + NARROWEST_MM, bur + WIDEST_MM
    return f"a seat of {low:.2f} to {high:.2f} mm from a bur of {bur:g} mm"
