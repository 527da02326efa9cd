"""Plate: the whole plate as a grid, one operation down the positions, one key a reading.

The screen itself takes the keys, in the order they came, and no part of it can have the focus.
"""

from collections import Counter
from collections.abc import Mapping
from datetime import date, datetime
from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult

from platebook.practice.problem import Problem
from platebook.practice.reading.questions import Question, problem_words
from platebook.services.attempts.recording import Recorded, record, remedy_for
from platebook.services.now.now_view import NowView
from platebook.trade.phrases import day_words
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import command_for, page_of
from platebook.tui.entry.doubts import RAISED_BY, ways_out
from platebook.tui.entry.entry import RESULT, SEVERITY
from platebook.tui.entry.filled_in import FilledIn
from platebook.tui.entry.stray_size import StraySize, stray_sentence
from platebook.tui.messages import Answered, Landed
from platebook.tui.plate.page import PlatePage, PlateRows
from platebook.tui.plate.sheet import (
    UNDEFECTIVE,
    PlateSheet,
    from_draft,
    go_on,
    goes_into_a_cell,
    left_over,
    measure,
    move,
    on_another_day,
    press,
    rows_of,
    rub_out,
    settle,
    sheet_for,
    take_in,
    to_draft,
    to_first_empty,
)
from platebook.tui.plate.words import (
    cell_answers,
    doubt_question,
    refusal,
    result_in_words,
    saved_words,
    size_question,
)
from platebook.values import replace

PADDING = 1
RESTORED = "This plate was not saved; it is as you left it."
NOTHING = "Nothing is judged yet: the result column comes last."
FULL = "This plate has no free position: lay out another, or name one in the set-up."


class PlateScreen(FilledIn):
    """Fills in a plate; dismissed with the draft left unfinished, or None."""

    PLACE: ClassVar[str] = "plate"

    class Saved(Answered[Recorded]):
        """The logbook has taken the judged positions, or says what is wrong with one."""

    def __init__(
        self,
        session: BenchSession,
        sheet: PlateSheet,
        *,
        sentence: str = "",
        view: NowView | None = None,
    ) -> None:
        super().__init__(session, sentence)
        self.sheet, self.view = sheet, view
        self.live = not sentence
        self.choosing = False
        self.asked: int | None = None
        self.noted: tuple[int, Question] | None = None
        self.was_saving = False
        self.stray: StraySize[PlateSheet] = StraySize()

    @classmethod
    def at(
        cls, session: BenchSession, view: NowView, draft: Mapping[str, object] | None
    ) -> "PlateScreen | None":
        """The plate on Now, or the draft; None where the plate has no free position."""
        unfinished = from_draft(draft) if draft is not None else None
        if unfinished is not None:
            unfinished = replace(unfinished, grades=view.grades)
            known = unfinished.base.get("grade") == view.advice.grade
            screen = cls(session, unfinished, sentence=RESTORED, view=view if known else None)
            screen.was_saving = screen.hold_again(draft or {})
            return screen
        count = len(view.plate.cells) if view.plate is not None else 0
        ids = tuple(session.new_id() for _ in range(count))
        sheet = sheet_for(view, ids=ids, began=session.clock().isoformat(timespec="seconds"))
        return None if sheet is None else cls(session, sheet, view=view)

    def body(self) -> ComposeResult:
        """The page of the plate."""
        yield PlatePage(self.view)

    def start(self) -> None:
        """Show the first cell; a save with keys behind it, left under way, is asked for again."""
        super().start()
        if self.was_saving:
            self.action_save()

    def in_focus(self) -> Question:
        """The question of the column."""
        return self.sheet.question()

    def word_in_focus(self) -> tuple[str, str]:
        """The field of the column; the defect where it is asked how bad it is."""
        field = self.in_focus().field
        at_defect = field == SEVERITY and (defect := self.sheet.value(self.sheet.row, RESULT))
        return (RESULT, defect) if at_defect else (field, "")

    def tell(self, sentence: str) -> None:
        """Say one sentence."""
        self.busy, self.sentence = False, sentence
        self.show()

    def leave_draft(self) -> None:
        """Leave the plate as its draft."""
        self.action_back()

    def keep(self, *, sync: bool = False) -> None:
        """Write the sheet to the draft file, or clear it where nothing was noted."""
        self.write_draft(self._draft(), sync=sync)

    def _draft(self) -> Mapping[str, object] | None:
        return self.with_held(to_draft(self.sheet)) if self.sheet.started() else None

    async def on_key(self, event: events.Key) -> None:
        """Every key in the order it came; digits, and letters that answer, go into the cell."""
        command = command_for(self.PLACE, event.key)
        sign = event.character or ""
        if command is None and not page_of(event.key) and not goes_into_a_cell(sign):
            return
        event.stop()
        event.prevent_default()
        if not self.keeps_back(event) and (action := self._take(event)) is not None:
            await self.run_action(action)

    async def on_paste(self, event: events.Paste) -> None:
        """Lines from paper or a spreadsheet's column: one cell a line, empty for an empty one."""
        event.stop()
        for text in event.text.replace("\r\n", "\n").replace("\r", "\n").splitlines():
            before = (self.sheet.row, self.sheet.column)
            for sign in text.strip():
                await self.on_key(events.Key(sign, sign))
            if (self.sheet.row, self.sheet.column) == before:
                await self.on_key(events.Key("enter", "\r"))

    def action_skip(self) -> None:
        """Leave the cell as it is and go on."""
        self._change(go_on(self.sheet), kept=False)

    def action_measure(self) -> None:
        """Ask which size the next column is of."""
        self.choosing = True
        self.show()

    def action_rub_out(self) -> None:
        """Empty the cell, or the one before."""
        self._change(rub_out(self.sheet))

    def action_day(self, by: int) -> None:
        """Another day: what is typed from paper was done before today."""
        today = self.session.clock().date()
        self.sheet = on_another_day(self.sheet, by, today=today)
        self.live = False
        self.keep()
        day = day_words(date.fromisoformat(self.sheet.began), today)
        self.tell(f"Of {day}: typed from paper, so without the hour.")

    def action_step(self, rows: int, columns: int) -> None:
        """To a cell nearby."""
        self._change(move(self.sheet, rows=rows, columns=columns), kept=False)

    def action_save(self) -> None:
        """Save every judged position, as one change."""
        self._change(take_in(self.sheet), kept=False)
        judged = self.sheet.judged()
        if not judged:
            self.tell(NOTHING)
            return
        self.asked = next((row for row in judged if self.sheet.doubt(row) is not None), None)
        if self.asked is not None:
            self.show()
            return
        self.busy = True
        rows = rows_of(self.sheet, minutes=self._minutes())
        self.ask(partial(self.session.call, record, rows, as_typed=True), self.Saved)

    def action_back(self) -> None:
        """Back to Now; what is noted waits there."""
        self.keep(sync=True)
        self.dismiss(self._draft())

    @on(Saved)
    async def show_saved(self, event: Saved) -> None:
        """Leave where all is saved; what is not judged yet stays to be gone on with.

        Keys typed meanwhile are taken now: here, or where leaving leads to (`held` keeps them). A
        digit for a cell that was saved with the others goes into no other one.
        """
        recorded = event.value
        held = self.held
        if not recorded.stored:
            problems = [p for p in recorded.problems if p.level == "problem"]
            self._show_problems(problems)
            await self._take_held(held)
            return
        judged = self.sheet.judged()
        results = [self.sheet.value(row, RESULT) for row in judged]
        told = saved_words([result_in_words(self.sheet, row) for row in judged])
        self.outcome = "\n".join((told, *_remedies(results)))
        rest = left_over(self.sheet)
        if rest is None:
            self.write_draft(None)
            self.dismiss(None)
            return
        here, column = self.sheet.positions[self.sheet.row], self.sheet.column
        if held and here in rest.positions:
            row = rest.positions.index(here)
            self.sheet = replace(rest, row=row, column=column)
        else:
            self.sheet = to_first_empty(rest)
            held = [key for key in held if not goes_into_a_cell(key.character or "")]
        self.live, self.noted = False, None
        self.keep(sync=True)
        self.tell(f"{self.outcome}\nThese are not judged yet. Esc leaves them for later.")
        await self._take_held(held)

    async def _take_held(self, held: list[events.Key]) -> None:
        self.held, self.held_since = [], ""
        for key in held:
            await self.on_key(key)
        self.keep()
        self.post_message(Landed())

    def _show_problems(self, problems: list[Problem]) -> None:
        """What is wrong, each with its position; the cursor goes to the first."""
        judged = self.sheet.judged()
        columns = [q.field for q in self.sheet.columns]
        told = []
        for problem in reversed(problems):
            where = ""
            if 0 < problem.row <= len(judged):
                row = judged[problem.row - 1]
                where = f"Position {self.sheet.positions[row]}: "
                if problem.field in columns:
                    column = columns.index(problem.field)
                    self.sheet = replace(self.sheet, row=row, column=column)
            told.append(f"{where}{problem_words(problem)}")
        self.tell(f"Not saved. {'. '.join(reversed(told))}.")

    def show(self) -> None:
        """Bring all parts up to date."""
        sheet, width = self.sheet, self.size.width - 2 * PADDING
        asks = size_question(sheet, width) if self.choosing else cell_answers(sheet, width)
        doubt = sheet.doubt(self.asked) if self.asked is not None else None
        if doubt is not None and self.asked is not None:
            asks = doubt_question(doubt, sheet.positions[self.asked])
        page = self.query_one(PlatePage)
        page.show(sheet, asks, self.noted)
        page.tell(self.parting or self.sentence)

    @on(PlateRows.Pointed)
    def go_to_cell(self, event: PlateRows.Pointed) -> None:
        """To the cell that was clicked."""
        rows, columns = event.row - self.sheet.row, event.column - self.sheet.column
        if not (self.busy or self.leaving):
            self.action_step(rows, columns)

    def _take(self, event: events.Key) -> str | None:
        """One key in its place, or the action it stands for; a stray size is dropped."""
        sign, sheet = event.character or "", self.sheet
        earlier = self.stray.hear(sign, event.time, sheet, typing=not sheet.question().keys)
        if earlier is not None:
            if earlier is not sheet:
                self._change(earlier)
            self.choosing = False
            if self.stray.text:
                self.tell(stray_sentence(self.stray.text, earlier.question().label))
        elif self.asked is not None:
            self._answer(sign)
        elif self.choosing:
            self._choose(sign)
        elif goes_into_a_cell(sign):
            after = press(sheet, sign)
            self._change(after)
            if after is sheet:
                self.tell(refusal(sheet, sign))
        elif command := command_for(self.PLACE, event.key):
            return command.action
        return None

    def _answer(self, sign: str) -> None:
        """A digit settles what is doubtful; anything else keeps it as it is."""
        row = self.asked if self.asked is not None else self.sheet.row
        self.asked = None
        before = self.sheet
        after = settle(before, row, sign)
        if after is before and (doubt := before.doubt(row)) is not None:
            kept = next((key for key, answer, _ in ways_out(doubt) if answer == "as it is"), "")
            after = settle(before, row, kept)
        retyped = (after.row, after.column, after.columns) != (
            before.row,
            before.column,
            before.columns,
        )
        self._change(after)
        self.keep()
        if not retyped and after.cells == before.cells:
            self.action_save()

    def _choose(self, sign: str) -> None:
        self.choosing = False
        place = "123456789".find(sign) if sign else -1
        if 0 <= place < len(self.sheet.sizes):
            self._change(measure(self.sheet, self.sheet.sizes[place]))
        self.show()

    def _change(self, sheet: PlateSheet, *, kept: bool = True) -> None:
        before, self.sheet, self.sentence = self.sheet, sheet, ""
        new = [where for where in sheet.cells if before.cells.get(where) != sheet.cells[where]]
        if new:
            position, name = new[-1]
            question = next(q for q in sheet.columns if q.field == name)
            self.noted = (sheet.positions.index(position), question)
            doubt = sheet.doubt(self.noted[0]) if name in RAISED_BY else None
            if doubt is not None:
                # A series may be on its way down the column: its next digit is no answer.
                self.sentence = f"Position {position}: {doubt.question} That is asked on saving."
        if kept or sheet.cells != before.cells:
            self.keep(sync=sheet.column != before.column)
        self.show()

    def _minutes(self) -> float | None:
        """How long the plate took; None where it was left and gone on with, or saved in parts."""
        if not self.live:
            return None
        began = datetime.fromisoformat(self.sheet.began)
        return (self.session.clock() - began).total_seconds() / 60


def _remedies(results: list[str]) -> tuple[str, ...]:
    """What to do about each defect that they have, the most common first."""
    defects = Counter(result for result in results if result not in UNDEFECTIVE)
    return tuple(said for defect, _ in defects.most_common() for said in remedy_for(defect))
