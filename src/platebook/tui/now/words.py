"""The next exercise as words on the screen, and the plate with its positions."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.success.share_good import share_words
from platebook.reports.text.figures import (
    GRADES,
    PARTS_DO_NOT_COUNT,
    count_of,
    outlook_words,
)
from platebook.tui.now.start_keys import digit_hint
from platebook.tui.parts.headline import Head, bar
from platebook.tui.parts.text import fit, line, stack, txt

if TYPE_CHECKING:
    from platebook.services.now.minding import Minding
    from platebook.services.now.now_view import NowView
    from platebook.services.plates import PlateCell, PlateView
    from platebook.trade.setup_sheet import SeatAnswer, SetUpSheet, ToolChoice


NAME = 12
SET_ASIDE = frozenset({"chosen", "block", "plate"})
"""Purposes that set the suggestion aside; what it would be is told with them."""
WORD_PARTS = ("exercise", "standing", "steps", "why", "cautions")
PARTS = (*Head.PARTS, *WORD_PARTS, "sizes")

GO_ON = "Enter goes on where you left off; what is new starts after that."


def parts_of(
    view: "NowView", *, unfolded: bool, minding: "Minding | None" = None, unfinished: bool = False
) -> dict[str, Content]:
    """All parts of Now by name; the steps are empty where they are folded away.

    `minding` is what the findings say today, None before they stand. While something is
    `unfinished` no key starts anything new.
    """
    first = [empty_part()] if not view.attempts else []
    keys = txt(GO_ON) if unfinished else asked_part(view)
    return {
        **head_of(view, minding).parts(),
        "exercise": stack(*first, exercise_part(view), keys),
        "standing": standing_part(view),
        "steps": steps_part() if unfolded else txt(""),
        "why": why_part(view),
        "cautions": cautions_part(view),
        "sizes": _sizes_of(view),
    }


def _sizes_of(view: "NowView") -> Content:
    if view.sizes is None:
        return txt("")
    from platebook.practice.fields import steps_done

    advice = view.advice
    does = steps_done("part", advice.part) if advice.part else None
    return sizes_part(view.sizes, does, {d.field: d.carried for d in view.differs})


def where_of(view: "NowView") -> str:
    """Exercise, grade and position in one line."""
    parts = [view.exercise_title, view.grade_title]
    if view.plate is not None and view.plate.next_position:
        parts.append(f"plate {view.plate.name} position {view.plate.next_position}")
    return " · ".join(part for part in parts if part)


def go_line(view: "NowView") -> str:
    """How many good ones are still to go, or a block's plan, and whether readings are asked."""
    asked = "readings asked" if view.readings_asked and view.readings else "no readings asked"
    if view.advice.run is not None:
        return f"planned: {_planned(view)}; {asked}"
    if view.waits:
        return f"waits for an instructor's sign-off, {asked}"
    aside = f" ({PARTS_DO_NOT_COUNT})" if view.advice.kind == "part" else ""
    return f"{count_of(view.good_to_go, 'good one')} to go{aside}, {asked}"


def head_of(view: "NowView", minding: "Minding | None" = None) -> Head:
    """What to set, how far this grade is, what to mind, and how many good ones are to go."""
    title = Content.assemble((line(view.exercise_title), "bold"), f" · {line(view.grade_title)}")
    number, caption = "", ""
    if view.advice.state in TO_BE_PASSED and view.advice.run is None:
        number = str(view.good_to_go)
        caption = "good one to go" if view.good_to_go == 1 else "good ones to go"
    return Head(title, _how_far(view), mind_part(minding), number, caption)


def _how_far(view: "NowView") -> Content:
    """The grade's points as a bar, its state, and the share that comes out good now."""
    advice = view.advice
    sign = GRADES[advice.state]
    points = f"{view.points} of {count_of(view.promote_at, 'point')}"
    share = share_words(advice.good_now, advice.good_now_low, advice.good_now_high)
    said = f"{sign.drawn} {sign.words}, {points}"
    said = f"{said} · {share}" if share else said
    return Content.assemble(bar(view.points, view.promote_at, 11), f" {said}")


def exercise_part(view: "NowView") -> Content:
    """What to do, when it is good, and what will be asked."""
    return stack(
        *_choice_lines(view),
        txt(view.task),
        Content.assemble(("Good when: ", "$muted"), line(view.criterion)),
    )


def _choice_lines(view: "NowView") -> list[Content]:
    """Whose choice it is, and the key back to the suggestion; a block's plan for this setting."""
    advice = view.advice
    if not advice.chosen_by:
        return []
    own = advice.chosen_by == view.setter
    whose = "your own choice" if own else f"chosen by {line(advice.chosen_by)}"
    head = Content.assemble(
        (f"{whose}; ", "$accent"), ("o ", "bold $accent"), "goes back to what is suggested"
    )
    if advice.run is None:
        return [head]
    return [head, Content.assemble(("Planned: ", "bold"), line(_planned(view)))]


def _planned(view: "NowView") -> str:
    """What the setting of a block is done with; empty where it is none."""
    from platebook.advice.blocks import planned_text

    return planned_text(view.advice.run) if view.advice.run is not None else ""


def mind_part(minding: "Minding | None") -> Content:
    """What the findings say today: thanks for what has gone, then what to mind."""
    if minding is None:
        return txt("")
    thanks, mind = minding.thanks, minding.mind
    return stack(
        *([txt(thanks.line, "$text-success")] if thanks is not None else []),
        *([txt(mind.line, "bold")] if mind is not None else []),
    )


def asked_part(view: "NowView") -> Content:
    """Whether readings are asked, said before the attempt begins, and the keys that follow."""
    if view.readings_asked and view.readings:
        names = ", ".join(line(reading.label) for reading in view.readings)
        asked, hint = Content.assemble(("Readings asked: ", "bold"), names), digit_hint(view)
        return asked if hint is None else stack(asked, hint)
    if view.advice.part == "seeing":
        return Content.assemble(("Judged blind: ", "bold"), "Enter shows the reference plates")
    return Content.assemble(("No readings asked: ", "bold"), "g then Enter logs a good one")


def why_part(view: "NowView") -> Content:
    """Why this exercise, one sentence a line, what is set aside, and what the drawer lacks."""
    aside = view.advice.changes if view.advice.purpose in SET_ASIDE else ()
    seeing = (view.seeing,) if view.seeing else ()
    return stack(
        txt("why", "$muted"),
        *(txt(f"· {why}") for why in (*view.advice.why, *aside, *seeing)),
        *(Content.assemble(("! ", "bold $text-warning"), line(w)) for w in view.wants),
    )


def standing_part(view: "NowView") -> Content:
    """How much was practised, and what lies ahead at this grade."""
    return stack(txt(_practised(view)), *(txt(words, "$muted") for words in _ahead(view)))


def _ahead(view: "NowView") -> list[str]:
    """That parts do not count, and the outlook."""
    advice = view.advice
    if advice.state not in TO_BE_PASSED:
        return []
    lines = [PARTS_DO_NOT_COUNT] if advice.kind == "part" else []
    return [*lines, outlook_words(advice.forecast)] if advice.forecast is not None else lines


def cautions_part(view: "NowView") -> Content:
    """What to mind at the bench."""
    return stack(*(Content.assemble(("! ", "bold $text-warning"), line(c)) for c in view.cautions))


def steps_part() -> Content:
    """One setting step by step, each with what to mind at it."""
    from platebook.trade.cautions import step_cautions, work_steps

    lines = [txt("step by step (s folds it away; your teacher's order comes first)", "$muted")]
    warned: set[str] = set()
    for number, step in enumerate(work_steps(), 1):
        head = (f"{number:>2} {line(step.name)}: ", "bold")
        lines.append(Content.assemble(head, line(step.say)))
        minded = step_cautions(step.caution)
        if minded is not None and step.caution not in warned:
            warned.add(step.caution)
            words = " ".join(line(sentence) for sentence in minded.say)
            lines.append(Content.assemble(("   ! ", "bold $text-warning"), (words, "$muted")))
    return stack(*lines)


def empty_part() -> Content:
    """What to do first, where nothing is logged yet."""
    return Content.assemble(
        ("Nothing is logged yet. ", "bold"),
        "Set up with the sizes here, do the exercise once, and press Enter to log how it went.",
    )


def sizes_part(
    sizes: "SetUpSheet",
    does: frozenset[str] | None = None,
    carried: Mapping[str, str] | None = None,
) -> Content:
    """The set-up sheet in a few lines: what to take for this stone, and what the sheet will do.

    `does` are the steps that the setter does, None for all of them; what serves other steps is not
    shown, for it was prepared. `carried` are the sizes by field that the set-up carried over has
    instead of these.
    """
    seat, sheet, hand = sizes.seat, sizes.sheet, sizes.hand
    tilt = _tilt(seat)
    fits, wide, narrow = hand.in_100
    tools = (
        ("drill", "pilot drill", sizes.pilot_drill, "pilot_mm"),
        ("open", "opening bur", sizes.opening_bur, "opening_bur_mm"),
        ("seat", "seat bur", sizes.seat_bur, "seat_bur_mm"),
    )
    shown = []
    for step, name, tool, field in tools:
        if does is None or step in does:
            shown.append(_tool(name, tool))
            shown += _instead((carried or {}).get(field))
    if does is not None and "seat" not in does:
        prepared = [
            _size("seat", f"{seat.diameter_low_mm:.2f}-{seat.diameter_high_mm:.2f}", "prepared"),
            _size("", f"{seat.depth_mm:.2f}", "deep"),
            _size("sheet", f"{sheet.thickness_mm:.2f}", "holds" if sheet.holds else "too thin"),
        ]
        turning = _slowest(sizes) if shown else []
        return stack(*shown, *turning, *(prepared if {"level", "burnish"} & does else []))
    return stack(
        *shown,
        *_slowest(sizes),
        _size("seat", f"{seat.diameter_low_mm:.2f}-{seat.diameter_high_mm:.2f}", f"wide {tilt}"),
        *_depth(seat),
        _size("sheet", f"{sheet.thickness_mm:.2f}", "holds" if sheet.holds else "too thin"),
        *_walls(sizes),
        _size(
            _whose(sizes),
            f"{hand.overcut_mm:+.2f}",
            f"fits {fits} %",
        ),
        _size(
            "too wide",
            f"{wide} %",
            f"narrow {narrow} %",
        ),
        *([_size("", str(hand.from_attempts), "seats read")] if hand.from_attempts else []),
    )


def _walls(sizes: "SetUpSheet") -> list[Content]:
    """The metal left above the girdle where curved metal has fallen furthest."""
    if sizes.curve is None:
        return []
    return [_size("wall", f"{sizes.curve.wall_side_mm:.2f}", "at the sides")]


def _tilt(seat: "SeatAnswer") -> str:
    """How the stone gets into the seat that is expected, in two words."""
    if not seat.entry_tilt_deg:
        return "level"
    if seat.method == "snap in":
        return f"tip {seat.entry_tilt_deg:.0f}°+"
    return "press in" if seat.method == "push in" else "open more"


def _depth(seat: "SeatAnswer") -> list[Content]:
    """How far the bur's widest part goes down, and the trial table that means deep enough."""
    if seat.bur_sunk_mm is None:
        return [_size("sink bur", "", "nowhere level")]
    rows = [_size("sink bur", f"{seat.bur_sunk_mm:.2f}", "its wide part")]
    if seat.trial_stone_mm is not None and seat.trial_high_mm is not None:
        trial = f"trial {seat.trial_stone_mm:.2f}"
        rows.append(_size(trial, f"{seat.trial_high_mm:+.2f}", "table: enough"))
    return rows


def _whose(sizes: "SetUpSheet") -> str:
    if sizes.hand.from_attempts:
        return "your hand"
    return "by your class" if sizes.hand.from_class else "by custom"


def _slowest(sizes: "SetUpSheet") -> list[Content]:
    """The lowest of the three limits: a tool that turns no faster keeps all of them."""
    limits = (sizes.pilot_drill, sizes.opening_bur, sizes.seat_bur)
    names = ("drill", "opening", "seat bur")
    known = [
        (tool.not_above_rpm, name)
        for name, tool in zip(names, limits, strict=True)
        if tool.not_above_rpm is not None
    ]
    if not known:
        return []
    lowest, name = min(known)
    return [_size("not above", f"{lowest // 100 * 100:.0f}", f"rpm, {name}")]


def _instead(carried: str | None) -> list[Content]:
    """The size that the set-up carried over has instead, where it is another one."""
    if carried is None:
        return []
    row = Content.assemble((fit("! set-up has", NAME), "bold $text-warning"), f"{carried:>9} ")
    return [Content.assemble(row, "carried over")]


def _tool(name: str, tool: "ToolChoice") -> Content:
    place = "to buy" if tool.from_ == "to buy" else tool.tool
    return _size(name, f"{tool.choose_mm:.2f}", place)


def _size(name: str, size: str, remark: str) -> Content:
    return Content.assemble((fit(name, NAME), "$muted"), (f"{size:>9} ", "bold"), line(remark))


def _practised(view: "NowView") -> str:
    if view.evening:
        return f"{count_of(view.attempts, 'attempt')}. {view.evening}"
    days = ""
    if view.days_since is not None:
        days = {0: ", last today", 1: ", last yesterday"}.get(
            view.days_since, f", last {view.days_since} days ago"
        )
    return f"{count_of(view.attempts, 'attempt')}{days}"


HOLE = 5
"""Cells of one position besides its number."""
FREE = " "
GOOD, GOOD_HOLE = "+", "●"


class PlateGrid(Widget):
    """Positions in rows, as on the plate: round holes, each filled by how its setting came out.

    A good one is full, a failed one holds the letter of its defect, and a free one is empty.

    `marks` are signs to stand behind positions, such as the ones drawn at random.
    """

    DEFAULT_CSS = "PlateGrid { height: auto; }"

    plate: reactive["PlateView | None"] = reactive(None, layout=True)
    marks: reactive["Mapping[str, str]"] = reactive({})

    @property
    def across(self) -> int:
        """How many positions stand in a row."""
        fits = max(self.size.width // (self._number_width + HOLE), 1)
        wanted = self.plate.across if self.plate is not None else None
        return min(wanted or fits, fits)

    @property
    def _number_width(self) -> int:
        """Positions are numbers of two digits, as a rule; longer ones are cut at three."""
        cells = self.plate.cells if self.plate is not None else ()
        return min(3, max((2, *(len(cell.position) for cell in cells))))

    def render(self) -> Content:
        """The plate's name over its positions."""
        if self.plate is None:
            return txt("")
        name = txt(f"Plate {line(self.plate.name)}" if self.plate.name else "Plate", "bold")
        across, cells = self.across, self.plate.cells
        rows = [cells[i : i + across] for i in range(0, len(cells), across)]
        return Content("\n").join([name, *(self._row(row) for row in rows)])

    def _row(self, cells: "Sequence[PlateCell]") -> Content:
        return Content("").join(self._cell(cell) for cell in cells)

    def _cell(self, cell: "PlateCell") -> Content:
        assert self.plate is not None
        upcoming = cell.position == self.plate.next_position
        number, behind = (
            fit(cell.position, self._number_width),
            fit(self.marks.get(cell.position, ""), 1),
        )
        within = GOOD_HOLE if cell.sign == GOOD else fit(cell.sign or FREE, 1)
        if upcoming:
            return Content.assemble(
                ("▸", "$accent"), (number, "bold"), (f"({within})", "bold reverse"), behind
            )
        style = {"": "$muted", "good": "$text-success"}.get(cell.result, "bold $text-warning")
        return Content.assemble(" ", (number, "$muted"), (f"({within})", style), behind)
