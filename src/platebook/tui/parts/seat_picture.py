"""The seat drawn to scale, with a line in numbers.

Where the terminal has colours enough, sheet and stone are filled, each cell with the block sign
that fits its edges; elsewhere the sheet is hatched as cut metal and the stone is an outline of
braille dots, which say the same without colour.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from textual.app import App
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.tui.parts.set_up_table import lines_of_one
from platebook.tui.parts.text import stack, txt

if TYPE_CHECKING:
    from platebook.reports.drawings.cells import Window
    from platebook.reports.text.set_up_rows import SetUpRow
    from platebook.trade.geometry.section import Across, Section
    from platebook.trade.setup_sheet import SetUpSheet


STYLES = {"metal": "$metal", "stone": "$stone"}
FILLS = {"": "$background", **STYLES}
RICH = {"256", "truecolor"}
LEAST_WIDTH = 16
LEAST_HEIGHT = 6
TALL = 17
INSET_ROWS = 6


class SeatPicture(Widget):
    """The section of sheet, seat and stone for the set-up sheet shown."""

    DEFAULT_CSS = "SeatPicture { height: 1fr; }"

    sizes: reactive["SetUpSheet | None"] = reactive(None)
    further: "reactive[tuple[SetUpRow, ...]]" = reactive(())
    """Rows that a small table of the set-up leaves out: told where the picture has no room."""
    cut: reactive["Across"] = reactive("across")

    def __init__(self) -> None:
        super().__init__()
        self._drawn_for: tuple[object, ...] = ()
        self._drawn = Content("")

    def render(self) -> Content:
        """The drawing with its line of text, or one of the two where there is no room for both."""
        width, height = self.content_size
        if self.sizes is None or width == 0:
            return Content("")
        filled = rich_in_colour(self.app)
        wanted = (self.sizes, width, height, filled, self.cut, self.further)
        if wanted != self._drawn_for:
            self._drawn = draw_seat(
                self.sizes,
                width,
                height,
                filled=filled,
                cut=self.cut,
                further=lines_of_one(self.further, width),
            )
            self._drawn_for = wanted
        return self._drawn


def rich_in_colour(app: App[Any]) -> bool:
    """Whether fills can be told apart here: more than 16 colours, and colour not switched off."""
    return app.console.color_system in RICH and not app.no_color


def draw_seat(
    sizes: "SetUpSheet",
    width: int,
    height: int,
    *,
    filled: bool = False,
    cut: "Across" = "across",
    further: Sequence[Content] = (),
) -> Content:
    """The section and its line in exactly this room; `filled` in colours, or in fine lines.

    Of curved metal the section along it and the one across, one over the other; where there is room
    for one alone the `cut` that is wanted, with the key that shows the other. Where there is room
    for none of them, what it has is left to `further` lines.
    """
    from platebook.reports.drawings.section_marks import gaps_of
    from platebook.reports.drawings.section_text import around
    from platebook.trade.geometry.section import section_of

    if sizes.curve is not None:
        return _draw_curved(sizes, (width, height), filled=filled, cut=cut, further=further)
    section = section_of(sizes)
    sentence = txt(section.line, "$muted")
    rows = height - len(sentence.wrap(width))
    draw = paint if filled else draw_fine
    if width < LEAST_WIDTH or rows < LEAST_HEIGHT - 1:
        # The picture says at a glance what the line says in numbers.
        if width >= LEAST_WIDTH and height >= LEAST_HEIGHT - 1:
            return draw(section, width, height)
        return _in_words(sentence, further, (width, height))
    gap = next(iter(gaps_of(section)), None)
    if gap is None or rows < TALL:
        return stack(draw(section, width, rows), sentence)
    # What is too small to be seen in the picture is drawn once more below it, magnified.
    small = min(width, 3 * INSET_ROWS)
    inset = draw(section, small, INSET_ROWS, around(gap))
    above = draw(section, width, rows - INSET_ROWS - 2)
    return stack(above, sentence, txt(""), inset, txt(gap.sentence, "$muted"))


def _draw_curved(
    sizes: "SetUpSheet",
    room: tuple[int, int],
    *,
    filled: bool,
    cut: "Across",
    further: Sequence[Content],
) -> Content:
    """Both sections of curved metal over each other, or one with the key to the other."""
    from platebook.trade.geometry.section import section_of

    assert sizes.curve is not None
    (width, height), kind = room, sizes.curve.kind
    draw = paint if filled else draw_fine
    across = section_of(sizes, cut="across")
    sentence = txt(across.line, "$muted")
    rows = height - len(sentence.wrap(width))
    each = (rows - 2) // 2
    if width >= LEAST_WIDTH and each >= LEAST_HEIGHT:
        along = section_of(sizes, cut="along")
        first = (txt(f"along the {kind}", "$muted"), draw(along, width, each))
        second = (txt(f"across the {kind}", "$muted"), draw(across, width, rows - 2 - each))
        return stack(*first, *second, sentence)
    other = "across" if cut == "along" else "along"
    caption = txt(f"{cut} the {kind}; a cuts {other} it", "$muted")
    if width >= LEAST_WIDTH and height >= LEAST_HEIGHT:
        return stack(draw(section_of(sizes, cut=cut), width, height - 1), caption)
    return _in_words(sentence, further, room)


def _in_words(sentence: Content, further: Sequence[Content], room: tuple[int, int]) -> Content:
    """The sentence where all of it fits: half of it would mislead, and the table has the sizes.

    Above it as many further lines as leave one free, which parts them from what stands below.
    """
    width, height = room
    takes = len(sentence.wrap(width))
    said, free = ((sentence,), height - takes) if takes <= height else ((), height)
    return stack(*further[: max(free - 1, 0)], *said)


def paint(section: "Section", columns: int, rows: int, view: "Window | None" = None) -> Content:
    """The section in this many cells, filled; all of it or what is in view."""
    from platebook.reports.drawings.cells import section_blocks
    from platebook.reports.drawings.section_names import named_blocks

    cells = (
        named_blocks(section, columns, rows)
        if view is None
        else section_blocks(section, columns, rows, view)
    )
    return Content("\n").join(
        Content.assemble(*((sign, f"{FILLS[front]} on {FILLS[back]}") for sign, front, back in row))
        for row in cells
    )


def draw_fine(section: "Section", columns: int, rows: int, view: "Window | None" = None) -> Content:
    """The section in this many cells, in fine lines; all of it or what is in view."""
    from platebook.reports.drawings.section_text import named_cells, section_sketch

    if view is None:
        cells = named_cells(section, columns, rows, STYLES)
    else:
        cells = section_sketch(section, columns, rows, STYLES, view).cells()
    return Content("\n").join(
        Content.assemble(*((sign, style) for sign, style in row)) for row in cells
    )
