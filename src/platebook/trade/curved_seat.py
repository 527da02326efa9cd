"""What curved metal does to a seat: the wall left at the sides, the lean off the crest, spacing."""

from typing import Literal

from platebook.trade.geometry.curved import (
    Drop,
    between_seats_mm,
    drop_mm,
    drops,
    one_side_high_mm,
    tilt_deg,
)
from platebook.trade.records import Curve, Sheet
from platebook.trade.rules import RuleBook
from platebook.trade.stones import Profile
from platebook.values import Value

LEVEL = "With the table level with the crest"


class CurveAnswer(Value):
    """A stone in a ring or dome, its table level with the crest. Lengths in millimetres.

    `drop_mm` is how far the surface has fallen at the girdle where it fell furthest and `drops` the
    same round the rim; `wall_crest_mm` and `wall_side_mm` are the metal above the girdle where it
    is highest and lowest. A hole off the crest leans by `tilt_deg`, and one side of its rim stands
    `one_side_high_mm` higher. `sentences` say it, the first one what is left.
    """

    kind: Literal["ring", "dome"]
    radius_mm: float
    off_crest_mm: float
    tilt_deg: float
    one_side_high_mm: float
    drop_mm: float
    wall_crest_mm: float
    wall_side_mm: float
    drops: tuple[Drop, ...]
    sentences: tuple[str, ...]


class SpacingAnswer(Value):
    """The metal left between two neighbouring seats, at the surface and at the girdle's depth."""

    pitch_mm: float
    surface_mm: float
    girdle_mm: float
    sentence: str


def curve_answer(
    stone: Profile, curve: Curve, sunk_mm: float | None, clearance_mm: float, book: RuleBook
) -> CurveAnswer:
    """What the curve leaves of the wall, and what to do about it.

    `sunk_mm` is how deep the bur's widest part goes on the hole's axis, `clearance_mm` the room
    under the point.
    """
    radius = stone.diameter_mm / 2
    round_rim = drops(curve, radius)
    furthest = drop_mm(curve, radius, 90)
    least = min(drop.mm for drop in round_rim)
    crest, side = stone.crown_mm - least, stone.crown_mm - furthest
    wall = book.rule("wall")
    shape = f"{curve.kind.capitalize()} of {curve.radius_mm:g} mm radius"
    falls = "across it" if curve.kind == "ring" else "all round"
    left = _walls(curve, crest, side)
    said = [f"{shape}: beside the stone the surface falls {furthest:.2f} mm {falls}. {left}."]
    if round(side, 6) < wall.plus_mm:
        deeper = wall.plus_mm - side
        said.append(
            f"Too little to close over the stone ({wall.plus_mm:.2f} wanted, {wall.kind}): sink it "
            f"{deeper:.2f} mm deeper, or take a smaller stone or a flatter place."
        )
    if sunk_mm is not None and sunk_mm < furthest:
        said.append(
            f"The bur's widest part lies {sunk_mm:.2f} mm deep, less than the fall: the seat "
            "breaks out at the sides and holds the stone at two places only."
        )
    high = one_side_high_mm(curve, radius)
    if curve.off_crest_mm > 0:
        said.append(
            f"{curve.off_crest_mm:g} mm off the crest the hole leans {tilt_deg(curve):.2f}° from "
            f"the surface: one side stands {high:.3f} mm higher. Turn the work until the place "
            "lies level, then drill square to it."
        )
    if curve.kind == "ring" and clearance_mm < 0:
        said.append("In a ring the point must stay inside: here it would reach the finger.")
    return CurveAnswer(
        kind=curve.kind,
        radius_mm=curve.radius_mm,
        off_crest_mm=curve.off_crest_mm,
        tilt_deg=round(tilt_deg(curve), 3),
        one_side_high_mm=round(high, 4),
        drop_mm=round(furthest, 4),
        wall_crest_mm=round(crest, 4),
        wall_side_mm=round(side, 4),
        drops=tuple(Drop(at_deg=d.at_deg, mm=round(d.mm, 4) + 0.0) for d in round_rim),
        sentences=tuple(said),
    )


def _walls(curve: Curve, crest: float, side: float) -> str:
    if curve.kind == "dome" and curve.off_crest_mm == 0:
        return f"{LEVEL} {side:.2f} mm of wall is left above the girdle"
    along = "along the ring" if curve.off_crest_mm == 0 else "on the high side"
    walls = f"{crest:.2f} mm of wall is left above the girdle {along} and {side:.2f} at the sides"
    return f"{LEVEL} {walls}"


def spacing_answer(
    stone: Profile, sheet: Sheet, seat_mm: float, book: RuleBook
) -> SpacingAnswer | None:
    """The metal between this seat and the next one; None without a pitch."""
    if sheet.pitch_mm is None:
        return None
    radius = sheet.curve.radius_mm if sheet.curve is not None else None
    surface = between_seats_mm(sheet.pitch_mm, seat_mm)
    girdle = between_seats_mm(sheet.pitch_mm, seat_mm, stone.carried_mm, radius)
    least = book.rule("between seats")
    where = "" if radius is None else f" at the surface, {girdle:.2f} at the girdle"
    enough = round(girdle, 6) >= least.plus_mm
    wanted = f"{least.plus_mm:.2f} wanted, {least.kind}"
    words = "" if enough else " Set them further apart, or as a row with shared edges."
    if girdle <= 0:
        words = " The seats cut into each other."
    sentence = (
        f"Centres {sheet.pitch_mm:.2f} mm apart leave {surface:.2f} mm between seats{where} "
        f"({wanted}).{words}"
    )
    return SpacingAnswer(
        pitch_mm=round(sheet.pitch_mm, 3),
        surface_mm=round(surface, 4),
        girdle_mm=round(girdle, 4),
        sentence=sentence,
    )
