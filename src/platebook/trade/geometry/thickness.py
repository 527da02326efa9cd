"""Is the sheet thick enough? Two questions apart, and the ways out with their numbers.

Will the metal hold the stone: what is left under the girdle. Will the point stand out: the room
under the culet. With the table level with the metal throughout.
"""

import math
from typing import Literal

from platebook.trade.lengths import gauge_mm, gauges
from platebook.trade.records import Sheet
from platebook.trade.rules import RuleBook, RuleOfThumb
from platebook.trade.stones import Profile
from platebook.values import Value

CUSTOMARY_GAUGES = (18, 20)
CUSTOM_CHANGES_MM = 2.0


class WayOut(Value, kw_only=True):
    """One way to have the point inside the metal; the fields that do not belong to it are None.

    `thickness_mm` is the whole thickness it gives, `height_mm` what has to be added, `bore_mm` the
    smallest bore of a ring that the pavilion clears.
    """

    way: Literal["single sheet", "layers", "ring behind", "raised"]
    gauge: int | None = None
    layers: int | None = None
    thickness_mm: float
    height_mm: float | None = None
    bore_mm: float | None = None
    sentence: str


class SheetAnswer(Value):
    """What a sheet does for a stone with its table level. Lengths in millimetres.

    `ledge_mm` is the metal left under the girdle and `culet_clearance_mm` the room under the point:
    both are negative where there is none, never cut off at zero. `enclosing_mm` is the thickness
    that would have the point inside with its margin. `holds` and `encloses` answer the two
    questions, `sentences` say them. `customary_gauge` is custom's gauge for this size and
    `metal` the sheet's, as given.
    """

    thickness_mm: float
    ledge_mm: float
    culet_clearance_mm: float
    customary_gauge: int | None
    ways_out: tuple[WayOut, ...]
    holds: bool
    encloses: bool
    culet_out: bool
    enclosing_mm: float
    rule: str
    sentences: tuple[str, ...]
    metal: str | None = None


CUSTOM_ENDS_OVER_MM = 2.5
"""The sheet that custom asks for above its largest stone (the rule `largest-stone-4mm` says it)."""


def customary_gauge(diameter_mm: float, book: RuleBook | None = None) -> int | None:
    """Custom's gauge: 20 for stones up to 2 mm, 18 above (common practice, not a promise).

    None for a stone larger than custom sets flush.
    """
    if diameter_mm > (book or RuleBook()).rule("largest stone").plus_mm:
        return None
    return CUSTOMARY_GAUGES[diameter_mm <= CUSTOM_CHANGES_MM]


def gauge_to_assume(diameter_mm: float) -> tuple[int, str]:
    """The gauge that is taken where no sheet was given, and why, in words."""
    custom = customary_gauge(diameter_mm)
    if custom is not None:
        return custom, f"No sheet was given: custom's {custom} ga is taken."
    largest = RuleBook().rule("largest stone").plus_mm
    gauge = next(g for g in reversed(gauges()) if gauge_mm(g) > CUSTOM_ENDS_OVER_MM)
    return gauge, (
        f"No sheet was given, and custom has none above {largest:g} mm: {gauge} ga is taken, the "
        f"thinnest over {CUSTOM_ENDS_OVER_MM:g} mm."
    )


def thinnest_gauge(mm: float) -> int | None:
    """The thinnest gauge that is at least this thick, or None where none is."""
    return next((g for g in reversed(gauges()) if gauge_mm(g) >= mm), None)


def layers_needed(mm: float, gauge: int) -> int:
    """How many layers of one gauge are at least this thick."""
    return math.ceil(round(mm / gauge_mm(gauge), 9))


def judge_sheet(stone: Profile, sheet: Sheet, book: RuleBook | None = None) -> SheetAnswer:
    """Answers both questions for a stone whose table is level with the metal."""
    book = book or RuleBook()
    margin = book.rule("culet margin").plus_mm
    least = book.rule("ledge")
    custom = book.rule("sheet")
    thickness = sheet.sheet_mm * sheet.layers
    # To the micrometre, as it is told: no sheet is too thin by what nobody sees.
    ledge = round(thickness - stone.carried_mm, 3)
    clearance = round(thickness - stone.depth_mm, 3)
    enclosing = stone.depth_mm + margin
    holds = ledge >= least.plus_mm
    encloses = clearance >= margin
    return SheetAnswer(
        thickness_mm=round(thickness, 3),
        ledge_mm=ledge,
        culet_clearance_mm=clearance,
        customary_gauge=_custom(custom, stone, book),
        ways_out=() if encloses else ways_out(stone, sheet, book),
        holds=holds,
        encloses=encloses,
        culet_out=clearance < 0,
        enclosing_mm=round(enclosing, 3),
        rule=custom.id,
        sentences=(_holding(stone, ledge, least), _point(clearance, margin)),
        metal=sheet.metal,
    )


def ways_out(stone: Profile, sheet: Sheet, book: RuleBook | None = None) -> tuple[WayOut, ...]:
    """The ways to have the point inside: thicker sheet, layers, a ring behind, a disc on top.

    A ring is none where the sheet is so thin that the pavilion would not clear one narrower than
    the stone.
    """
    book = book or RuleBook()
    enclosing = stone.depth_mm + book.rule("culet margin").plus_mm
    thickness = sheet.sheet_mm * sheet.layers
    ways: list[WayOut] = []
    gauge = thinnest_gauge(enclosing)
    if gauge is not None:
        mm = gauge_mm(gauge)
        sentence = f"One sheet of {gauge} ga ({mm:.2f} mm) would have the point inside."
        ways.append(
            WayOut(way="single sheet", gauge=gauge, thickness_mm=round(mm, 3), sentence=sentence)
        )
    for gauge in CUSTOMARY_GAUGES:
        layers = layers_needed(enclosing, gauge)
        mm = gauge_mm(gauge) * layers
        sentence = f"{layers} layers of {gauge} ga soldered together ({mm:.2f} mm)."
        if layers == 1:
            continue  # the single sheet above says it
        ways.append(
            WayOut(
                way="layers",
                gauge=gauge,
                layers=layers,
                thickness_mm=round(mm, 3),
                sentence=sentence,
            )
        )
    height = enclosing - thickness
    if height > 0:
        ways += _added(stone, thickness, height, book)
    return tuple(ways)


def ring_bore_mm(stone: Profile, thickness_mm: float, book: RuleBook | None = None) -> float:
    """The smallest bore of a ring behind the sheet that the pavilion clears; 0 below the point."""
    beyond = stone.depth_mm - thickness_mm
    if beyond <= 0:
        return 0.0
    across = stone.diameter_mm * min(1.0, beyond / stone.pavilion_mm)
    return across + (book or RuleBook()).rule("ring clearance").plus_mm


def _custom(rule: RuleOfThumb, stone: Profile, book: RuleBook) -> int | None:
    if rule.plus_mm:
        return thinnest_gauge(stone.depth_mm + rule.plus_mm)
    return customary_gauge(stone.diameter_mm, book)


def _added(stone: Profile, thickness: float, height: float, book: RuleBook) -> list[WayOut]:
    bore = ring_bore_mm(stone, thickness, book)
    total = round(thickness + height, 3)
    disc = WayOut(
        way="raised",
        thickness_mm=total,
        height_mm=round(height, 3),
        sentence=f"A disc {height:.2f} mm thick soldered on top.",
    )
    if bore >= stone.diameter_mm:
        return [disc]
    clears = f", with a bore of at least {bore:.2f} mm and less than the stone" if bore else ""
    ring = WayOut(
        way="ring behind",
        thickness_mm=total,
        height_mm=round(height, 3),
        bore_mm=round(bore, 3),
        sentence=f"A ring {height:.2f} mm high soldered behind{clears}.",
    )
    return [ring, disc]


def _holding(stone: Profile, ledge: float, least: RuleOfThumb) -> str:
    gauge = thinnest_gauge(stone.carried_mm + least.plus_mm)
    enough = f" {gauge} ga ({gauge_mm(gauge):.2f} mm) would hold." if gauge is not None else ""
    if ledge <= 0:
        return (
            f"Will it hold? No: the girdle would lie {-ledge:.2f} mm below the back of the sheet."
            f"{enough}"
        )
    if ledge >= least.plus_mm:
        word, enough = "Yes", ""
    else:
        word = "Too thin"
    return (
        f"Will it hold? {word}: {ledge:.2f} mm of metal under the girdle, "
        f"at least {least.plus_mm:.2f} wanted.{enough}"
    )


def _point(clearance: float, margin: float) -> str:
    if clearance < 0:
        return f"Will the point stand out? Yes: by {-clearance:.2f} mm at the back."
    word = "No" if clearance >= margin else "Nearly"
    return (
        f"Will the point stand out? {word}: {clearance:.2f} mm of room under it, "
        f"{margin:.2f} wanted."
    )
