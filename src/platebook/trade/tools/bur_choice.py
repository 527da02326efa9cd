"""Which seat bur to take: what each would cut in this hand, and what a wrong seat costs.

The next seat is taken as normal around bur + overcut + wear · seats cut, with the hand's spread, so
every bur has three chances: too narrow, a fit, too wide. They are not alike: a seat too narrow is
opened further, one too wide has lost its place. The bur of least cost is taken, where a seat too
narrow costs 1 and one too wide what the rule for it says.

Before any seat of a hand was read, how hands differ is in the chances and not in the choice:
weighed by that doubt, the bur of least cost would put most first seats below the window. It is
chosen as for a hand that cuts just as custom expects.

Burs are sold in steps that a rule names; what is to buy is weighed among the sizes about the
target, never just rounded to one.
"""

import math
from collections.abc import Iterable, Sequence
from operator import attrgetter

from platebook.trade.records import Drawer, Hand, HandForShape, Stone, Tool, was_read
from platebook.trade.rules import RuleBook, RuleOfThumb
from platebook.trade.setup_sheet import BurForecast, Chances, SeatMethod, ToolChoice
from platebook.trade.tools.expected_hand import custom_hand
from platebook.trade.tools.tool_choice import choice_of, name_of
from platebook.trade.validation import Fault, TradeError
from platebook.values import Value, fields_of

Window = tuple[float, float]

SEAT_SHAPES = ("setting", "hart", "ball")

LEAST_CHANCE = 0.2
"""A bur that fits more seldom than this is never offered for want of a better one (judgement)."""

WORTH_BUYING = 0.25
"""How much less a seat by a new bur has to cost before it is worth buying one (judgement)."""

EVEN_ODDS = 0.5
SELDOM = 0.6
"""Where no bur can fit more often than this, the spread is the trouble, and it is said."""

CLEARLY = 0.05
"""A size that fits more often by this is named, though another one costs less."""

ABOUT_THE_TARGET_MM = 0.15
"""How far from the target sizes to buy are weighed, at least; a hand's spread reaches further."""

MOST_TO_BUY = 3
"""How many sizes to buy are named, the best first."""


def seat_window(stone: Stone, method: str, book: RuleBook | None = None) -> Window:
    """Narrowest and widest wanted seat in millimetres.

    A stone measured as oval narrows the window: the narrowest seat is for its largest diameter, the
    widest for its smallest. A stone too oval for any round seat gives the first above the second.
    One that was tried in gauged holes has its window about the smallest hole it enters.
    """
    rule = (book or RuleBook()).rule("seat window", method)
    if stone.hole_mm is not None:
        return stone.hole_mm + rule.low_mm, stone.hole_mm + rule.high_mm
    largest = stone.diameter_max_mm or stone.diameter_mm
    smallest = stone.diameter_min_mm or stone.diameter_mm
    return largest + rule.low_mm, smallest + rule.high_mm


def hand_for(shape: str | None, hand: Hand | None, book: RuleBook) -> HandForShape:
    """The hand with this bur shape, or the one custom expects, which rests on 0 attempts."""
    name = shape or "setting"
    known = hand.for_shape(name) if hand is not None else None
    if known is not None:
        return known
    expected = custom_hand(book)
    return HandForShape(
        shape=name, overcut_mm=expected.overcut_mm, spread_mm=expected.next_spread_mm
    )


def chance_between(low_mm: float, high_mm: float, mean_mm: float, spread_mm: float) -> float:
    """The chance that a normal value lies between two limits; 0 where they are reversed."""
    if high_mm <= low_mm:
        return 0.0
    return chance_below(high_mm, mean_mm, spread_mm) - chance_below(low_mm, mean_mm, spread_mm)


def chance_below(limit_mm: float, mean_mm: float, spread_mm: float) -> float:
    """The chance that a normal value lies below a limit."""
    return (1 + math.erf((limit_mm - mean_mm) / (spread_mm * math.sqrt(2)))) / 2


def best_chance(window: Window, spread_mm: float) -> float:
    """The most often any bur can fit in a hand with this spread: its seats about the middle."""
    return chance_between(*window, sum(window) / 2, spread_mm)


def cost_of(bur: Chances, book: RuleBook) -> float:
    """What a seat by this bur costs on the mean: 1 for too narrow, the rule's for too wide."""
    return _cost(bur, book.rule("too wide costs").times)


def _cost(bur: Chances, too_wide_costs: float) -> float:
    return bur.chance_too_narrow + too_wide_costs * bur.chance_too_wide


def better_sold(
    size_mm: float,
    bur: Chances,
    sold: Sequence[BurForecast],
    too_wide_costs: float,
    *,
    at_hand: Sequence[BurForecast],
) -> BurForecast | None:
    """The size sold that is better than a bur of this size; None where none is.

    It is the best sold where that costs less, else one that clearly fits more often, which may lie
    among the burs `at_hand` (`likelier`).
    """
    cheaper = cheaper_sold(size_mm, bur, sold, too_wide_costs)
    return cheaper or likelier(bur, sold, at_hand=at_hand)


def cheaper_sold(
    size_mm: float, bur: Chances, sold: Sequence[BurForecast], too_wide_costs: float
) -> BurForecast | None:
    """The first of `sold`, which costs least of them, where it costs less than this bur."""
    if not sold or sold[0].size_mm == size_mm:
        return None
    spared = _cost(bur, too_wide_costs) - _cost(sold[0], too_wide_costs)
    return sold[0] if round(spared, 3) > 0 else None


def fits_oftenest(sold: Sequence[BurForecast]) -> BurForecast:
    """The one that fits most often; of equal ones the first, which costs less."""
    return max(sold, key=attrgetter("chance_of_fit"))


def likelier(
    bur: Chances, sold: Sequence[BurForecast], *, at_hand: Sequence[BurForecast]
) -> BurForecast | None:
    """The size sold that fits most often, where that is clearly more often than this bur's.

    Where one of that size and shape is at hand, it is that one, as worn as it is.
    """
    if not sold:
        return None
    likeliest = fits_oftenest(sold)
    kind = (likeliest.shape, likeliest.size_mm)
    likeliest = next((b for b in at_hand if (b.shape, b.size_mm) == kind), likeliest)
    return likeliest if likeliest.chance_of_fit >= bur.chance_of_fit + CLEARLY else None


def forecast(
    tool: Tool, known: HandForShape, window: Window, *, stone_u_mm: float = 0.0
) -> BurForecast:
    """The seat that a bur with a size would cut, and its three chances.

    The window hangs on the stone's measured size, so that one's uncertainty widens the chances. In
    a window of no width a seat is too narrow below its middle and too wide above it.
    """
    size = tool.size_mm or 0.0
    seat = size + known.overcut_mm + known.wear_mm_per_seat * tool.seats_cut
    spread = math.hypot(known.spread_mm, stone_u_mm)
    return BurForecast(
        tool=tool.name or name_of(tool),
        shape=tool.shape,
        size_mm=size,
        angle_deg=tool.angle_deg,
        seat_mm=round(seat, 3),
        spread_mm=round(known.spread_mm, 3),
        from_attempts=known.from_attempts,
        from_class=known.from_class,
        **fields_of(chances_in(window, seat, spread)),
    )


def chances_in(window: Window, seat_mm: float, spread_mm: float) -> Chances:
    """The three chances of a seat that is expected at `seat_mm`."""
    high = window[1] if window[0] <= window[1] else sum(window) / 2
    wide = round(1 - chance_below(high, seat_mm, spread_mm), 3)
    fit = round(chance_between(*window, seat_mm, spread_mm), 3)
    return Chances(
        chance_of_fit=fit,
        chance_too_narrow=max(0.0, round(1 - wide - fit, 3)),  # in this order never -0.0
        chance_too_wide=wide,
    )


class Weighing(Value):
    """What burs are weighed by: the window wanted, and how far seats are taken to differ.

    `stone_u_mm` is the doubt of the stone's size. `aim_mm` is the spread that a hand not measured
    yet is aimed with, None where a bur's own chances are weighed.
    """

    window: Window
    hand: Hand | None
    stone_u_mm: float
    aim_mm: float | None
    book: RuleBook

    @classmethod
    def of(cls, stone: Stone, method: str, hand: Hand | None, book: RuleBook) -> "Weighing":
        """For this stone; a hand of which no bur shape is known was not measured yet."""
        known, doubt = hand is not None and hand.shapes, stone.diameter_u_mm or 0.0
        aim = None if known else math.hypot(book.rule("overcut spread").plus_mm, doubt)
        return cls(seat_window(stone, method, book), hand, doubt, aim, book)

    def spread_mm(self, bur: BurForecast) -> float:
        """What a bur's chances rest on, unrounded: the hand's spread and the stone's doubt."""
        return math.hypot(hand_for(bur.shape, self.hand, self.book).spread_mm, self.stone_u_mm)

    def chances(self, bur: BurForecast) -> Chances:
        """The chances that a bur is chosen by."""
        return bur if self.aim_mm is None else chances_in(self.window, bur.seat_mm, self.aim_mm)

    def cost(self, bur: BurForecast) -> float:
        """What a seat by it costs, by those chances."""
        return cost_of(self.chances(bur), self.book)

    def best_first(self, burs: Iterable[BurForecast]) -> tuple[BurForecast, ...]:
        """The least cost first; of equal ones the nearer to the middle, then the smaller."""
        middle = sum(self.window) / 2
        has_width = round(self.window[1] - self.window[0], 6) > 0

        def order(bur: BurForecast) -> tuple[float, float, float]:
            cost = round(self.cost(bur), 3) if has_width else 0.0
            return cost, round(abs(bur.seat_mm - middle), 4), bur.size_mm

        return tuple(sorted(burs, key=order))


def forecasts(
    drawer: Drawer, hand: Hand | None, stone: Stone, method: str, book: RuleBook
) -> tuple[BurForecast, ...]:
    """Every seat bur of the drawer, the least cost first; of equal ones the nearer to the middle.

    Burs that cut wide cannot be undone, so of two still equal the smaller comes first.
    """
    weighing = Weighing.of(stone, method, hand, book)
    window, doubt = weighing.window, weighing.stone_u_mm
    return weighing.best_first(
        forecast(tool, hand_for(tool.shape, hand, book), window, stone_u_mm=doubt)
        for tool in drawer.at_hand("bur")
        if tool.shape in SEAT_SHAPES
    )


def sold_about(target_mm: float, reach_mm: float, book: RuleBook) -> tuple[float, ...]:
    """The sizes that burs are sold in within a reach of a target, smallest first."""
    step = book.rule("burs sold").plus_mm
    first = math.ceil(round((target_mm - reach_mm) / step, 6))
    last = math.floor(round((target_mm + reach_mm) / step, 6))
    return tuple(round(step * count, 3) for count in range(max(first, 1), last + 1))


class Chosen(Value):
    """The seat bur to take, what it would cut, and what was weighed with it.

    `to_buy` are the best sizes sold, `passed_over` the drawer's best where one is to buy instead,
    `nearest` the size sold that is nearest to the rule's target, and `at_hand` the drawer's burs.
    """

    tool: ToolChoice
    predicted: BurForecast
    to_buy: tuple[BurForecast, ...]
    nearest: BurForecast
    weighing: Weighing
    passed_over: BurForecast | None = None
    at_hand: tuple[BurForecast, ...] = ()


def seat_bur(
    stone: Stone,
    method: SeatMethod,
    burs: Iterable[BurForecast],
    hand: Hand | None,
    book: RuleBook,
) -> Chosen:
    """The seat bur: the drawer's of least cost, or the size to buy that spares a good deal more.

    `burs` are the drawer's, the least cost first (`forecasts`). The target is custom's, or where
    this hand is known with the shape and no rule was chosen, the middle of the window less its
    overcut. Custom's goes by the gauged hole of a stone that was tried in some. A rule chosen by
    its id is taken at its word: the size sold that is nearest to it.
    Hand-cut stones ask for ball burs first, others last. A bur over the stone is never taken,
    whatever the target. Raises TradeError for a hand so wide that no bur would be small enough.
    """
    weighing = Weighing.of(stone, method, hand, book)
    shape = _shape_to_buy(stone, hand)
    known = hand_for(shape, hand, book)
    rule = book.rule("seat bur", method)
    target, by_rule = rule.size_mm(stone.enters_mm), rule.id in book.chosen
    if was_read(known) and not by_rule:
        rule = book.rule("seat bur by hand")
        target = sum(weighing.window) / 2 - known.overcut_mm
    to_buy = _to_buy(stone, target, Tool(kind="bur", shape=shape), known, weighing)
    offered = [bur for bur in burs if bur.size_mm <= stone.enters_mm]
    offered.sort(key=lambda bur: (bur.shape == "ball") != stone.hand_cut)
    nearest_sold = _nearest(to_buy, target)
    bought = nearest_sold if by_rule else to_buy[0]
    limit = weighing.cost(bought) + WORTH_BUYING
    least = min(LEAST_CHANCE, weighing.chances(bought).chance_of_fit)
    fitting = [
        bur
        for bur in offered
        if weighing.cost(bur) <= limit and weighing.chances(bur).chance_of_fit >= least
    ]
    named, at_hand = to_buy[:MOST_TO_BUY], tuple(offered)
    if fitting:
        mine = _from_drawer(rule, target, fitting[0])
        return Chosen(mine, fitting[0], named, nearest_sold, weighing, at_hand=at_hand)
    nearest = min((abs(b.size_mm - target), b.size_mm) for b in offered)[1] if offered else None
    tool = choice_of(
        rule,
        target,
        Tool(kind="bur", shape=shape, size_mm=bought.size_mm),
        "to buy",
        nearest_mm=nearest,
    )
    likely = [bur for bur in offered if weighing.chances(bur).chance_of_fit >= LEAST_CHANCE]
    passed_over = likely[0] if likely else None
    return Chosen(tool, bought, named, nearest_sold, weighing, passed_over, at_hand)


def _to_buy(
    stone: Stone, target_mm: float, made: Tool, known: HandForShape, weighing: Weighing
) -> tuple[BurForecast, ...]:
    """The sizes sold about the target and about the middle of the window, the least cost first."""
    window, book = weighing.window, weighing.book
    middle = sum(window) / 2 - known.overcut_mm
    reach = 2 * (weighing.aim_mm or known.spread_mm)
    about = {
        mm
        for centre in (target_mm, middle)
        for mm in sold_about(centre, max(ABOUT_THE_TARGET_MM, reach), book)
    }
    step = book.rule("burs sold").plus_mm
    largest = math.floor(round(stone.enters_mm / step, 6)) * step
    sizes = {mm for mm in about if mm <= stone.enters_mm} or {round(largest, 3)}
    if min(target_mm, middle) <= 0 or min(sizes) <= 0:
        read = f"an overcut of {known.overcut_mm:g} mm"
        raise TradeError((Fault("hand", read, "much less than the stone's diameter"),))
    doubt = weighing.stone_u_mm
    return weighing.best_first(
        forecast(made.model_copy(update={"size_mm": mm}), known, window, stone_u_mm=doubt)
        for mm in sorted(sizes)
    )


def _nearest(burs: tuple[BurForecast, ...], target_mm: float) -> BurForecast:
    """The size nearest to a rule's; halfway goes to the smaller."""
    return min(burs, key=lambda bur: (round(abs(bur.size_mm - target_mm), 6), bur.size_mm))


def _from_drawer(rule: RuleOfThumb, target: float, bur: BurForecast) -> ToolChoice:
    tool = Tool(
        kind="bur",
        name=bur.tool,
        shape=bur.shape,
        size_mm=bur.size_mm,
        angle_deg=bur.angle_deg,
    )
    return choice_of(rule, target, tool, "drawer")


def _shape_to_buy(stone: Stone, hand: Hand | None) -> str:
    if stone.hand_cut:
        return "ball"
    known = [h for h in hand.shapes if h.shape in ("setting", "hart")] if hand is not None else []
    return max(known, key=lambda h: h.from_attempts).shape if known else "setting"
