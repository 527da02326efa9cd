"""What to do with the bur that was chosen, in sentences with its chances."""

import math

from platebook.trade.phrases import noun_for, number_in_words
from platebook.trade.records import Stone, was_read
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import BurForecast, Chances
from platebook.trade.tools.bur_choice import (
    EVEN_ODDS,
    SELDOM,
    Chosen,
    Weighing,
    Window,
    best_chance,
    chances_in,
    cheaper_sold,
    fits_oftenest,
    likelier,
)
from platebook.trade.tools.expected_hand import SETTLED_AT


def what_to_do(stone: Stone, chosen: Chosen) -> tuple[str, ...]:
    """The ways on in words: this bur and when to stop, one to buy, or the stone that it suits."""
    bur, weighing = chosen.predicted, chosen.weighing
    window = weighing.window
    if round(window[1] - window[0], 6) <= 0:
        return ()
    spread = weighing.spread_mm(bur)
    best, settled = best_chance(window, spread), bur.from_attempts >= SETTLED_AT
    said = [
        _three(bur, f"The {bur.size_mm:.2f} mm bur"),
        *(_most(best, spread) if settled else _most_so_far(best, bur)),
        *_while_cutting(bur),
        *_other_burs(chosen, weighing.book),
    ]
    mine = chosen.passed_over
    if mine is not None:
        instead = _instead(stone, mine, weighing, aim_mm=weighing.aim_mm)
        said.append(_three(mine, f"With your {mine.tool}"))
        said.append(f"Stop early and check with the stone, or {instead}")
    elif bur.chance_of_fit < EVEN_ODDS and settled:
        said.append(f"Or {_instead(stone, bur, weighing)}")
    return tuple(said)


def _most(share: float, spread_mm: float) -> list[str]:
    """How often any bur can fit, where that is seldom."""
    if share < EVEN_ODDS:
        sentence = (
            f"No bur reaches even odds: with a spread of {spread_mm:.3f} mm the best possible fits "
            f"{_in_100(share)} in 100. Check with the stone, and practise the seat."
        )
        return [sentence]
    if share < SELDOM:
        fits = f"the best possible bur fits {_in_100(share)} in 100."
        return [f"With a spread of {spread_mm:.3f} mm {fits}"]
    return []


def _most_so_far(share: float, bur: BurForecast) -> list[str]:
    """The same while little is known of the hand: it is no spread to practise yet."""
    if share >= SELDOM:
        return []
    known = "In a hand not measured yet"
    if was_read(bur):
        own = bur.from_attempts
        known = f"With {number_in_words(own)} {noun_for(own, 'seat')} of your own read"
    fits = f"the best possible bur fits {_in_100(share)} in 100, because hands differ"
    read = "read your first seats: they make the chances your own"
    return [f"{known} {fits}. Check with the stone, and {read}."]


def _while_cutting(bur: BurForecast) -> list[str]:
    """What to do with the bur chosen: stop early, or expect to go on."""
    if bur.chance_too_wide > bur.chance_too_narrow and bur.chance_of_fit < EVEN_ODDS:
        return ["Stop early and check with the stone: a seat too wide cannot be undone."]
    if bur.chance_too_narrow > max(bur.chance_too_wide, 0.25):
        return ["Expect to open the seat a little further, checking with the stone."]
    return []


def _other_burs(chosen: Chosen, book: RuleBook) -> list[str]:
    """Sizes to buy that cost less or fit oftener, and the one nearest to what is wanted."""
    bur, bought, said = chosen.predicted, chosen.to_buy[0], []
    costs = book.rule("too wide costs").times
    if cheaper_sold(bur.size_mm, bur, chosen.to_buy, costs) is not None:
        words = "Of the sizes sold" if chosen.tool.from_ == "to buy" else "To buy"
        said.append(_three(bought, f"{words}, {bought.size_mm:.2f} mm"))
    likeliest = likelier(bur, chosen.to_buy, at_hand=chosen.at_hand)
    if likeliest is not None and likeliest != bought:
        named = f"{likeliest.size_mm:.2f} mm"
        if likeliest in chosen.at_hand:
            named = f"Your {likeliest.tool}"
        said.append(_three(likeliest, f"{named} is likelier to fit and oftener too wide"))
    spoken_of = (bur, bought, fits_oftenest(chosen.to_buy))
    if chosen.nearest.size_mm not in {b.size_mm for b in spoken_of}:
        named = f"{chosen.nearest.size_mm:.2f} mm, the nearest size to what is wanted"
        said.append(_three(chosen.nearest, named))
    return said


def suited_mm(
    stone: Stone, bur: BurForecast, window: Window, book: RuleBook, *, spread_mm: float
) -> float:
    """The stone that a seat of this bur costs least with: it moves the window with its diameter.

    The cost Φ((a − m)/s) + k·(1 − Φ((b − m)/s)) is least where φ((a − m)/s) = k·φ((b − m)/s), which
    is the expected seat m in the window's middle, and the stone larger by s²·ln k / (b − a) where a
    seat too wide costs k times one too narrow. s is `spread_mm`.
    """
    wide = book.rule("too wide costs").times
    shift = spread_mm**2 * math.log(wide) / (window[1] - window[0]) if wide > 0 else 0.0
    return stone.diameter_mm + bur.seat_mm - sum(window) / 2 + shift


def _instead(
    stone: Stone, bur: BurForecast, weighing: Weighing, *, aim_mm: float | None = None
) -> str:
    """Another stone for this bur, with its three chances; an unread hand aims with `aim_mm`."""
    window, spread = weighing.window, weighing.spread_mm(bur)
    mm = round(suited_mm(stone, bur, window, weighing.book, spread_mm=aim_mm or spread), 2)
    moved = mm - stone.diameter_mm
    chances = chances_in((window[0] + moved, window[1] + moved), bur.seat_mm, spread)
    return _three(chances, f"set a stone of {mm:.2f} mm with it")


def _three(chances: Chances, named: str) -> str:
    fits, wide, narrow = chances.in_100
    return f"{named}: fits {fits} in 100, too wide {wide}, too narrow {narrow}."


def _in_100(share: float) -> str:
    return f"{100 * share:.0f}"
