"""The set-up sheet: what to use for one stone, with sizes, reasons and warnings, as plain values.

`as_dict` of a `SetUpSheet` is the `sizes` JSON. Lengths are millimetres rounded to a micrometre,
angles degrees.
"""

from typing import Literal

from platebook.trade.curved_seat import CurveAnswer, SpacingAnswer
from platebook.trade.geometry.thickness import SheetAnswer
from platebook.trade.stones import Profile
from platebook.trade.unevenness import Unevenness
from platebook.values import Value, field

SeatMethod = Literal["drop in", "push in", "snap in"]


class StoneAnswer(Profile):
    """The stone that was asked about: its profile, with what had to be assumed.

    `ovality_mm` is largest minus smallest diameter where both were measured, else None; `material`
    as given and `facts` what the table of stones says of it. Where the tool that read the diameter
    is known, `diameter_mm` is corrected by its check, `diameter_u_mm` is its standard uncertainty,
    and `measured` says both. `uneven` is what is known of a stone that is not round, None where
    only one diameter is known.
    """

    ovality_mm: float | None = None
    material: str | None = None
    facts: str | None = None
    diameter_u_mm: float | None = None
    measured: str | None = None
    uneven: Unevenness | None = None


class OtherRule(Value):
    """What another rule for the same question would ask for: its id, size and kind."""

    rule: str
    target_mm: float
    source: str


class ToolChoice(Value, kw_only=True):
    """One tool to use.

    `target_mm` is what the rule asks for; `choose_mm` the tool to take, `from` (in Python `from_`)
    the "drawer", "last time" (used in the last settings, and the drawer holds none of its kind) or
    "to buy"; `tool` its name and `shape` its shape (None for a drill). `rule` is
    the id of the rule, `source` where it comes from and `sentence` what to show beside it.
    `nearest_mm` is the nearest one in the drawer where that is not near enough, else None;
    `angle_deg` the angle of a seat bur where it was measured: of a setting bur its tip's, of a hart
    bur its edge's. `floor_deg` is the slope of the floor that is reckoned with, and `angle` says
    where that comes from; None for what cuts no cone.
    `not_above_rpm` is the speed not to go above in this metal, and `speed` the sentence to show
    beside it; None where the metal or its speeds are not known. `others` are the other rules that
    answer the same question.
    """

    target_mm: float
    choose_mm: float
    from_: Literal["drawer", "last time", "to buy"] = field(name="from")
    tool: str
    shape: str | None = None
    rule: str
    source: str
    sentence: str
    nearest_mm: float | None = None
    angle_deg: float | None = None
    floor_deg: float | None = None
    angle: str | None = None
    not_above_rpm: float | None = None
    speed: str | None = None
    others: tuple[OtherRule, ...] = ()


class SeatAnswer(Value, kw_only=True):
    """The seat to cut.

    `diameter_low_mm` to `diameter_high_mm` is the wanted window; `depth_mm` is from the sheet's
    surface to the ledge that carries the girdle's lower edge with the table level, and
    `depth_high_mm` with the table as far below as is still good; `entry_tilt_deg` is how far the
    stone must at least be tipped to enter the predicted seat, 0 where it drops in, None where it
    cannot enter: a plane's answer, for in a round hole the metal has to give as well. `entry` says
    how it gets in by its method: dropped, pressed down level, or tipped.

    `bur_sunk_mm` to `bur_sunk_high_mm` is how deep the widest part of the chosen bur goes below the
    surface for a table level to just below, None where no depth does it. `perch_mm` is how high the
    table of a stone stands before it is pressed in, whatever the depth, None where it drops in.
    `trial_stone_mm` drops in, and the seat is deep enough where its table lies `trial_low_mm` to
    `trial_high_mm` above the surface (below: negative); `trial` says so. `contact` is what carries
    the stone, across `contact_mm`, with `gap_under_mm` the room under it where it is free.
    `method` and the `rule` that the window comes from.
    """

    method: SeatMethod
    diameter_low_mm: float
    diameter_high_mm: float
    depth_mm: float
    depth_high_mm: float
    entry_tilt_deg: float | None
    entry: str = ""
    bur_sunk_mm: float | None = None
    bur_sunk_high_mm: float | None = None
    perch_mm: float | None = None
    trial_stone_mm: float | None = None
    trial_low_mm: float | None = None
    trial_high_mm: float | None = None
    trial: str | None = None
    contact: Literal["girdle edge", "pavilion"] | None = None
    contact_mm: float | None = None
    gap_under_mm: float | None = None
    rule: str
    sentence: str


class Chances(Value):
    """The three chances of a seat, that are 1 together."""

    chance_of_fit: float
    chance_too_narrow: float
    chance_too_wide: float

    @property
    def in_100(self) -> tuple[int, int, int]:
        """Of 100 seats how many fit, are too wide, are too narrow: whole numbers, 100 together.

        What rounding down leaves goes to the largest remainders.
        """
        shares = (self.chance_of_fit, self.chance_too_wide, self.chance_too_narrow)
        exact = [round(100 * share, 6) for share in shares]
        whole = [int(share) for share in exact]
        by_rest = sorted(range(3), key=lambda place: whole[place] - exact[place])
        for place in by_rest[: 100 - sum(whole)]:
            whole[place] += 1
        return whole[0], whole[1], whole[2]


class BurForecast(Chances, kw_only=True):
    """What one seat bur would cut in this hand.

    `size_mm` as measured or marked, `angle_deg` where known; `seat_mm` its predicted seat,
    `spread_mm` one standard deviation around it, `chance_of_fit` the chance that it lies in the
    wanted window, beside those that it is too narrow or too wide, and the `from_attempts` it rests
    on, with the class's seats `from_class` (both 0: by custom).
    """

    tool: str
    shape: str | None
    size_mm: float
    angle_deg: float | None = None
    seat_mm: float
    spread_mm: float
    from_attempts: int
    from_class: int = 0


class HandAnswer(Chances, kw_only=True):
    """What is known of this hand with the chosen seat bur.

    `overcut_mm` (seat minus bur, wear counted in) and `spread_mm` (one standard deviation);
    `chance_of_fit` that the seat lies in the wanted window, `chance_too_narrow` and
    `chance_too_wide` that it does not; `best_chance` is the most that any bur reaches with this
    spread. It rests on `from_attempts` of one's own and `from_class` of the class (both 0: by
    custom, and `sentence` says so). `burs` forecasts each seat bur of the drawer and `to_buy` the
    best sizes sold, of least cost first, where a seat too narrow costs 1 and one too wide
    `too_wide_costs`; `what_to_do` says the ways on.
    """

    overcut_mm: float
    spread_mm: float
    best_chance: float
    from_attempts: int
    from_class: int = 0
    sentence: str
    burs: tuple[BurForecast, ...] = ()
    to_buy: tuple[BurForecast, ...] = ()
    too_wide_costs: float
    what_to_do: tuple[str, ...] = ()


class SetUpSheet(Value, kw_only=True):
    """Stone, tools, seat, sheet and hand for one setting, and the cautions that go with it.

    `curve` is what a ring or dome does to the seat, None in flat metal; `spacing` the metal between
    this seat and the next, None without a pitch.
    """

    stone: StoneAnswer
    pilot_drill: ToolChoice
    opening_bur: ToolChoice
    seat_bur: ToolChoice
    seat: SeatAnswer
    sheet: SheetAnswer
    hand: HandAnswer
    curve: CurveAnswer | None = None
    spacing: SpacingAnswer | None = None
    cautions: tuple[str, ...]
