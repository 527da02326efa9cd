"""Under the finding in focus: those that follow it, each with its picture, where there is room.

A usual window has none; a high one fills what would be empty, a wide one with two side by side.
Where a few lines are left, too few for a picture, the sentences stand alone.
"""

from collections.abc import Iterator
from itertools import islice

from textual.app import ComposeResult
from textual.containers import Grid, Vertical
from textual.content import Content

from platebook.tui.parts.plot import Chart, Plot
from platebook.tui.parts.text import held_together, stack, txt
from platebook.tui.parts.widgets import Words
from platebook.values import Value

MOST = 6
CARD_LINES = 13
"""What one takes of the height: its sentence in up to three lines, its picture, a blank."""
COLUMN_CELLS = 68
AROUND = 2
"""The heading, and the blank above it."""


class Entry(Value):
    """A finding that is not in focus: its sentence with its sign, and its picture.

    `over` is the sentence over the picture, which has the counts.
    """

    sentence: Content
    over: Content
    chart: Chart | None


class _Card(Vertical):
    """Sentence over picture."""

    DEFAULT_CSS = """
    _Card { height: 13; }
    _Card > Words { height: auto; max-height: 3; }
    _Card > Plot { height: 1fr; }
    """

    def compose(self) -> ComposeResult:
        """Empty until it is told what to show."""
        yield Words()
        yield Plot()

    def show(self, entry: Entry | None) -> None:
        """Show this one, or take no room."""
        self.display = entry is not None
        if entry is not None:
            self.query_one(Words).show(entry.sentence if entry.chart is None else entry.over)
            self.query_one(Plot).chart = entry.chart


class Further(Vertical):
    """The entries that follow, as many as fit; it cannot be focused."""

    DEFAULT_CSS = """
    Further { height: auto; margin: 1 0 0 0; }
    Further > Words { height: auto; color: $muted; }
    Further > #sentences { color: $foreground; }
    Further > Grid { height: auto; grid-size: 1; grid-rows: 13; grid-gutter: 0 2; }
    Further.-double > Grid { grid-size: 2; }
    """

    can_focus = False

    def compose(self) -> ComposeResult:
        """A heading and the cards."""
        yield Words(txt("next in the list"))
        yield Words(id="sentences")
        with Grid():
            for _ in range(MOST):
                yield _Card()

    def show(self, entries: Iterator[Entry], *, lines: int, cells: int) -> int:
        """Show as many of these as fit into so many lines and cells; how many do."""
        columns = 2 if cells >= 2 * COLUMN_CELLS else 1
        self.set_class(columns == 2, "-double")
        room = max((lines - 2) // CARD_LINES, 0) * columns
        shown = list(islice(entries, min(room, MOST)))
        said = [] if shown else _fitting(entries, lines - AROUND, cells)
        self.query_one("#sentences", Words).say(stack(*said))
        self.display = bool(shown or said)
        for place, card in enumerate(self.query(_Card)):
            card.show(shown[place] if place < len(shown) else None)
        return len(shown)


def _fitting(entries: Iterator[Entry], lines: int, cells: int) -> list[Content]:
    """The sentences that fit whole into so many lines, in their order."""
    said: list[Content] = []
    for entry in entries:
        lines -= len(held_together(entry.sentence, cells).wrap(cells))
        if lines < 0:
            break
        said.append(entry.sentence)
    return said
