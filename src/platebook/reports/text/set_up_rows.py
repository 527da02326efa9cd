"""The set-up as a table: what to take for a stone, where it is, and how far to cut.

One function makes the rows for the screen, the card on paper and the commands, so that they agree.
"""

from collections.abc import Iterable, Mapping

from platebook.reports.text.figures import hundredths, in_whole_hundreds, millimetres
from platebook.trade.records import was_read
from platebook.trade.setup_sheet import SeatAnswer, SetUpSheet, ToolChoice
from platebook.trade.sizing import heights_in_words
from platebook.trade.tools.bur_choice import better_sold
from platebook.values import Value

TO_BUY = "to buy"
LAST_TIME = "last time"
AS_LAST_TIME = f"as {LAST_TIME}"
TOOLS = ("drill", "open", "seat")
"""The steps of the work that have a tool with a size, in their order."""


class SetUpRow(Value):
    """One line: a name, a size (mm where its words name no other unit), and what belongs to it.

    `more` is told where there is room for it. `always` says that a small screen shows the row too,
    `head` that it stands over those that follow, `warns` that something is not as it should be, and
    `target` that it is something to cut to and no tool.
    """

    name: str
    size: str
    said: str
    more: str = ""
    always: bool = True
    head: bool = False
    warns: bool = False
    target: bool = False

    @property
    def whole(self) -> str:
        """All that belongs to the size, in one sentence's words."""
        return ", ".join(filter(None, (self.said, self.more)))


def set_up_rows(
    sizes: SetUpSheet,
    does: Iterable[str] | None = None,
    set_up_has: Mapping[str, str] | None = None,
) -> tuple[SetUpRow, ...]:
    """The rows for a setting; `does` are the steps that the setter does, None for all of them.

    What serves other steps is left out, for it was prepared. `set_up_has` are sizes by field that
    the set-up has in place of those that are said here; each stands under the tool it replaces.
    """
    steps = None if does is None else frozenset(does)
    tools = _tools(sizes, steps, set_up_has or {})
    if steps is None or "seat" in steps:
        return (*tools, *_speed(sizes, steps), *_cut(sizes), *_sheet(sizes), _hand(sizes))
    prepared = _prepared(sizes) if {"level", "burnish"} & steps else ()
    return (*tools, *(_speed(sizes, steps) if tools else ()), *prepared)


def _tools(
    sizes: SetUpSheet, steps: frozenset[str] | None, set_up_has: Mapping[str, str]
) -> tuple[SetUpRow, ...]:
    choices = {
        "drill": ("pilot drill", sizes.pilot_drill, "pilot_mm"),
        "open": ("opening bur", sizes.opening_bur, "opening_bur_mm"),
        "seat": ("seat bur", sizes.seat_bur, "seat_bur_mm"),
    }
    rows = []
    for step in TOOLS:
        if steps is not None and step not in steps:
            continue
        name, tool, field = choices[step]
        rows.append(_tool(name, tool))
        if field in set_up_has:
            rows.append(SetUpRow("! set-up", set_up_has[field], AS_LAST_TIME, warns=True))
        if step == "seat":
            rows += _chances(sizes)
    taken = [choices[step][1] for step in TOOLS if steps is None or step in steps]
    head = SetUpRow("take", "mm", _where(taken), head=True)
    return (head, *rows) if rows else ()


def _where(tools: Iterable[ToolChoice]) -> str:
    """What the column of tools tells of them; of one that is not in the drawer its row says so."""
    places = {tool.from_ for tool in tools}
    if places == {"drawer"}:
        return "in your drawer"
    return "drawer, or as said" if "drawer" in places else "which tool"


def _tool(name: str, tool: ToolChoice) -> SetUpRow:
    """A tool by its name in the drawer; one to buy by its shape."""
    floor = ""
    if tool.floor_deg is not None:
        floor = f"floor {tool.floor_deg:g}°{' assumed' if tool.angle_deg is None else ''}"
    # A tool without a name of its own is called by its size, which stands beside it already.
    said = tool.tool.removeprefix(f"{tool.choose_mm:g} mm ")
    if tool.from_ == TO_BUY:
        said = f"{tool.shape}, {TO_BUY}" if tool.shape else TO_BUY
    elif tool.from_ == LAST_TIME:
        said = f"{tool.shape}, {LAST_TIME}" if tool.shape else AS_LAST_TIME
    return SetUpRow(name, hundredths(tool.choose_mm), said, floor)


def _chances(sizes: SetUpSheet) -> list[SetUpRow]:
    """Of 100 seats by the bur chosen how many fit, and a size sold that would do better."""
    hand, bur = sizes.hand, sizes.seat_bur
    fits, wide, narrow = hand.in_100
    said = f"fit, {wide} too wide, {narrow} too narrow"
    rows = [SetUpRow("chances", f"{fits} %", said)]
    if not was_read(hand):
        rows = [SetUpRow("any hand", f"{fits} %", said, "yours not measured yet")]
    better = better_sold(bur.choose_mm, hand, hand.to_buy, hand.too_wide_costs, at_hand=hand.burs)
    if better is not None:
        fits, wide, narrow = better.in_100
        words = f"{fits} % fit, {wide} too wide, {narrow} too narrow"
        name = "or" if bur.from_ == TO_BUY or better in hand.burs else "or to buy"
        rows.append(SetUpRow(name, hundredths(better.size_mm), words, always=False))
    return rows


def _speed(sizes: SetUpSheet, steps: frozenset[str] | None) -> tuple[SetUpRow, ...]:
    """The lowest limit of the tools that turn: one that turns no faster keeps all of them."""
    tools = (sizes.pilot_drill, sizes.opening_bur, sizes.seat_bur)
    names = ("drill", "opening", "seat bur")
    known = sorted(
        (tool.not_above_rpm, name)
        for step, name, tool in zip(TOOLS, names, tools, strict=True)
        if tool.not_above_rpm is not None and (steps is None or step in steps)
    )
    if not known:
        return ()
    (lowest, name), *others = known
    more = ", ".join(f"{other} {in_whole_hundreds(limit)}" for limit, other in others)
    return (SetUpRow("not above", in_whole_hundreds(lowest), f"rpm, {name}", more),)


def _cut(sizes: SetUpSheet) -> tuple[SetUpRow, ...]:
    """How wide and how deep, and the trial stone that tells when it is deep enough."""
    seat = sizes.seat
    low, high = hundredths(seat.diameter_low_mm), hundredths(seat.diameter_high_mm)
    wide = (
        f"to {high} wide" if seat.diameter_low_mm < seat.diameter_high_mm else "no width to spare"
    )
    rows = [SetUpRow("seat", low, wide, entering(seat), target=True), _sunk(seat)]
    if seat.trial_stone_mm is not None and seat.trial_high_mm is not None:
        low_mm = seat.trial_high_mm if seat.trial_low_mm is None else seat.trial_low_mm
        size, _, words = heights_in_words(seat.trial_high_mm, low_mm).partition(" ")
        trial = f"trial {hundredths(seat.trial_stone_mm)}"
        enough = "the table of this trial stone: deep enough"
        rows.append(SetUpRow(trial, size, words or "with the metal", enough, target=True))
    if sizes.curve is not None:
        most = f"{hundredths(sizes.curve.wall_crest_mm)} at most"
        wall = hundredths(sizes.curve.wall_side_mm)
        rows.append(SetUpRow("wall", wall, "at the sides", most, target=True))
    if sizes.spacing is not None:
        left = hundredths(sizes.spacing.girdle_mm)
        rows.append(SetUpRow("between", left, "to the next", "metal left at the girdle"))
    return tuple(rows)


def entering(seat: SeatAnswer) -> str:
    """How the stone gets into a seat narrower than itself; empty where it drops in."""
    if not seat.entry_tilt_deg:
        return ""
    if seat.method == "snap in":
        return f"the stone goes in tipped {seat.entry_tilt_deg:.0f}° or more"
    return "the stone is pressed in level" if seat.method == "push in" else "open it further"


def _sunk(seat: SeatAnswer) -> SetUpRow:
    if seat.bur_sunk_mm is None:
        return SetUpRow("sink bur", "-", "nowhere level", "no depth brings the table level")
    high = "deep"
    if seat.bur_sunk_high_mm is not None:
        high = f"to {hundredths(seat.bur_sunk_high_mm)} deep"
    return SetUpRow("sink bur", hundredths(seat.bur_sunk_mm), high, "its widest part", target=True)


def _sheet(sizes: SetUpSheet) -> tuple[SetUpRow, ...]:
    """The sheet; on a small screen only where it does not hold, for the picture says the rest."""
    sheet = sizes.sheet
    point = f"point {hundredths(abs(sheet.culet_clearance_mm))} "
    point += "out" if sheet.culet_out else "inside"
    under = f"{hundredths(sheet.ledge_mm)} under the girdle"
    thin = not sheet.holds
    said = "too thin" if thin else "holds"
    size = millimetres(sheet.thickness_mm)
    return (SetUpRow("sheet", size, said, f"{under}, {point}", always=thin, warns=thin),)


def _hand(sizes: SetUpSheet) -> SetUpRow:
    """What the hand cuts beside the bur, and what that rests on."""
    hand = sizes.hand
    name, rests = "by custom", ""
    if hand.from_attempts:
        name, rests = "your hand", f"{hand.from_attempts} read"
    elif hand.from_class:
        name, rests = "class hand", f"{hand.from_class} read"
    return SetUpRow(name, f"{hand.overcut_mm:+.2f}", "beside the bur", rests, always=False)


def _prepared(sizes: SetUpSheet) -> tuple[SetUpRow, ...]:
    """The seat that lies ready, where only what follows is practised."""
    seat = sizes.seat
    wide = f"to {hundredths(seat.diameter_high_mm)} wide"
    return (
        SetUpRow("prepared", "mm", "", head=True),
        SetUpRow("seat", hundredths(seat.diameter_low_mm), wide, target=True),
        SetUpRow("ledge", hundredths(seat.depth_mm), "deep", target=True),
        *_sheet(sizes),
    )
