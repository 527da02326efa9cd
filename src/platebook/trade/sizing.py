"""The sizes for one stone in one sheet, with these tools and this hand.

`size` is the one way in: it fills the stone from a named cut, asks the rules for each size, looks
into the drawer first, and answers with a `SetUpSheet`. Nothing is moved to a series or cut off at
a limit without saying so.
"""

from typing import get_args

from platebook.trade.curved_seat import curve_answer, spacing_answer
from platebook.trade.geometry.burs import CONES, floor_deg
from platebook.trade.geometry.cutting import cut_to
from platebook.trade.geometry.resting import entry_tilt_deg
from platebook.trade.geometry.section import hole_of
from platebook.trade.geometry.thickness import judge_sheet
from platebook.trade.measuring.tool_checks import can_settle
from platebook.trade.phrases import count_of
from platebook.trade.records import Drawer, Hand, Sheet, Stone, ToolKind
from platebook.trade.remarks import remarks
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
from platebook.trade.speeds import speed_limit
from platebook.trade.stones import Profile, named_cuts, profile, stone_facts
from platebook.trade.tools.bur_advice import what_to_do
from platebook.trade.tools.bur_choice import (
    Chosen,
    Window,
    best_chance,
    forecasts,
    seat_bur,
    seat_window,
)
from platebook.trade.tools.tool_choice import opening_bur, pilot_drill
from platebook.trade.unevenness import unevenness
from platebook.trade.validation import Fault, TradeError, check_sheet, check_stone
from platebook.values import replace

METHODS: tuple[SeatMethod, ...] = get_args(SeatMethod)

LEVEL_MM = 0.005


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
    chosen = seat_bur(stone, method, burs, hand, book)
    bur = _with_floor(chosen.tool, book)

    def with_others(tool: ToolChoice, purpose: str) -> ToolChoice:
        others = _others(tool, purpose, method, stone)
        kind: ToolKind = "twist drill" if purpose == "pilot" else "bur"
        used_last = tool.from_ == "drawer" and not drawer.of_kind(kind)
        place = {"from_": "last time"} if used_last else {}
        return replace(_with_speed(tool, sheet), others=others, **place)

    sizes = SetUpSheet(
        stone=_stone_answer(stone, section, book),
        pilot_drill=with_others(pilot_drill(stone, drawer, book), "pilot"),
        opening_bur=with_others(opening_bur(stone, drawer, bur.choose_mm, book), "opening bur"),
        seat_bur=with_others(bur, "seat bur"),
        seat=_seat_answer(section, method, window, chosen.predicted.seat_mm, book),
        sheet=judge_sheet(section, sheet, book),
        hand=_hand_answer(chosen, burs, stone),
        spacing=spacing_answer(section, sheet, chosen.predicted.seat_mm, book),
        cautions=(),
    )
    seat = _with_depths(sizes, section, book)
    curve = sheet.curve and curve_answer(
        section, sheet.curve, seat.bur_sunk_mm, sizes.sheet.culet_clearance_mm, book
    )
    sizes = replace(sizes, seat=seat, curve=curve)
    cautions = (*remarks(stone, sheet, sizes, book), *_too_coarse(drawer, window))
    return replace(sizes, cautions=cautions)


def _with_floor(bur: ToolChoice, book: RuleBook) -> ToolChoice:
    """The seat bur with the slope of its floor, and whether that was measured or assumed."""
    if bur.shape not in CONES:
        return bur
    floor = floor_deg(bur.shape, bur.angle_deg, book)
    part = "edge" if bur.shape == "hart" else "tip"
    if bur.angle_deg is not None:
        where = f"{part} of {bur.angle_deg:g}°, measured"
    else:
        rule = book.rule(f"angle {bur.shape}")
        where = f"{part} of {rule.degrees:g}° assumed: {rule.kind}"
    return replace(bur, floor_deg=round(floor, 2), angle=f"floor sloping {floor:g}° ({where})")


def _with_depths(sizes: SetUpSheet, section: Profile, book: RuleBook) -> SeatAnswer:
    """The seat with the depth to cut to, and what a trial stone shows while cutting."""
    below = sizes.seat.depth_high_mm - sizes.seat.depth_mm
    cut = cut_to(section, hole_of(sizes, book), below)
    numbers = {
        "bur_sunk_mm": cut.sunk_mm,
        "bur_sunk_high_mm": cut.sunk_high_mm,
        "perch_mm": cut.perch_mm,
        "trial_stone_mm": cut.trial_mm,
        "trial_low_mm": cut.trial_low_mm,
        "trial_high_mm": cut.trial_high_mm,
        "contact_mm": cut.contact_mm,
        "gap_under_mm": cut.gap_under_mm,
    }
    rounded = {name: None if mm is None else round(mm, 3) + 0.0 for name, mm in numbers.items()}
    seat = replace(sizes.seat, contact=cut.contact, **rounded)
    return replace(seat, trial=_trial(seat))


def _trial(seat: SeatAnswer) -> str | None:
    """What to read while cutting, in words; None where no depth levels the table."""
    if seat.trial_low_mm is None or seat.trial_high_mm is None or seat.trial_stone_mm is None:
        return None
    heights = heights_in_words(seat.trial_high_mm, seat.trial_low_mm)
    if seat.perch_mm is None:
        return f"Deep enough when the stone, dropped in, lies with its table {heights}."
    return (
        f"Not pressed in, the stone perches with its table {seat.perch_mm:.2f} above, whatever the "
        f"depth. Try a stone of {seat.trial_stone_mm:.2f} mm: deep enough when its table lies "
        f"{heights}."
    )


def heights_in_words(high_mm: float, low_mm: float) -> str:
    """From one height of a table to a lower one: 0.03 to 0.09 below; its side is said once."""
    high, low = _height(high_mm), _height(low_mm)
    if high == low:
        return high
    if high.split()[1:] == low.split()[1:]:
        high = high.split()[0]
    return f"{high} to {low}"


def _height(mm: float) -> str:
    if abs(mm) < LEVEL_MM:
        return "flush"
    return f"{abs(mm):.2f} {'above' if mm > 0 else 'below'}"


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
    """What the other rules for this question would ask for, custom's first.

    A seat is for the hole a stone enters, the rest for its diameter.
    """
    across = stone.enters_mm if purpose == "seat bur" else stone.diameter_mm
    return tuple(
        OtherRule(
            rule=rule.id,
            target_mm=round(rule.size_mm(across), 3),
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
    return replace(tool, not_above_rpm=round(limit.not_above_rpm, 0), speed=limit.sentence)


def _refuse_impossible(stone: Stone, sheet: Sheet, method: str, book: RuleBook) -> None:
    faults = [*check_stone(stone), *check_sheet(sheet)]
    if sheet.curve is not None and not sheet.curve.reaches(0.75 * stone.diameter_mm):
        read = f"a {sheet.curve.kind} of {sheet.curve.radius_mm:g} mm radius"
        expected = f"a radius that a stone of {stone.diameter_mm:g} mm lies on with all of its rim"
        faults.append(Fault("curve", read, expected))
    if sheet.pitch_mm is not None and sheet.pitch_mm <= stone.diameter_mm:
        expected = f"centres further apart than the stone is wide ({stone.diameter_mm:g} mm)"
        faults.append(Fault("pitch", f"{sheet.pitch_mm:g} mm", expected))
    if method not in METHODS:
        faults.append(Fault("method", str(method), f"one of {', '.join(METHODS)}"))
    faults += [Fault("rule", name, "the id of a rule") for name in book.unknown()]
    if book.cut not in named_cuts():
        faults.append(Fault("cut", book.cut, f"one of {', '.join(named_cuts())}"))
    if faults:
        raise TradeError(tuple(faults))


def _stone_answer(stone: Stone, section: Profile, book: RuleBook) -> StoneAnswer:
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
        facts=_facts(stone.material),
        diameter_u_mm=None if stone.diameter_u_mm is None else round(stone.diameter_u_mm, 6),
        uneven=unevenness(stone, section.table_mm, book),
    )


def _facts(material: str | None) -> str | None:
    """What the table says of a material, in one sentence; None for one it does not have."""
    facts = stone_facts(material) if material else None
    if facts is None:
        return None
    return (
        f"{facts.stone.capitalize()}: hardness {facts.mohs:g}, toughness {facts.toughness}; under "
        f"the burnisher: {facts.under_burnishing_pressure} ({facts.status})."
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
        entry=_entry(method, tilt, section.diameter_mm - seat_mm),
        rule=rule.id,
        sentence=rule.say,
    )


def _entry(method: SeatMethod, tilt_deg: float | None, tight_mm: float) -> str:
    """How the stone gets into the seat that this bur is expected to cut."""
    if tilt_deg is None:
        return "the stone cannot enter the seat this bur is expected to cut"
    if tilt_deg <= 0:
        wide = "this bur is expected to cut so wide that the stone drops in and does not snap in"
        level = {"drop in": "the stone drops in", "snap in": wide}
        return level.get(method, "the stone goes in level without being pressed")
    wider = f"{tight_mm:.2f} mm wider than the seat this bur is expected to cut"
    tipped = f"the stone goes in tipped at least {tilt_deg:.0f} degrees"
    return {
        "snap in": f"{tipped}, and the metal has to give a little",
        "push in": f"the stone is pressed down level, {wider}: the metal has to give",
        "drop in": f"the stone does not drop in, being {wider}: open it further",
    }[method]


NOT_MEASURED = "The chances are those of a hand not measured yet."


def _hand_answer(chosen: Chosen, burs: tuple[BurForecast, ...], stone: Stone) -> HandAnswer:
    predicted, weighing = chosen.predicted, chosen.weighing
    window, book = weighing.window, weighing.book
    count = predicted.from_attempts
    seats = count_of(predicted.from_class, "seat")
    attempts = count_of(count, "attempt")
    if count and predicted.from_class:
        sentence = f"From {attempts} of your own, and {seats} of your class."
    elif count:
        sentence = f"From {attempts} of your own."
    elif predicted.from_class:
        sentence = f"By your class, from {seats} of theirs and none of your own yet."
    else:
        sentence = f"By custom, from no seat of your own. {book.rule('overcut').say} {NOT_MEASURED}"
    return HandAnswer(
        overcut_mm=round(predicted.seat_mm - predicted.size_mm, 3),
        spread_mm=predicted.spread_mm,
        chance_of_fit=predicted.chance_of_fit,
        chance_too_narrow=predicted.chance_too_narrow,
        chance_too_wide=predicted.chance_too_wide,
        best_chance=round(best_chance(window, weighing.spread_mm(predicted)), 3),
        from_attempts=count,
        from_class=predicted.from_class,
        sentence=sentence,
        burs=burs,
        to_buy=chosen.to_buy,
        too_wide_costs=book.rule("too wide costs").times,
        what_to_do=what_to_do(stone, chosen),
    )
