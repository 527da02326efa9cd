"""The set-up sheet as a card for the bench, and the next exercise in words."""

from collections.abc import Sequence

from platebook.advice.exercise import NextExercise, Run
from platebook.practice.fields import steps_done
from platebook.reports.drawings.section_text import section_text
from platebook.reports.text.figures import folded, hundredths, in_whole_hundreds, millimetres
from platebook.reports.text.set_up_rows import TO_BUY, SetUpRow, set_up_rows
from platebook.trade.geometry.section import Across
from platebook.trade.phrases import count_of
from platebook.trade.setup_sheet import SetUpSheet, ToolChoice

WIDTH = 78
PICTURE_ROWS = 16
SAME_SIZE_MM = 0.005
"""Rules closer than this agree: the card tells sizes to a hundredth."""


def sizes_card(
    sizes: SetUpSheet, *, picture: bool = False, part: str | None = None
) -> tuple[str, ...]:
    """The card's lines: stone, tools with their reasons, seat, sheet, hand, cautions.

    For a `part` only what the setter does in it: other tools were used by who prepared the seat.
    With `picture` the seat is drawn in section before the cautions, in braille dots.
    """
    cuts: tuple[Across, ...] = ("along", "across") if sizes.curve is not None else ("across",)
    drawn: tuple[str, ...] = ()
    for cut in cuts if picture else ():
        named = (f"Cut {cut} the {sizes.curve.kind}:",) if sizes.curve is not None else ()
        picture_of = section_text(sizes, columns=WIDTH, rows=PICTURE_ROWS, cut=cut)
        drawn = (*drawn, "", *named, *picture_of)
    does = steps_done("part" if part else None, part)
    return (
        *_stone(sizes),
        "",
        *table_lines(set_up_rows(sizes, does if part else None)),
        "",
        *(_why("pilot drill", sizes.pilot_drill) if "drill" in does else ()),
        *(_why("opening bur", sizes.opening_bur) if "open" in does else ()),
        *(_why("seat bur", sizes.seat_bur) if "seat" in does else ()),
        *(_speed(sizes) if "turn" in does else ()),
        *(("",) if "turn" in does else ()),
        *_seat(sizes),
        *_sheet(sizes),
        *(_hand(sizes) if "seat" in does else ()),
        *drawn,
        "",
        *(
            line
            for caution in sizes.cautions
            if caution not in sizes.sheet.sentences
            for line in _wrapped("! ", caution)
        ),
    )


def _wrapped(first: str, text: str) -> list[str]:
    """Folded to the card's width, a first line's beginning hanging out."""
    return folded(text, WIDTH, first=first, rest=" " * len(first))


def _row(label: str, text: str) -> list[str]:
    return _wrapped(f"{label:<13}", text)


def _stone(sizes: SetUpSheet) -> list[str]:
    stone = sizes.stone
    text = f"{millimetres(stone.diameter_mm)} mm, {hundredths(stone.depth_mm)} deep"
    text += f", crown {hundredths(stone.crown_mm)}, girdle {hundredths(stone.girdle_mm)}"
    if stone.material:
        text += f", {stone.material}"
    if stone.ovality_mm:
        text += f", {millimetres(stone.ovality_mm)} out of round"
    if stone.assumed:
        text += f" ({', '.join(stone.assumed)} not measured: as in the {stone.cut} cut)"
    measured = _row("", stone.measured) if stone.measured else []
    facts = _row("", stone.facts) if stone.facts else []
    return [*_row("Stone", text), *measured, *facts]


def table_lines(rows: Sequence[SetUpRow]) -> list[str]:
    """The set-up at a glance, a line a row."""
    lines = []
    for row in rows:
        first = f"{row.name:<13}{row.size:>6}  "
        lines += folded(row.whole, WIDTH, first=first, rest=" " * len(first)) or [first.rstrip()]
    return lines


def _why(label: str, tool: ToolChoice) -> list[str]:
    """Why this size: what was wanted, by which rule, and what other rules would say."""
    why = f"wanted {millimetres(tool.target_mm)}: {tool.sentence} [{tool.rule}: {tool.source}]"
    others = [o for o in tool.others if abs(o.target_mm - tool.target_mm) >= SAME_SIZE_MM]
    if others:
        sizes = ", ".join(f"{o.rule} {millimetres(o.target_mm)}" for o in others)
        why += f"; other rules: {sizes}"
    if tool.nearest_mm is not None and tool.from_ == TO_BUY:
        why += f"; nearest of yours {millimetres(tool.nearest_mm)}, not near enough"
    angle = _row("", f"Reckoned with a {tool.angle}.") if tool.angle else []
    return [*_row(label, why), *angle]


def _speed(sizes: SetUpSheet) -> list[str]:
    """The speeds not to go above in this metal; nothing where they are not known."""
    named = (
        ("pilot drill", sizes.pilot_drill),
        ("opening bur", sizes.opening_bur),
        ("seat bur", sizes.seat_bur),
    )
    limits = [
        f"{name} {in_whole_hundreds(tool.not_above_rpm)}"
        for name, tool in named
        if tool.not_above_rpm is not None
    ]
    if not limits:
        return []
    where = f" in {sizes.sheet.metal}" if sizes.sheet.metal else ""
    limit = f"Not above, in turns a minute, with high-speed steel{where}: {', '.join(limits)}."
    return _row("Speed", f"{limit} A limit, never a target: seats are cut slowly, by hand.")


def _seat(sizes: SetUpSheet) -> list[str]:
    seat = sizes.seat
    low, high = hundredths(seat.diameter_low_mm), hundredths(seat.diameter_high_mm)
    width = f"{low} to {high} mm wide"
    if seat.diameter_low_mm >= seat.diameter_high_mm:
        width = f"no width suits ({low} for its largest diameter, {high} for its smallest)"
        if low == high:
            width = f"no width to spare ({low} for its largest and its smallest diameter)"
    depth = f"girdle {hundredths(seat.depth_mm)} to {hundredths(seat.depth_high_mm)} deep"
    return [*_row("Seat", f"{seat.method}: {width}, {depth}; {seat.entry}."), *_depth(sizes)]


def _depth(sizes: SetUpSheet) -> list[str]:
    """How deep to cut, and what to read while cutting."""
    seat = sizes.seat
    if seat.bur_sunk_mm is None:
        return _row("Cut to", "no depth of this bur brings the table level")
    deep = hundredths(seat.bur_sunk_mm)
    if seat.bur_sunk_high_mm is not None:
        deep += f" to {hundredths(seat.bur_sunk_high_mm)}"
    text = f"{deep} mm: from the surface to the bur's widest part. {seat.trial or ''}"
    return _row("Cut to", text.strip())


def _sheet(sizes: SetUpSheet) -> list[str]:
    sheet = sizes.sheet
    custom = "" if sheet.customary_gauge is None else f" (custom: {sheet.customary_gauge} ga)"
    metal = f" of {sheet.metal}" if sheet.metal else ""
    lines = _row(
        "Sheet", f"{millimetres(sheet.thickness_mm)} mm{metal}{custom}. {sheet.sentences[0]}"
    )
    for sentence in sheet.sentences[1:]:
        lines += _row("", sentence)
    for way in sheet.ways_out:
        lines += _wrapped(f"{'':<13}- ", way.sentence)
    if sizes.curve is not None:
        lines += _row("Curve", sizes.curve.sentences[0])
    if sizes.spacing is not None:
        lines += _row("Spacing", sizes.spacing.sentence)
    return lines


def _hand(sizes: SetUpSheet) -> list[str]:
    hand = sizes.hand
    fits, wide, narrow = hand.in_100
    expected = (
        f"Expected to cut {hundredths(hand.overcut_mm)} wider than the bur, "
        f"give or take {hundredths(hand.spread_mm)}: {fits} % chance of a seat in the window, "
        f"{wide} % too wide, {narrow} % too narrow. {hand.sentence}"
    )
    lines = _row("Your hand", expected)
    for number, sentence in enumerate(hand.what_to_do[1:]):
        lines += _row("" if number else "What to do", sentence)
    return lines


def next_lines(
    advice: NextExercise, sizes: SetUpSheet | None = None, *, wants: Sequence[str] = ()
) -> tuple[str, ...]:
    """The whole answer, one thought a line; `wants` says what the drawer lacks for it."""
    asked = "Readings are asked." if advice.readings_asked else "No readings are asked."
    lines = [
        f"Next: {advice.title}, {advice.grade_title} ({advice.grade}).",
        f"{advice.task} Good when: {advice.criterion}" if advice.task else "",
        *([advice.slight] if advice.slight else []),
        f"Up to {count_of(advice.repeat, 'try', 'tries')}, then ask again. {asked}",
        "",
        "Why:",
        *(f"- {sentence}" for sentence in advice.why),
    ]
    if advice.changes:
        lines += ["What would change it:", *(f"- {sentence}" for sentence in advice.changes)]
    lines += [f"! {sentence}" for sentence in wants]
    if advice.block is not None:
        lines += ["", "The block, in this order:"]
        next_run = advice.run.run if advice.run is not None else 0
        lines += [f"{'>' if run.run == next_run else '-'} {_run(run)}" for run in advice.block.runs]
    if sizes is not None:
        lines += ["", *sizes_card(sizes, part=advice.part)]
    return tuple(lines)


def _run(run: Run) -> str:
    """What one setting of a block is done with, such as 1: seat bur 1.80 mm, burnish passes 3+."""
    return f"{run.run}: {', '.join(_choice(name, level) for name, level in run.values.items())}"


def _choice(name: str, level: float | str) -> str:
    words = name.removesuffix("_mm").replace("_", " ")
    return f"{words} {level}" if isinstance(level, str) else f"{words} {millimetres(level)} mm"
