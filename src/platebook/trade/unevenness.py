"""What an uneven stone asks for: the hole it enters, the gap that stays, and whether to refuse it.

Measured by turning it in a gauge (least and most width), in gauged holes (the smallest it enters),
at the girdle (thinnest and thickest) and over the table (one side higher). What counts as too much
are rules, each with its kind.
"""

import math

from platebook.trade.geometry.uneven import Gap, gap_round, measured_outline, smallest_hole
from platebook.trade.records import Stone
from platebook.trade.rules import RuleBook
from platebook.values import Value

SHOWN_MM = 0.0005


class Unevenness(Value, kw_only=True):
    """How uneven a stone is. Lengths in millimetres.

    `enters_mm` is the smallest round hole it enters, `lobed_mm` what that asks beyond its most
    width, `largest_gap_mm` the room that stays beside the girdle in it and `held` the share of the
    rim where the closed metal still reaches. `lean_deg` is how far the girdle leans once the table
    is level. `refuse` says to lay the stone aside, `why` for what, and the `sentences` all of it.
    """

    enters_mm: float
    lobed_mm: float
    largest_gap_mm: float
    held: float
    lean_deg: float
    refuse: bool
    why: tuple[str, ...] = ()
    sentences: tuple[str, ...]


class Unfit(Value):
    """One reason to lay a stone aside: the measured field of `Stone` that tells it, and words."""

    field: str
    words: str


def why_refused(stone: Stone, table_mm: float, book: RuleBook) -> tuple[Unfit, ...]:
    """For what this stone is to be laid aside, in few words each; empty for one that is fit.

    The gap beside a girdle is never more than the hole it enters less its least width, so of most
    stones it need not be worked out.
    """
    least = stone.diameter_min_mm or stone.diameter_mm
    most = stone.diameter_max_mm or stone.diameter_mm
    widest_gap = max(stone.hole_mm or most, most) - least
    gap = None
    if round(widest_gap, 6) > book.rule("uneven gap").high_mm:
        girdle = measured_outline(least, most, stone.hole_mm)
        gap = gap_round(girdle, smallest_hole(girdle), book.rule("uneven gap").low_mm)
    return _reasons(stone, gap, table_mm, book)


def _reasons(stone: Stone, gap: Gap | None, table_mm: float, book: RuleBook) -> tuple[Unfit, ...]:
    most_gap, most_lean = book.rule("uneven gap").high_mm, book.rule("uneven lean").degrees or 0.0
    thinnest = book.rule("girdle thinnest").size_mm(stone.diameter_mm)
    why = []
    if gap is not None and round(gap.largest_mm, 6) > most_gap:
        field = "diameter_max_mm" if stone.hole_mm is None else "hole_mm"
        words = f"up to {gap.largest_mm:.2f} mm stays open beside it, over {most_gap:.2f}"
        why.append(Unfit(field=field, words=words))
    leans = (
        ("girdle_high_mm", _girdle_lean(stone), "girdle"),
        ("table_off_mm", _table_lean(stone, table_mm), "table"),
    )
    for field, lean, what in leans:
        if lean is not None and lean > most_lean:
            words = f"its {what} leans {lean:.1f}°, over {most_lean:g}°"
            why.append(Unfit(field=field, words=words))
    if stone.girdle_low_mm is not None and stone.girdle_low_mm < thinnest:
        words = f"its girdle is {stone.girdle_low_mm:.3f} mm thin, under {thinnest:.3f}"
        why.append(Unfit(field="girdle_low_mm", words=words))
    return tuple(why)


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
    said = []
    if lobed > SHOWN_MM or most - least > SHOWN_MM:
        where = _where(lobed, most - least)
        said.append(
            f"The smallest round hole it enters is {enters:.2f} mm; in it up to "
            f"{gap.largest_mm:.2f} mm stays open beside the girdle, {where}, and "
            f"{100 * gap.held:.0f} % of the rim is close enough to hold it."
        )
    if stone.hole_mm is None and (stone.hand_cut or most - least > SHOWN_MM):
        said.append("Three lobes do not show by turning: try it in gauged holes (--hole).")
    said += [words for _, words in leans]
    thinnest = book.rule("girdle thinnest").size_mm(stone.diameter_mm)
    if stone.girdle_low_mm is not None and stone.girdle_low_mm < thinnest:
        said.append(
            f"Its girdle is {stone.girdle_low_mm:.3f} mm thin, under {thinnest:.3f}: it chips "
            "under the burnisher."
        )
    why = tuple(unfit.words for unfit in _reasons(stone, gap, table_mm, book))
    if why:
        said.append(
            f"Refuse this stone, or set it where nobody will look closely: {', '.join(why)}."
        )
    return Unevenness(
        enters_mm=round(enters, 3),
        lobed_mm=round(lobed, 3),
        largest_gap_mm=round(gap.largest_mm, 3),
        held=round(gap.held, 3),
        lean_deg=round(max((lean for lean, _ in leans), default=0.0), 2),
        refuse=bool(why),
        why=why,
        sentences=tuple(said),
    )


def _where(lobed_mm: float, oval_mm: float) -> str:
    if lobed_mm <= SHOWN_MM:
        return "at both ends of its narrow width"
    return "between its lobes" if lobed_mm > oval_mm else "between its lobes on the narrow side"


def _girdle_lean(stone: Stone) -> float | None:
    """How far the table leans on an even ledge, in degrees; None where no girdle was measured."""
    if stone.girdle_high_mm is None or stone.girdle_low_mm is None:
        return None
    more = stone.girdle_high_mm - stone.girdle_low_mm
    return math.degrees(math.atan2(more, stone.diameter_mm))


def _table_lean(stone: Stone, table_mm: float) -> float | None:
    """How far the table leans on its girdle, in degrees; None where it was not measured."""
    if stone.table_off_mm is None:
        return None
    return math.degrees(math.atan2(stone.table_off_mm, table_mm))


def _leans(stone: Stone, table_mm: float) -> list[tuple[float, str]]:
    """How far girdle or table lean, in degrees, and what to do about each."""
    found = []
    lean, thin, thick = _girdle_lean(stone), stone.girdle_low_mm, stone.girdle_high_mm
    if lean is not None and thin is not None and thick is not None:
        words = f"Its girdle is {thick:.2f} mm thick all round."
        if thick - thin > SHOWN_MM:
            words = (
                f"Its girdle is {thin:.2f} to {thick:.2f} mm thick: on one even ledge the table "
                f"would lean up to {lean:.1f}°. Cut the thick side {thick - thin:.2f} mm deeper, "
                "by a ball bur, and try often."
            )
        found.append((lean, words))
    lean = _table_lean(stone, table_mm)
    if lean is not None and lean > 0:
        lower = stone.diameter_mm * math.sin(math.radians(lean))
        words = (
            f"Its table leans {lean:.1f}° on its girdle: set it by the table, and one side of the "
            f"girdle lies {lower:.2f} mm lower than the other."
        )
        found.append((lean, words))
    return found
