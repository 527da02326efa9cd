"""The page of a plate: what is asked in the headline, the grid, and how the answers look.

Beside the grid stands the drawing of what is answered at the position in focus, in a wide window
over the set-up and with the drawings of all answers under the grid, in a broad one beside the seat
in section too.
"""

from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from platebook.practice.reading.questions import Question
from platebook.tui.entry.entry import RESULT, SEVERITY
from platebook.tui.entry.head import Reading, large
from platebook.tui.entry.page import BROAD, NARROW, WIDE
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.seat_picture import SeatPicture
from platebook.tui.parts.set_up_table import SetUpTable, set_up_for
from platebook.tui.parts.term_picture import DrawnWord, TermGallery, TermPicture
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import Words
from platebook.tui.plate.sheet import PlateSheet
from platebook.tui.plate.words import asked, cell_at, grid, narrowest, wanted
from platebook.values import replace

if TYPE_CHECKING:
    from platebook.services.now.now_view import NowView


PANEL = 28
"""Columns of the drawing beside the grid in a usual window."""


class PlateRows(Widget):
    """The grid in the room that it has, the row of the moment always in it."""

    DEFAULT_CSS = "PlateRows { height: auto; max-height: 100%; padding: 0 1; }"

    sheet: reactive[PlateSheet | None] = reactive(None, layout=True)

    class Pointed(Message):
        """A cell was clicked."""

        def __init__(self, row: int, column: int) -> None:
            super().__init__()
            self.row, self.column = row, column

    def render(self) -> Content:
        """As many rows as there is room for."""
        width, height = self.content_size
        return grid(self.sheet, width, height) if self.sheet is not None else Content("")

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """The head and a line a position."""
        del container, viewport
        rows = len(self.sheet.positions) if self.sheet is not None else 0
        return len(grid(self.sheet, width, rows + 2).plain.splitlines()) if self.sheet else 0

    def on_click(self, event: events.Click) -> None:
        """Say which cell lies under the pointer."""
        width, height = self.content_size
        at = event.get_content_offset(self)
        if self.sheet is None or at is None:
            return
        cell = cell_at(self.sheet, (width, height), (at.x, at.y))
        if cell is not None:
            self.post_message(self.Pointed(*cell))


class PlatePage(Vertical):
    """Shows a sheet; it takes no keys."""

    DEFAULT_CSS = """
    PlatePage {
        height: 1fr;
        Headline #caption { max-width: 31; content-align-vertical: top; }
        #answers { height: auto; min-height: 2; padding: 0 1; background: $surface; }
        #grid { width: 1fr; height: 1fr; }
        TermGallery { padding: 1 1 0 1; display: none; }
        #panel { width: 28; height: 1fr; padding: 0 1; border-left: solid $rule; }
        #sizes { height: auto; display: none; }
        #bench { display: none; width: 62; height: 1fr; padding: 0 1; border-left: solid $rule; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
        &.-wide #panel { width: 45; }
        &.-wide #sizes, &.-wide TermGallery { display: block; }
        &.-broad #sizes { display: none; }
        &.-broad #bench { display: block; }
    }
    """

    def __init__(self, view: "NowView | None" = None) -> None:
        super().__init__()
        self.view = view

    def compose(self) -> ComposeResult:
        """What is asked and its answers, the grid, the drawings, and what has to be said."""
        yield Headline()
        yield Words(id="answers")
        with Horizontal():
            with Vertical(id="grid"):
                yield PlateRows()
                yield TermGallery()
            with Vertical(id="panel"):
                yield TermPicture()
                yield SetUpTable()
            with Vertical(id="bench"):
                yield SetUpTable(id="bench-sizes")
                yield SeatPicture()
        yield Words(id="told")

    def on_mount(self) -> None:
        """The set-up is that of what Now shows, and stays so."""
        rows = set_up_for(self.view) if self.view is not None else ()
        for table in self.query(SetUpTable):
            table.show(table.told(rows))
        self.query_one(SeatPicture).sizes = self.view.sizes if self.view is not None else None

    def show(self, sheet: PlateSheet, answers: Content, noted: tuple[int, Question] | None) -> None:
        """Show the cell of the moment among the others."""
        width = self.app.size.width
        self.set_class(width >= WIDE, "-wide")
        self.set_class(width >= BROAD, "-broad")
        drawn_at_all = any(DrawnWord.those_drawn(q.field, q.keys) for q in sheet.columns)
        room = width - PANEL - 2 >= narrowest(sheet)
        self.query_one("#panel").display = room and (drawn_at_all or width >= WIDE)
        self.query_one(Headline).show(plate_head(sheet, noted, narrow=width < NARROW))
        self.query_one("#answers", Words).show(answers)
        self.query_one(PlateRows).sheet = sheet
        self.query_one(TermPicture).show(looked_at(sheet), "")
        drawn = drawn_answers(sheet)
        self.query_one(TermGallery).show(drawn if len(drawn) > 1 else (), "")

    def tell(self, sentence: str) -> None:
        """Say this under the grid, or nothing."""
        self.query_one("#told", Words).say(txt(sentence))


def plate_head(
    sheet: PlateSheet, noted: tuple[int, Question] | None, *, narrow: bool = False
) -> Head:
    """What the cell asks and what is wanted, where one is, and the reading beside it.

    While the cell is empty the one just noted is shown, with its position; a narrow window has room
    for a size that is typed only.
    """
    question = sheet.question()
    answer = sheet.typed or sheet.value(sheet.row, question.field)
    just_noted = None
    if noted is not None and (value := sheet.value(noted[0], noted[1].field)):
        label = f"{noted[1].label} at {sheet.positions[noted[0]]}"
        # What is wanted of the same column stands beside it already.
        target = "" if noted[1].field == question.field else noted[1].target
        just_noted = (replace(noted[1], label=label, target=target), value)
    waits = not answer and just_noted is not None
    reading = large(None if waits else question, answer, just_noted)
    if narrow and not (sheet.typed and not question.keys):
        reading = Reading()
    judged = f"{len(sheet.judged())} of {len(sheet.positions)} judged"
    exercise = "" if narrow else sheet.where
    where = " · ".join(filter(None, (exercise, f"plate {sheet.plate}", judged)))
    far = (*((txt(wanted(sheet)),) if wanted(sheet) else ()), txt(where, "$muted"))
    return Head(txt(asked(sheet)), stack(*far), number=reading.number, caption=reading.beside)


def drawn_answers(sheet: PlateSheet) -> tuple[DrawnWord, ...]:
    """The answers of the cell that have a drawing; a part's result has none."""
    question = sheet.question()
    if question.field == SEVERITY:
        defect = sheet.value(sheet.row, RESULT)
        return DrawnWord.those_drawn(RESULT, (("", defect),))
    part = question.field == RESULT and sheet.base.get("kind") == "part"
    return () if part else DrawnWord.those_drawn(question.field, question.keys)


def looked_at(sheet: PlateSheet) -> DrawnWord | None:
    """The answer drawn large: the one at the position in focus, else the one wanted."""
    question, drawn = sheet.question(), drawn_answers(sheet)
    if question.field == SEVERITY:
        return drawn[0] if drawn else None
    stands = sheet.value(sheet.row, question.field)
    likely = (stands,) if stands else question.wanted
    return next((word for value in likely for word in drawn if word.value == value), None)
