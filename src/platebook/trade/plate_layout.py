"""Laying out a practice plate: as many numbered positions as fit on a square grid."""

import math

from platebook.trade.phrases import count_of
from platebook.trade.rules import RuleBook
from platebook.trade.validation import Fault, TradeError
from platebook.values import Value

LARGEST_PLATE_MM = 1000.0
EXACT_MM = 6


class Position(Value):
    """One numbered position: its centre from the plate's top left corner, and its stone."""

    number: int
    row: int
    column: int
    x_mm: float
    y_mm: float
    stone_mm: float


class PlateLayout(Value):
    """A plate laid out; the notch is at 12 o'clock, the middle of the top edge.

    Positions are numbered along the rows from the top left, `across` of them in a row, `pitch_mm`
    apart both ways; the outermost centres are at least `edge_mm` from the edge.
    """

    width_mm: float
    height_mm: float
    pitch_mm: float
    edge_mm: float
    across: int
    rows: int
    positions: tuple[Position, ...]
    sentence: str


def layout_plate(
    width_mm: float,
    height_mm: float,
    stones_mm: tuple[float, ...],
    *,
    edge_mm: float | None = None,
    pitch_mm: float | None = None,
) -> PlateLayout:
    """The layout of a plate for stones of these sizes, a row each in turn.

    Edge distance and pitch are the rules' for the largest stone where they are not given. A plate
    too small for one position has none and says how large it would have to be. Raises TradeError
    for lengths that are not possible.
    """
    _refuse_impossible(width_mm, height_mm, stones_mm, edge_mm, pitch_mm)
    book, largest = RuleBook(), max(stones_mm)
    pitch = pitch_mm if pitch_mm is not None else book.rule("plate pitch").size_mm(largest)
    edge = edge_mm if edge_mm is not None else book.rule("plate edge").size_mm(largest)
    across, rows = (_fitting(side, edge, pitch) for side in (width_mm, height_mm))
    if not across or not rows:
        across = rows = 0
    left, top = (
        (side - (count - 1) * pitch) / 2 for side, count in ((width_mm, across), (height_mm, rows))
    )
    positions = tuple(
        Position(
            number=row * across + column + 1,
            row=row,
            column=column,
            x_mm=round(left + column * pitch, 3),
            y_mm=round(top + row * pitch, 3),
            stone_mm=stones_mm[row % len(stones_mm)],
        )
        for row in range(rows)
        for column in range(across)
    )
    return PlateLayout(
        width_mm=width_mm,
        height_mm=height_mm,
        pitch_mm=round(pitch, 3),
        edge_mm=round(edge, 3),
        across=across,
        rows=rows,
        positions=positions,
        sentence=_sentence(across, rows, pitch, edge),
    )


def _fitting(side_mm: float, edge_mm: float, pitch_mm: float) -> int:
    free = round(side_mm - 2 * edge_mm, EXACT_MM)
    return 0 if free < 0 else 1 + math.floor(round(free / pitch_mm, EXACT_MM))


def _sentence(across: int, rows: int, pitch_mm: float, edge_mm: float) -> str:
    if not rows:
        return f"Nothing fits: one position takes {2 * edge_mm:.1f} mm each way."
    count = count_of(across * rows, "position")
    return f"{count}, {rows} by {across}, {pitch_mm:.1f} mm apart, {edge_mm:.1f} mm from the edge."


def _refuse_impossible(
    width_mm: float,
    height_mm: float,
    stones_mm: tuple[float, ...],
    edge_mm: float | None,
    pitch_mm: float | None,
) -> None:
    faults = [
        Fault(field, f"{value:g} mm", f"a length above zero, up to {LARGEST_PLATE_MM:g} mm")
        for field, value in (("width_mm", width_mm), ("height_mm", height_mm))
        if not 0 < value <= LARGEST_PLATE_MM
    ]
    if not stones_mm or not all(0 < stone <= LARGEST_PLATE_MM for stone in stones_mm):
        read = ", ".join(f"{stone:g}" for stone in stones_mm) or "nothing"
        faults.append(Fault("stones_mm", read, "one or more stone sizes above zero"))
    elif pitch_mm is not None and not pitch_mm > max(stones_mm):
        expected = f"more than the largest stone ({max(stones_mm):g} mm)"
        faults.append(Fault("pitch_mm", f"{pitch_mm:g} mm", expected))
    elif edge_mm is not None and not edge_mm > max(stones_mm) / 2:
        expected = f"more than half the largest stone ({max(stones_mm) / 2:g} mm)"
        faults.append(Fault("edge_mm", f"{edge_mm:g} mm", expected))
    if faults:
        raise TradeError(tuple(faults))
