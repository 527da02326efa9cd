"""The attempts as a table that holds only what was read so far, and asks for more near its end.

Rows come newest first in pages; a row is drawn when it is on the screen, so a million attempts open
like a thousand.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from platebook.reports.text.figures import OUTCOMES
from platebook.tui.log.words import verdict_of
from platebook.tui.parts.text import MARK, fit, in_initials, line

if TYPE_CHECKING:
    from platebook.services.attempts.log import LogRow


NEAR_THE_END = 50
TICK = "*"
"""Stands before a row that is ticked."""
LOOK_SIGNS = {"": " ", "read": "◇", "new": "◆"}
"""Stands before a row that somebody else looked at, by whether its setter has read it."""

NARROW = (
    ("when", "began_text", 16),
    ("grade", "grade_title", 18),
    ("stone", "stone_text", 5),
    ("bur", "bur_text", 5),
    ("", "outcome", 1),
    ("result", "verdict", 40),
)
"""Heading, what of a row stands there, and how wide it is at most; it is as wide as it needs."""
NORM, WIDE_FROM = 70, 110
"""From so many columns stone and bur have room, and the exercise."""
WIDE_MORE = ("exercise", "exercise_title", 26)
WHO = ("setter", "setter", 12)
LEAST_RESULT = 19
"""Such as "loose, setting lost": a longer one is shortened first, the row marked has it whole."""
GIVE_WAY = SIZES = ("stone_text", "bur_text")
"""What the row marked says beside the list, given up first; a grade says a stone's size by name."""
NOTED = "yes"
"""Stands for a note that is longer than its column: the row marked shows it in full."""
BESIDE_OWN = ("began_text", "outcome", "verdict")
"""The columns that stay where columns of one's own are shown in a narrow window."""
OWN_WIDTH = 12
SIGNS = 4
"""Cells before a row: the mark, a tick, who looked, a blank."""
NOTE = "note"


class LogTable(ScrollView, can_focus=True, inherit_bindings=False):
    """A fixed head, rows under it, and one row marked."""

    DEFAULT_CSS = """
    LogTable {
        width: 1fr; height: 1fr;
        overflow-x: hidden;
        scrollbar-size-vertical: 1;
        & .log-table--head { background: $panel; color: $accent; text-style: bold; }
        & .log-table--marked { background: $panel; text-style: bold; }
        & .log-table--good { color: $good; }
        & .log-table--slight { color: $slight; }
        & .log-table--failed { color: $failed; text-style: bold; }
        & .log-table--quiet { color: $muted; }
    }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "log-table--head",
        "log-table--marked",
        *(f"log-table--{name}" for name in ("good", "slight", "failed", "quiet")),
    }

    marked: reactive[int] = reactive(0)

    class NearEnd(Message):
        """The mark has come near the last row read."""

    class Moved(Message):
        """Another row is marked."""

    class Opened(Message):
        """A row was double-clicked."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self.rows: tuple[LogRow, ...] = ()
        self.ticked: dict[str, None] = {}
        self.with_setter = False
        self.with_own = False
        self._columns: list[tuple[str, str, int]] = []
        self._setters: tuple[str, ...] = ()

    @property
    def own_names(self) -> tuple[str, ...]:
        """The columns of one's own among the rows, as many as there is room for."""
        names = dict.fromkeys(name for row in self.rows for name in row.own)
        taken = sum(size + 1 for _, _, size in self._columns)
        return tuple(names)[: max(1, (self.size.width - 2 - taken) // (OWN_WIDTH + 1))]

    @property
    def marked_row(self) -> "LogRow | None":
        """The row marked, or None in an empty table."""
        return self.rows[self.marked] if self.rows else None

    def tick(self) -> None:
        """Tick the row marked, or take its tick away, and go down one."""
        row = self.marked_row
        if row is None:
            return
        if row.attempt_id in self.ticked:
            del self.ticked[row.attempt_id]
        else:
            self.ticked[row.attempt_id] = None
        self.move(1)
        self.refresh()

    def untick(self) -> None:
        """Take all ticks away."""
        self.ticked.clear()
        self.refresh()

    def show(self, rows: "tuple[LogRow, ...]", *, with_setter: bool, keep: bool) -> None:
        """Show these rows; `keep` leaves the mark where it is."""
        self.rows = rows
        self.with_setter = with_setter
        self._setters = tuple(dict.fromkeys(row.setter for row in rows))
        self._measure()
        self.virtual_size = Size(1, len(rows) + 1)
        self.marked = min(self.marked, max(len(rows) - 1, 0)) if keep else 0
        if not keep:
            self.scroll_to(y=0, animate=False, force=True)
        self.refresh()

    def move(self, by: int) -> None:
        """Mark the row this many further down."""
        self.marked = min(max(self.marked + by, 0), max(len(self.rows) - 1, 0))
        if self.marked >= len(self.rows) - NEAR_THE_END:
            self.post_message(self.NearEnd())

    def page(self, by: int) -> None:
        """Move the mark by screenfuls."""
        self.move(by * max(self.size.height - 2, 1))

    def watch_marked(self) -> None:
        """Keep the marked row in sight."""
        room = self.size.height - 2
        if self.marked < self.scroll_offset.y:
            self.scroll_to(y=self.marked, animate=False, force=True)
        elif self.marked > self.scroll_offset.y + room:
            self.scroll_to(y=self.marked - room, animate=False, force=True)
        self.refresh()
        self.post_message(self.Moved())

    def on_click(self, event: events.Click) -> None:
        """Mark the row under the pointer; a second click opens it."""
        row = self.scroll_offset.y + event.y - 1
        if event.y >= 1 and row < len(self.rows):
            self.marked = row
            if event.chain > 1:
                self.post_message(self.Opened())

    def render_line(self, y: int) -> Strip:
        """The head, or the row at this line of the window."""
        width = self.size.width
        if y == 0:
            cells = [(name, size) for name, _, size in self._columns]
            cells += [(name, OWN_WIDTH) for name in self._own_columns()]
            head = self.get_component_rich_style("log-table--head")
            return self._strip([*cells, (NOTE, 4)], head, width, signs=" " * SIGNS)
        place = self.scroll_offset.y + y - 1
        if place >= len(self.rows):
            return Strip.blank(width, self.rich_style)
        row = self.rows[place]
        cells = [(_text(row, name, size, self._setters), size) for _, name, size in self._columns]
        cells += [(row.own.get(name, ""), OWN_WIDTH) for name in self._own_columns()]
        signs = MARK if place == self.marked else " "
        signs += TICK if row.attempt_id in self.ticked else " "
        signs += f"{LOOK_SIGNS[row.looked]} "
        return self._row_strip(row, cells, width, signs=signs, marked=place == self.marked)

    def turn_own(self) -> bool:
        """Show the columns of one's own, or no longer; without any the others stay, and False."""
        there = any(row.own for row in self.rows)
        self.with_own = there and not self.with_own
        self._measure()
        self.refresh()
        return there

    def _own_columns(self) -> tuple[str, ...]:
        return self.own_names if self.with_own else ()

    def on_resize(self) -> None:
        """There is room for more columns, or for fewer."""
        self._measure()
        self.refresh()

    def _measure(self) -> None:
        """The columns that are shown, each as wide as its heading and what stands in it.

        A long result is shortened first; beside a row told in full the sizes go next.
        """
        columns = []
        for heading, name, most in self._record_columns():
            texts = (_text(row, name, most, self._setters) for row in self.rows)
            longest = max(map(cell_len, texts), default=most)
            columns.append((heading, name, min(max(longest, cell_len(heading), 1), most)))
        if self.rows and self.size.width < self.screen.size.width:
            for giving in GIVE_WAY:
                *others, (_, _, size) = columns
                if self._over(others) + min(size, LEAST_RESULT) + 1 > 0:
                    columns = [column for column in columns if column[1] != giving]
        if (over := self._over(columns)) > 0:
            heading, name, size = columns[-1]
            columns[-1] = (heading, name, max(size - over, LEAST_RESULT))
        self._columns = columns

    def _over(self, columns: list[tuple[str, str, int]]) -> int:
        """How many cells these columns need beyond those there are."""
        return sum(size + 1 for _, _, size in columns) + SIGNS + len(NOTE) + 1 - self.size.width

    def _record_columns(self) -> list[tuple[str, str, int]]:
        columns = list(NARROW)
        if self.with_own and self.size.width < WIDE_FROM:
            columns = [c for c in columns if c[1] in BESIDE_OWN]
        if self.size.width >= WIDE_FROM:
            columns.insert(2, WIDE_MORE)
        elif self.with_setter or self.size.width < NORM:
            columns = [c for c in columns if c[1] not in SIZES]
        return [WHO, *columns] if self.with_setter else columns

    def _row_strip(
        self, row: "LogRow", cells: list[tuple[str, int]], width: int, *, signs: str, marked: bool
    ) -> Strip:
        """The row with its outcome in sign and colour, and the rest quieter."""
        at = [name for _, name, _ in self._columns].index("outcome")
        look = "marked" if marked else ""
        quiet = self._style(look or "quiet")
        outcome = self._style(row.outcome or "quiet")
        if marked:
            outcome = quiet + Style(color=outcome.color, bold=True)
        before = signs + "".join(f"{fit(text, size)} " for text, size in cells[:at])
        result = "".join(f"{fit(text, size)} " for text, size in cells[at : at + 2])
        after = "".join(f"{fit(text, size)} " for text, size in cells[at + 2 :])
        room = max(width - len(before) - len(result) - len(after), 0)
        after += fit(_note(row.note, room), room)
        segments = [Segment(before, quiet), Segment(result, outcome), Segment(after, quiet)]
        return Strip(segments).adjust_cell_length(width, quiet)

    def _style(self, name: str) -> Style:
        return self.rich_style + self.get_component_rich_style(f"log-table--{name}")

    def _strip(
        self, cells: list[tuple[str, int]], style: Style, width: int, *, signs: str
    ) -> Strip:
        *sized, (note, _) = cells
        text = signs + "".join(f"{fit(text, size)} " for text, size in sized)
        # A heading that would be cut is left out; its column says by a word that there is a note.
        text += note if len(text) + len(note) <= width else ""
        return Strip([Segment(text, style)]).adjust_cell_length(width, style)


def _text(row: "LogRow", name: str, room: int, setters: Sequence[str]) -> str:
    """What stands in a column; `setters` are all names there are, so that no two read alike."""
    if name == "outcome":
        return OUTCOMES[row.outcome].drawn
    if name in SIZES:
        return _hundredths(getattr(row, name))
    if name == "grade_title" and not row.grade_title:
        return row.exercise_title
    if name == WHO[1]:
        return in_initials(row.setter, room, setters)
    return verdict_of(row, room) if name == "verdict" else str(getattr(row, name))


def _hundredths(size: str) -> str:
    """A size to the hundredth, or as much finer as it was read: decimals stand in a column."""
    whole, _, part = size.partition(".")
    return f"{whole}.{part:0<2}" if size else ""


def _note(note: str, room: int) -> str:
    """The note where it fits, else that there is one."""
    cleaned = line(note)
    return cleaned if cell_len(cleaned) <= room else NOTED
