"""What an uneven stone asks for: the hole it enters, the gap that stays, and whether to refuse it.

Measured by turning it in a gauge (least and most width), in gauged holes (the smallest it enters),
at the girdle (thinnest and thickest) and over the table (one side higher). What counts as too much
are rules, each with its kind.
"""

import math

from platebook.trade.geometry.uneven import gap_round, measured_outline, smallest_hole
from platebook.trade.records import Stone, Value
from platebook.trade.rules import RuleBook

SHOWN_MM = 0.0005


class Unevenness(Value):
    """How uneven a stone is. Lengths in millimetres.

    `enters_mm` is the smallest round hole it enters, `lobed_mm` what that asks beyond its most
    width, `largest_gap_mm` the room that stays beside the girdle in it and `held` the share of the
    rim where the closed metal still reaches. `lean_deg` is how far the girdle leans once the table
    is level. `refuse` says to lay the stone aside, and the `sentences` why.
    """

    enters_mm: float
    lobed_mm: float
    largest_gap_mm: float
    held: float
    lean_deg: float
    refuse: bool
    sentences: tuple[str, ...]


def unevenness(stone: Stone, table_mm: float, book: RuleBook) -> Unevenness | None:
    """What is known of a stone's unevenness; None for one of which only one diameter is known."""
    ends = (stone.diameter_min_mm, stone.diameter_max_mm)
    told = (*ends, stone.hole_mm, stone.girdle_high_mm, stone.table_off_mm)
    if all(value is None for value in told):
        return None
    limits = book.rule("uneven gap")
    least, most = (end or stone.diameter_mm for end in ends)
    girdle = measured_outline(least, most, stone.hole_mm)
    hole = smallest_hole(girdle)
    gap = gap_round(girdle, hole, limits.low_mm)
    enters = max(hole.diameter_mm, most) if stone.hole_mm is None else max(stone.hole_mm, most)
    lobed = max(enters - most, 0.0)
    leans = _leans(stone, table_mm)
    refused, said = False, []
    if lobed > SHOWN_MM or most - least > SHOWN_MM:
        where = _where(lobed, most - least)
        refused = round(gap.largest_mm, 6) > limits.high_mm
        said.append(
            f"The smallest round hole it enters is {enters:.2f} mm; in it up to "
            f"{gap.largest_mm:.2f} mm stays open beside the girdle, {where}, and "
            f"{100 * gap.held:.0f} % of the rim is close enough to hold it."
        )
    if stone.hole_mm is None and (stone.hand_cut or most - least > SHOWN_MM):
        said.append("Three lobes do not show by turning: try it in gauged holes (--hole).")
    most_lean = book.rule("uneven lean").degrees or 0.0
    for lean, words in leans:
        refused = refused or lean > most_lean
        said.append(words)
    thinnest = book.rule("girdle thinnest").size_mm(stone.diameter_mm)
    if stone.girdle_low_mm is not None and stone.girdle_low_mm < thinnest:
        refused = True
        said.append(
            f"Its girdle is {stone.girdle_low_mm:.3f} mm thin, under {thinnest:.3f}: it chips "
            "under the burnisher."
        )
    if refused:
        said.append("Refuse this stone, or set it where nobody will look closely.")
    return Unevenness(
        enters_mm=round(enters, 3),
        lobed_mm=round(lobed, 3),
        largest_gap_mm=round(gap.largest_mm, 3),
        held=round(gap.held, 3),
        lean_deg=round(max((lean for lean, _ in leans), default=0.0), 2),
        refuse=refused,
        sentences=tuple(said),
    )


def _where(lobed_mm: float, oval_mm: float) -> str:
    if lobed_mm <= SHOWN_MM:
        return "at both ends of its narrow width"
    return "between its lobes" if lobed_mm > oval_mm else "between its lobes on the narrow side"


def _leans(stone: Stone, table_mm: float) -> list[tuple[float, str]]:
    """How far girdle or table lean, in degrees, and what to do about each."""
    found = []
    if stone.girdle_high_mm is not None:
        thin = stone.girdle_low_mm or 0.0
        more = stone.girdle_high_mm - thin
        lean = math.degrees(math.atan2(more, stone.diameter_mm))
        words = (
            f"Its girdle is {thin:.2f} to {stone.girdle_high_mm:.2f} mm thick: on one even "
            f"ledge the table would lean up to {lean:.1f}°. Cut the thick side "
            f"{more:.2f} mm deeper, by a ball bur, and try often."
        )
        found.append((lean, words))
    if stone.table_off_mm is not None:
        lean = math.degrees(math.atan2(stone.table_off_mm, table_mm))
        lower = stone.diameter_mm * math.sin(math.radians(lean))
        words = (
            f"Its table leans {lean:.1f}° on its girdle: set it by the table, and one side of the "
            f"girdle lies {lower:.2f} mm lower than the other."
        )
        found.append((lean, words))
    return found
