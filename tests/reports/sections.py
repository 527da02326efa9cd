"""Set-up sheets whose sections are out of order in each way there is."""

from platebook.trade import Sheet, Stone, size
from platebook.trade.setup_sheet import SetUpSheet
from platebook.values import replace


def sheet_for(
    diameter_mm: float = 2.0, sheet_mm: float = 1.5, depth_mm: float | None = 1.2
) -> SetUpSheet:
    """The set-up sheet for a 2 mm stone in 1.5 mm sheet, or what is given."""
    return size(Stone(diameter_mm=diameter_mm, depth_mm=depth_mm), Sheet(sheet_mm=sheet_mm))


def sunk_by(below_mm: float, *, seat_mm: float = 1.96) -> SetUpSheet:
    """The same with the seat bur sunk so much deeper than the table would lie level at."""
    sizes = sheet_for()
    belt = (sizes.seat.bur_sunk_mm or 0.0) + below_mm
    overcut = seat_mm - sizes.seat_bur.choose_mm
    return replace(
        sizes,
        seat=replace(sizes.seat, bur_sunk_mm=belt),
        hand=replace(sizes.hand, overcut_mm=overcut),
    )


CASES: dict[str, SetUpSheet] = {
    "": sheet_for(),
    "too thin": sheet_for(sheet_mm=0.6),
    "too tight": sunk_by(0.1, seat_mm=1.85),
    "proud": sunk_by(-0.18),
    "sunk": sunk_by(0.12),
    "point out": sheet_for(sheet_mm=0.812),
    "falls through": sheet_for(sheet_mm=0.3),
}
