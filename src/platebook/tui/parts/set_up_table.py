"""The set-up as a table at the bench: tool, size, where it is, how far to cut.

| part | what it is |
|---|---|
| `set_up_for` | the rows for what comes next, the same on Now, in an attempt and on a plate |
| `SetUpTable` | all of them, as long as they are |
| `SetUpWhereRoom` | as many as fit whole into the room that is left |
| `left_out`, `lines_of_one` | the last rows where a small window leaves them out, as single lines |
"""

import itertools
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from platebook.reports.text.figures import folded
from platebook.tui.parts.text import line, stack
from platebook.tui.parts.widgets import Words

if TYPE_CHECKING:
    from platebook.reports.text.set_up_rows import SetUpRow
    from platebook.services.now.now_view import NowView

NAME, SIZE = 11, 5
NARROW = 35
"""Cells of the table on the smallest screen, where its own width is not known yet."""
ROOMY = 50
"""From so many cells on a row tells all that belongs to it."""
TALL = 30
"""From so many lines of the window on every row is shown (judgement)."""


class SetUpTable(Words):
    """The table in the width that it has; nothing in it is cut off."""

    def __init__(self, *, id: str = "sizes") -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self._rows: tuple[SetUpRow, ...] = ()

    def on_resize(self) -> None:
        """Fold what is told to the new width."""
        if self._rows:
            self.show(self.told(self._rows))

    def told(self, rows: "Sequence[SetUpRow]") -> Content:
        """These rows as they stand in this width, to be shown; they are kept for another width."""
        self._rows = tuple(rows)
        tall = self.app.size.height >= TALL
        return set_up_table(rows, self.content_size.width or NARROW, every_row=tall)


class SetUpWhereRoom(Widget):
    """The table where its room holds it whole, else its tools, else nothing."""

    DEFAULT_CSS = "SetUpWhereRoom { height: 1fr; }"

    rows: "reactive[tuple[SetUpRow, ...]]" = reactive(())

    def render(self) -> Content:
        """What fits."""
        width, height = self.content_size
        tools = tuple(itertools.takewhile(lambda row: not row.target, self.rows))
        for rows in (self.rows, tools):
            table = set_up_table(rows, width, every_row=False)
            if width and len(table.plain.splitlines()) <= height:
                return table
        return Content("")


def set_up_for(
    view: "NowView", set_up_has: "Mapping[str, str] | None" = None
) -> "tuple[SetUpRow, ...]":
    """The rows for what comes next; none where no sizes are known for it.

    `set_up_has` are sizes by field that the set-up has in place of those said here; without them it
    has what was carried over.
    """
    if view.sizes is None:
        return ()
    from platebook.practice.fields import steps_done
    from platebook.reports.text.set_up_rows import set_up_rows

    part = view.advice.part
    does = steps_done("part", part) if part else None
    carried = {d.field: d.carried for d in view.differs}
    return set_up_rows(view.sizes, does, carried if set_up_has is None else set_up_has)


def set_up_table(
    rows: "Sequence[SetUpRow]", width: int = NARROW, *, every_row: bool = True
) -> Content:
    """The rows in so many cells, words folded beside their size."""
    shown = (row for row in rows if every_row or row.always)
    return stack(*(part for row in shown for part in _lines(row, width)))


def left_out(rows: "Sequence[SetUpRow]", height: int) -> "tuple[SetUpRow, ...]":
    """The rows at the end of the table that a window of this height leaves out."""
    if height >= TALL:
        return ()
    return tuple(itertools.takewhile(lambda row: not row.always, reversed(rows)))[::-1]


def lines_of_one(rows: "Sequence[SetUpRow]", width: int) -> list[Content]:
    """Each row that takes one line in this width."""
    lines = (_lines(row, width) for row in rows)
    return [line_of_it for (line_of_it, *more) in lines if not more]


def _lines(row: "SetUpRow", width: int) -> list[Content]:
    words = line(row.whole if width >= ROOMY else row.said)
    room = max(width - NAME - SIZE - 1, 8)
    first, *more = folded(words, room) or [""]
    name = "bold $text-warning" if row.warns else "$muted"
    size, said = ("$muted", "$muted") if row.head else ("bold", "")
    head = Content.assemble(
        (f"{line(row.name):<{NAME}}", name), (f"{line(row.size):>{SIZE}} ", size), (first, said)
    )
    return [head, *(Content(f"{'':{NAME + SIZE + 1}}{text}") for text in more)]
