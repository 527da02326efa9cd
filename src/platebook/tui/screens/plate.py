"""Plate: the whole plate as a grid, one operation down the positions, one key a reading.

The screen itself takes the keys, in the order they came, and no part of it can have the focus.
"""

from collections.abc import Mapping
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message

from platebook.tui.commands import command_for
from platebook.tui.entry import RESULT
from platebook.tui.frame import BenchScreen
from platebook.tui.plate_sheet import (
    PlateSheet,
    from_draft,
    go_on,
    left_over,
    move,
    press,
    rows_of,
    rub_out,
    sheet_for,
    to_draft,
)
from platebook.tui.text import MARK, fitted, line, stacked, txt
from platebook.tui.widgets.words import Words

if TYPE_CHECKING:
    from platebook.services.now import NowView
    from platebook.services.recording import Recorded
    from platebook.tui.services import Services

POSITION, CELL = 6, 14
AROUND = 8
"""Lines that the head, the question and the sentences take."""

RESTORED = "This plate was not saved; it is as you left it."
NOTHING = "Nothing is judged yet: the result column comes last."
FULL = "This plate has no free position: lay out another, or name one in the set-up."


class PlateScreen(BenchScreen[Mapping[str, object] | None]):
    """Fills in a plate; dismissed with the draft left unfinished, or None."""

    PLACE: ClassVar[str] = "plate"
    TITLE_TEXT: ClassVar[str] = "Plate"
    DEFAULT_CSS = """
    PlateScreen {
        #grid { height: 1fr; padding: 0 1; }
        #question { height: auto; padding: 0 1; background: $surface; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    class Saved(Message):
        """The logbook has taken the judged positions, or says what is wrong with one."""

        def __init__(self, recorded: "Recorded") -> None:
            super().__init__()
            self.recorded = recorded

    def __init__(self, services: "Services", sheet: PlateSheet, *, told: str = "") -> None:
        super().__init__(services)
        self.sheet = sheet
        self.told = told
        self.busy = False
        self.live = not told

    @classmethod
    def at(
        cls, services: "Services", view: "NowView", draft: Mapping[str, object] | None
    ) -> "PlateScreen | None":
        """The plate on Now, or the draft; None where the plate has no free position."""
        unfinished = from_draft(draft) if draft is not None else None
        if unfinished is not None:
            return cls(services, unfinished, told=RESTORED)
        count = len(view.plate.cells) if view.plate is not None else 0
        ids = tuple(services.new_id() for _ in range(count))
        sheet = sheet_for(view, ids=ids, began=services.clock().isoformat(timespec="seconds"))
        return None if sheet is None else cls(services, sheet)

    def body(self) -> ComposeResult:
        """The grid, the question of the column, and what was done."""
        yield Words(id="grid")
        yield Words(id="question")
        yield Words(id="told")

    def on_mount(self) -> None:
        """Show the first cell."""
        super().on_mount()
        self.show()

    def on_resize(self) -> None:
        """Another window of rows may fit."""
        self.show()

    def tell(self, sentence: str) -> None:
        """Say one sentence."""
        self.busy, self.told = False, sentence
        self.show()

    def keep(self, *, sync: bool = False) -> None:
        """Write the sheet to the draft file, or clear it where nothing was noted."""
        self.write_draft(to_draft(self.sheet) if self.sheet.started() else None, sync=sync)

    async def on_key(self, event: events.Key) -> None:
        """Every key in the order it came; digits go into the cell."""
        command = command_for(self.PLACE, event.key)
        digit = event.character if event.character and event.character.isdigit() else None
        if command is None and digit is None:
            return
        event.stop()
        event.prevent_default()
        if self.busy:
            return
        if digit is not None:
            self._change(press(self.sheet, digit))
        elif command is not None:
            await self.run_action(command.action)

    def action_skip(self) -> None:
        """Leave the cell as it is and go on."""
        self._change(go_on(self.sheet), kept=False)

    def action_rub_out(self) -> None:
        """Empty the cell, or the one before."""
        self._change(rub_out(self.sheet))

    def action_step(self, rows: int, columns: int) -> None:
        """To a cell nearby."""
        self._change(move(self.sheet, rows=rows, columns=columns), kept=False)

    def action_save(self) -> None:
        """Save every judged position, as one change."""
        if not self.sheet.judged():
            self.tell(NOTHING)
            return
        self.busy = True
        rows = rows_of(self.sheet, minutes=self._minutes())
        self.ask(partial(self.services.record_all, rows), self.Saved)

    def action_back(self) -> None:
        """Back to Now; what is noted waits there."""
        self.keep(sync=True)
        self.dismiss(to_draft(self.sheet) if self.sheet.started() else None)

    @on(Saved)
    def show_saved(self, event: Saved) -> None:
        """Leave where all is saved; what is not judged yet stays to be gone on with."""
        recorded = event.recorded
        if not recorded.stored:
            faults = [p for p in recorded.problems if p.level == "problem"]
            self.tell(
                "; ".join(f"{p.field}: read {p.read!r}, expected {p.expected}" for p in faults)
            )
            return
        rest = left_over(self.sheet)
        if rest is None:
            self.write_draft(None)
            self.dismiss(None)
            return
        count = len(recorded.ids)
        self.sheet = rest
        self.live = False
        self.keep(sync=True)
        self.tell(f"{count} saved; these are not judged yet. Esc leaves them for later.")

    def show(self) -> None:
        """Bring all parts up to date."""
        sheet = self.sheet
        self.query_one("#grid", Words).show(stacked(self._head(), *self._rows()))
        question = sheet.columns[sheet.column]
        keys = "  ".join(f"{key} {line(value)}" for key, value in question.keys)
        wanted = f"wanted: {question.target}" if question.target else ""
        where = f"position {sheet.positions[sheet.row]}"
        self.query_one("#question", Words).show(
            stacked(
                Content.assemble(
                    (f"{line(question.label)}, {line(where)}", "bold $accent"), f"  {line(wanted)}"
                ),
                txt(keys),
            )
        )
        judged = f"{len(sheet.judged())} of {len(sheet.positions)} judged on plate {sheet.plate}."
        self.query_one("#told", Words).show(txt(self.told or judged))

    def _change(self, sheet: PlateSheet, *, kept: bool = True) -> None:
        new_column = sheet.column != self.sheet.column
        self.sheet, self.told = sheet, ""
        if kept:
            self.keep(sync=new_column)
        self.show()

    def _minutes(self) -> float | None:
        """How long the plate took; None where it was left and gone on with, or saved in parts."""
        if not self.live:
            return None
        began = datetime.fromisoformat(self.sheet.began)
        return (self.services.clock() - began).total_seconds() / 60

    def _head(self) -> Content:
        parts = [(fitted("", POSITION + 1), "$muted")]
        for place, question in enumerate(self.sheet.columns):
            style = "bold $accent" if place == self.sheet.column else "$muted"
            parts.append((fitted(question.label, self._cell_width() - 1) + " ", style))
        return Content.assemble(*parts)

    def _cell_width(self) -> int:
        room = max(self.size.width - POSITION - 3, 12)
        return max(min(room // len(self.sheet.columns), CELL), 4)

    def _rows(self) -> list[Content]:
        count = len(self.sheet.positions)
        room = max(self.size.height - AROUND, 3)
        first = min(max(self.sheet.row - room // 2, 0), max(count - room, 0))
        return [self._line(row) for row in range(first, min(first + room, count))]

    def _line(self, row: int) -> Content:
        sheet = self.sheet
        mark = MARK if row == sheet.row else " "
        parts: list[Content | str | tuple[str, str]] = [
            (mark, "bold $accent"),
            (fitted(sheet.positions[row], POSITION), "bold" if row == sheet.row else ""),
        ]
        for column, question in enumerate(sheet.columns):
            digit = sheet.digit(row, column)
            value = sheet.value(row, question.field)
            outside = "!" if digit and question.verdict(value) == "outside" else " "
            shown = value if question.field == RESULT else digit
            text = f"{shown or ('·' if sheet.needed(row, column) else ' ')}{outside}"
            here = (row, column) == (sheet.row, sheet.column)
            style = "reverse bold" if here else ("$text-warning" if outside == "!" else "")
            parts.append((fitted(text, self._cell_width() - 1), style))
            parts.append(" ")
        return Content.assemble(*parts)
