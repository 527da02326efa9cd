"""The sizes for one stone in one sheet, with these tools and this hand.

`size` is the one way in: it fills the stone from a named cut, asks the rules for each size, looks
into the drawer first, and answers with a `SetUpSheet`. Nothing is moved to a series or cut off at
a limit without saying so.
"""

from typing import get_args

from platebook.trade.cautions import first_caution
from platebook.trade.geometry.resting import entry_tilt_deg, needed_belt_mm
from platebook.trade.geometry.section import hole_of
from platebook.trade.geometry.thickness import judge_sheet
from platebook.trade.measuring.tool_checks import can_settle
from platebook.trade.records import Drawer, Hand, Sheet, Stone
from platebook.trade.rules import RuleBook, rules_for
from platebook.trade.setup_sheet import (
    BurForecast,
    HandAnswer,
    OtherRule,
    SeatAnswer,
    SeatMethod,
    SetUpSheet,
    StoneAnswer,
    ToolChoice,
)
from platebook.trade.stones import Profile, named_cuts, profile, stone_facts
from platebook.trade.tool_choice import (
    Window,
    forecasts,
    opening_bur,
    pilot_drill,
    seat_bur,
    seat_window,
    speed_limit,
)
from platebook.trade.validation import Fault, TradeError, check_sheet, check_stone


def _remarks(stone: Stone, sheet: Sheet, sizes: SetUpSheet, book: RuleBook) -> tuple[str, ...]:
    """Cautions for one set-up: whose rules come first, then what is particular about it."""
    return (
        first_caution(),
        *_about_stone(stone, sizes, book),
        *_about_seat(sizes),
        *_about_sheet(sheet, sizes),
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
            "cut's. Measure it before relying on the sheet."
        )
    if stone.hand_cut and sizes.seat_bur.shape != "ball":
        sentences.append("A ball bur forgives a hand-cut stone; this one does not.")
    return sentences


def _about_seat(sizes: SetUpSheet) -> list[str]:
    seat, hand = sizes.seat, sizes.hand
    if seat.diameter_low_mm > seat.diameter_high_mm:
        return ["This stone is too oval for any round seat of that method: choose another."]
    sentences = []
    predicted = sizes.seat_bur.choose_mm + hand.overcut_mm
    if not seat.diameter_low_mm <= round(predicted, 3) <= seat.diameter_high_mm:
        sentences.append(
            f"The {sizes.seat_bur.choose_mm:g} mm bur is expected to cut {predicted:.2f} mm, "
            f"outside the wanted {seat.diameter_low_mm:.2f} to {seat.diameter_high_mm:.2f} mm."
        )
    if sizes.seat_bur.target_mm > sizes.stone.diameter_mm:
        sentences.append("This hand asks for a bur over the stone's size, and none is ever taken.")
    if seat.entry_tilt_deg is None:
        sentences.append("The stone cannot enter that seat at any tilt.")
    if sizes.opening_bur.choose_mm >= sizes.seat_bur.choose_mm:
        sentences.append(
            "The opening bur would be as wide as the seat bur: leave metal for the seat."
        )
    return sentences


def _about_sheet(sheet: Sheet, sizes: SetUpSheet) -> list[str]:
    sentences = [] if sizes.sheet.holds else [sizes.sheet.sentences[0]]
    if sizes.sheet.culet_out:
        sentences.append(sizes.sheet.sentences[1])
    if sheet.backing != "none":
        sentences.append(f"The sheet's thickness is counted without its {sheet.backing} backing.")
    return sentences


METHODS: tuple[SeatMethod, ...] = get_args(SeatMethod)


def size(
    stone: Stone,
    sheet: Sheet,
    *,
    method: SeatMethod = "snap in",
    drawer: Drawer | None = None,
    hand: Hand | None = None,
    book: RuleBook | None = None,
) -> SetUpSheet:
    """The set-up sheet for one stone; keys and units are documented on `SetUpSheet`'s parts.

    Without a drawer every tool is "to buy": a metric drill, burs in steps of 0.1 mm. Raises
    TradeError with its faults for impossible values; ask `check_stone` and `check_sheet` first.
    """
    book, drawer = book or RuleBook(), drawer or Drawer()
    _refuse_impossible(stone, sheet, method, book)
    section = profile(stone, book)
    window = seat_window(stone, method, book)
    burs = forecasts(drawer, hand, stone, method, book)
    bur, predicted = seat_bur(stone, method, burs, hand, book)

    def with_others(tool: ToolChoice, purpose: str) -> ToolChoice:
        others = _others(tool, purpose, method, stone)
        return _with_speed(tool, sheet).model_copy(update={"others": others})

    sizes = SetUpSheet(
        stone=_stone_answer(stone, section),
        pilot_drill=with_others(pilot_drill(stone, drawer, book), "pilot"),
        opening_bur=with_others(opening_bur(stone, drawer, bur.choose_mm, book), "opening bur"),
        seat_bur=with_others(bur, "seat bur"),
        seat=_seat_answer(section, method, window, predicted.seat_mm, book),
        sheet=judge_sheet(section, sheet, book),
        hand=_hand_answer(predicted, burs, book),
        cautions=(),
    )
    sunk = needed_belt_mm(section, hole_of(sizes, book))
    seat = sizes.seat.model_copy(update={"bur_sunk_mm": None if sunk is None else round(sunk, 3)})
    cautions = (*_remarks(stone, sheet, sizes, book), *_too_coarse(drawer, window))
    return sizes.model_copy(update={"seat": seat, "cautions": cautions})


def _too_coarse(drawer: Drawer, window: Window) -> list[str]:
    """What each measuring tool of the drawer cannot tell of the seat that is wanted."""
    settled = [
        can_settle(window[1] - window[0], tool)
        for tool in drawer.tools
        if tool.kind == "measuring" and window[1] > window[0]
    ]
    return [answer.sentence for answer in settled if answer is not None and not answer.settles]


def _others(
    tool: ToolChoice, purpose: str, method: SeatMethod, stone: Stone
) -> tuple[OtherRule, ...]:
    """What the other rules for this question would ask for, custom's first."""
    return tuple(
        OtherRule(
            rule=rule.id,
            target_mm=round(rule.size_mm(stone.diameter_mm), 3),
            source=rule.cited,
        )
        for rule in rules_for(purpose, method)
        if rule.id != tool.rule
    )


def _with_speed(tool: ToolChoice, sheet: Sheet) -> ToolChoice:
    """The tool with the speed not to go above in this metal, where it is known."""
    limit = speed_limit(tool.choose_mm, sheet.metal) if sheet.metal else None
    if limit is None:
        return tool
    speed = {"not_above_rpm": round(limit.not_above_rpm), "speed": limit.sentence}
    return tool.model_copy(update=speed)


def _refuse_impossible(stone: Stone, sheet: Sheet, method: str, book: RuleBook) -> None:
    faults = [*check_stone(stone), *check_sheet(sheet)]
    if method not in METHODS:
        faults.append(Fault("method", str(method), f"one of {', '.join(METHODS)}"))
    faults += [Fault("rule", name, "the id of a rule") for name in book.unknown()]
    if book.cut not in named_cuts():
        faults.append(Fault("cut", book.cut, f"one of {', '.join(named_cuts())}"))
    if faults:
        raise TradeError(tuple(faults))


def _stone_answer(stone: Stone, section: Profile) -> StoneAnswer:
    ovality = None
    if stone.diameter_min_mm is not None and stone.diameter_max_mm is not None:
        ovality = round(stone.diameter_max_mm - stone.diameter_min_mm, 3)
    return StoneAnswer(
        diameter_mm=section.diameter_mm,
        depth_mm=round(section.depth_mm, 3),
        crown_mm=round(section.crown_mm, 3),
        girdle_mm=round(section.girdle_mm, 3),
        pavilion_mm=round(section.pavilion_mm, 3),
        table_mm=round(section.table_mm, 3),
        cut=section.cut,
        assumed=section.assumed,
        ovality_mm=ovality,
        material=stone.material,
        diameter_u_mm=None if stone.diameter_u_mm is None else round(stone.diameter_u_mm, 6),
    )


def _seat_answer(
    section: Profile, method: SeatMethod, window: Window, seat_mm: float, book: RuleBook
) -> SeatAnswer:
    rule = book.rule("seat window", method)
    below = book.rule("table depth").size_mm(section.diameter_mm)
    tilt = entry_tilt_deg(section.diameter_mm, section.girdle_mm, seat_mm)
    return SeatAnswer(
        method=method,
        diameter_low_mm=round(window[0], 3),
        diameter_high_mm=round(window[1], 3),
        depth_mm=round(section.carried_mm, 3),
        depth_high_mm=round(section.carried_mm + below, 3),
        entry_tilt_deg=None if tilt is None else round(tilt, 1),
        rule=rule.id,
        sentence=rule.say,
    )


def _hand_answer(
    predicted: BurForecast, burs: tuple[BurForecast, ...], book: RuleBook
) -> HandAnswer:
    count = predicted.from_attempts
    seats = "1 seat" if predicted.from_class == 1 else f"{predicted.from_class} seats"
    attempts = "1 attempt" if count == 1 else f"{count} attempts"
    if count and predicted.from_class:
        sentence = f"From {attempts} of your own, and {seats} of your class."
    elif count:
        sentence = f"From {attempts} of your own."
    elif predicted.from_class:
        sentence = f"By your class, from {seats} of theirs and none of your own yet."
    else:
        sentence = f"By custom, from no seat of your own. {book.rule('overcut').say}"
    return HandAnswer(
        overcut_mm=round(predicted.seat_mm - predicted.size_mm, 3),
        spread_mm=predicted.spread_mm,
        chance_of_fit=predicted.chance_of_fit,
        from_attempts=count,
        from_class=predicted.from_class,
        sentence=sentence,
        burs=burs,
    )
