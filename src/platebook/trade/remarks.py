"""What to mind about one set-up: the stone, its seat, the sheet, in words with their numbers."""

from platebook.trade.cautions import first_caution
from platebook.trade.lengths import format_length
from platebook.trade.records import Sheet, Stone
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SetUpSheet
from platebook.trade.stones import metal_facts, stone_facts

SAME_MM = 0.0011
"""Sizes closer than this are the same: each is rounded to a micrometre."""

SMALL_DRILL_MM = 0.5
RIM_SHARE = 0.97
"""A stone carried within this share of the seat's width is carried at its girdle (judgement)."""


def remarks(stone: Stone, sheet: Sheet, sizes: SetUpSheet, book: RuleBook) -> tuple[str, ...]:
    """Cautions for one set-up: whose rules come first, then what is particular about it."""
    return (
        first_caution(),
        *_about_stone(stone, sizes, book),
        *_about_seat(sizes),
        *_about_sheet(sheet, sizes),
        *(sizes.curve.sentences[1:] if sizes.curve is not None else ()),
    )


def _about_stone(stone: Stone, sizes: SetUpSheet, book: RuleBook) -> list[str]:
    sentences = []
    largest = book.rule("largest stone")
    if stone.diameter_mm > largest.plus_mm:
        sentences.append(largest.say)
    if stone.material is not None:
        facts = stone_facts(stone.material)
        if facts is None:
            sentences.append(
                f"Nothing is known here of {stone.material}: ask before burnishing it."
            )
        elif facts.pressure == "caution":
            sentences.append(f"{facts.stone.capitalize()}: {facts.under_burnishing_pressure}.")
    if "depth" in sizes.stone.assumed:
        sentences.append(
            f"The depth was not measured: {sizes.stone.depth_mm:.2f} mm is the {sizes.stone.cut} "
            "cut's. Measure it before relying on these sizes."
        )
    if stone.hand_cut and sizes.seat_bur.shape != "ball":
        sentences.append("A ball bur forgives a hand-cut stone; this one does not.")
    if sizes.stone.uneven is not None:
        sentences += sizes.stone.uneven.sentences
    drill = sizes.pilot_drill.choose_mm
    if drill < SMALL_DRILL_MM:
        sentences.append(
            f"A drill of {drill:.2f} mm breaks and its pieces fly: glasses, spindle true, no side "
            "pressure, back out often; pilot-half is another custom, with a stouter drill."
        )
    return sentences


def _about_seat(sizes: SetUpSheet) -> list[str]:
    seat, hand = sizes.seat, sizes.hand
    if seat.diameter_low_mm >= seat.diameter_high_mm:
        too_oval = (
            f"This stone is too oval to {seat.method}: no round seat suits both its largest and "
            "its smallest diameter. Choose another stone, or size for the smallest gauged hole it "
            "enters."
        )
        return [too_oval]
    sentences = []
    predicted = round(sizes.seat_bur.choose_mm + hand.overcut_mm, 3)
    if not seat.diameter_low_mm <= predicted <= seat.diameter_high_mm:
        way = "wider" if predicted > seat.diameter_high_mm else "narrower"
        cut, low, high = (
            format_length(mm).removesuffix(" mm")
            for mm in (predicted, seat.diameter_low_mm, seat.diameter_high_mm)
        )
        sentences.append(
            f"The {sizes.seat_bur.choose_mm:g} mm bur is expected to cut {cut} mm, {way} than the "
            f"wanted {low} to {high} mm."
        )
    uneven = sizes.stone.uneven
    enters = sizes.stone.diameter_mm if uneven is None else uneven.enters_mm
    if sizes.seat_bur.target_mm > enters + SAME_MM:
        sentences.append("This hand asks for a bur over the stone's size, and none is ever taken.")
    if seat.entry_tilt_deg is None:
        sentences.append("The stone cannot enter that seat at any tilt.")
    sentences += _about_rest(sizes)
    if sizes.opening_bur.choose_mm >= sizes.seat_bur.choose_mm:
        sentences.append(
            "The opening bur would be as wide as the seat bur: leave metal for the seat."
        )
    return sentences


def _about_rest(sizes: SetUpSheet) -> list[str]:
    """What to mind where the girdle does not carry the load, or no depth levels the table."""
    seat = sizes.seat
    if seat.contact is None:
        thin = sizes.sheet.ledge_mm <= 0
        why = "the sheet ends above its girdle" if thin else "the hole is as wide as the stone"
        return [f"No depth carries this stone: {why}, and it falls through."]
    if seat.bur_sunk_mm is None:
        nowhere = "the stone lies lower already, or the sheet ends first"
        return [f"No depth of this bur brings the table level: {nowhere}."]
    mouth = min(sizes.seat_bur.choose_mm + sizes.hand.overcut_mm, sizes.stone.diameter_mm)
    if seat.contact == "girdle edge" or (seat.contact_mm or 0.0) >= RIM_SHARE * mouth:
        return []
    rim = (
        f"The stone stands on the rim of the hole, {seat.contact_mm:.2f} mm across, its girdle "
        f"{seat.gap_under_mm:.2f} mm free of the seat's floor: a thin rim gives under the "
        "burnisher, and the stone rocks or sinks. A bur with a steeper floor, or a ball bur, "
        "carries it at the girdle."
    )
    return [rim]


def _about_sheet(sheet: Sheet, sizes: SetUpSheet) -> list[str]:
    sentences = [] if sizes.sheet.holds else [sizes.sheet.sentences[0]]
    if sizes.sheet.culet_out:
        sentences.append(sizes.sheet.sentences[1])
    if sheet.metal:
        facts = metal_facts(sheet.metal)
        if facts is None:
            sentences.append(
                f"Nothing is known here of {sheet.metal}: overcut, spread and least metal are "
                "those of soft metals. Ask whoever works it before cutting."
            )
        elif facts.pressure == "caution":
            sentences.append(
                f"{facts.metal.capitalize()}: {facts.under_the_burnisher} ({facts.status})."
            )
    if sheet.backing != "none":
        sentences.append(f"The sheet's thickness is counted without its {sheet.backing} backing.")
    return sentences
