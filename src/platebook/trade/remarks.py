"""What a setter should know about this stone in this sheet, as sentences."""

from platebook.trade.cautions import first_caution
from platebook.trade.material import stone_facts
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SetUpSheet
from platebook.trade.sheet import Sheet
from platebook.trade.stone import Stone


def remarks(
    stone: Stone, sheet: Sheet, sizes: SetUpSheet, book: RuleBook | None = None
) -> tuple[str, ...]:
    """Cautions for one set-up: whose rules come first, then what is particular about it."""
    book = book or RuleBook()
    return (
        first_caution(),
        *_about_stone(stone, sizes, book),
        *_about_seat(sizes),
        *_about_sheet(sheet, sizes),
    )


def _about_stone(stone: Stone, sizes: SetUpSheet, book: RuleBook) -> list[str]:
    found = []
    largest = book.rule("largest stone")
    if stone.diameter_mm > largest.plus_mm:
        found.append(largest.say)
    if stone.material is not None:
        facts = stone_facts(stone.material)
        if facts is None:
            found.append(f"Nothing is known here of {stone.material}: ask before burnishing it.")
        elif facts.pressure == "caution":
            found.append(f"{facts.stone.capitalize()}: {facts.under_burnishing_pressure}.")
    if "depth" in sizes.stone.assumed:
        found.append(
            f"The depth was not measured: {sizes.stone.depth_mm:.2f} mm is the {sizes.stone.cut} "
            "cut's. Measure it before relying on the sheet."
        )
    if stone.hand_cut and sizes.seat_bur.shape != "ball":
        found.append("A ball bur forgives a hand-cut stone; this one does not.")
    return found


def _about_seat(sizes: SetUpSheet) -> list[str]:
    seat, hand = sizes.seat, sizes.hand
    if seat.diameter_low_mm > seat.diameter_high_mm:
        return ["This stone is too oval for any round seat of that method: choose another."]
    found = []
    predicted = sizes.seat_bur.choose_mm + hand.overcut_mm
    if not seat.diameter_low_mm <= round(predicted, 3) <= seat.diameter_high_mm:
        found.append(
            f"The {sizes.seat_bur.choose_mm:g} mm bur is expected to cut {predicted:.2f} mm, "
            f"outside the wanted {seat.diameter_low_mm:.2f} to {seat.diameter_high_mm:.2f} mm."
        )
    if sizes.seat_bur.target_mm > sizes.stone.diameter_mm:
        found.append("This hand asks for a bur over the stone's size, and none is ever taken.")
    if seat.entry_tilt_deg is None:
        found.append("The stone cannot enter that seat at any tilt.")
    if sizes.opening_bur.choose_mm >= sizes.seat_bur.choose_mm:
        found.append("The opening bur would be as wide as the seat bur: leave metal for the seat.")
    return found


def _about_sheet(sheet: Sheet, sizes: SetUpSheet) -> list[str]:
    found = [] if sizes.sheet.holds else [sizes.sheet.sentences[0]]
    if sizes.sheet.culet_out:
        found.append(sizes.sheet.sentences[1])
    if sheet.backing != "none":
        found.append(f"The sheet's thickness is counted without its {sheet.backing} backing.")
    return found
