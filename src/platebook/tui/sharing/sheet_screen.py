"""Bring a sheet in: its name, what its columns were taken for, each question once, what is new.

The asking is that of `platebook import` on a terminal, with the same words; nothing is stored until
the preview is agreed to.
"""

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input
from textual.worker import Worker

from platebook.exchange.sheets.questions import Question
from platebook.services.progress_callback import Watch
from platebook.services.sheets.example import example_lines
from platebook.services.sheets.looking import SheetLook, answer, look_at_typed
from platebook.services.sheets.taking_in import Preview, preview_of, take_in_seen
from platebook.services.sheets.wording import (
    FIRST_SHOWN,
    alike_words,
    column_lines,
    meaning_of,
    preview_lines,
    question_lines,
    raw_lines,
    row_lines,
)
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import Headline
from platebook.tui.parts.long_bar import LongBar
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import OrderedInput, Words

WHICH = "Which spreadsheet? It may be any list of attempts."
HOW = "Type or paste the name of a CSV or XLSX file; Enter opens it."
WHAT = (
    "Any spreadsheet will do: its headings may be in your own words. What is not clear is asked "
    "once and remembered. What would come in is shown first, and nothing is stored before you "
    "agree; rows that are in the logbook already stay out."
)
UNDERSTOOD = "One that is understood as it stands, with no question:"
READING = "Reading the spreadsheet …"
TAKING = "Taking it in … Esc stops it, and nothing is stored then."
NO_SUCH = "That is none of the numbers."
NEEDED = "Nothing can be stored without an answer; Esc leaves all as it is."
TALL, EDGES = 34, 5
"""From so many lines rows of the sheet have room under a question; what is none of their width."""
AROUND_ROWS = 12
"""Lines that stand around the rows of a sheet, and between what stands with them."""
BY_KEY = 9
"""Up to so many options one digit answers at once."""


class SheetScreen(BenchScreen[str]):
    """One thing at a time above a line to type in; it answers with what was done, or None."""

    PLACE: ClassVar[str] = "sheet"
    DEFAULT_CSS = """
    SheetScreen {
        VerticalScroll { height: 1fr; padding: 1 0 0 1; scrollbar-size-vertical: 1; }
        #shown { height: auto; padding: 0 1 0 0; }
        #typed { height: 1; border: none; padding: 0 1; background: $surface; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    class Looked(Answered[SheetLook]):
        """The sheet as it is understood."""

    class Said(Answered[tuple[SheetLook | None, str]]):
        """The sheet with one more answer, or what was expected of it."""

    class Seen(Answered[Preview]):
        """What would come of it."""

    class TakenIn(Answered[str]):
        """What was done."""

    def __init__(self, session: BenchSession, typed: str = "") -> None:
        super().__init__(session)
        self.typed = typed
        self.look: SheetLook | None = None
        self.seen: Preview | None = None
        self.asked: Question | None = None
        self.taking: Worker[None] | None = None
        self.count = 0

    def body(self) -> ComposeResult:
        """What is asked, the line to type in, and what was wrong with that."""
        yield Headline(WHICH)
        yield OrderedInput(placeholder="~/my spreadsheet.csv", compact=True, id="typed")
        yield Words(txt(HOW), id="told")
        yield LongBar()
        with VerticalScroll(can_focus=False):
            yield Words(_before_it_is_named(), id="shown")

    def start(self) -> None:
        """Ask for the file, or open the one whose name was pasted."""
        self.query_one("#typed").focus()
        if self.typed:
            self._open(self.typed)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the line."""
        self.query_one("#told", Words).show(txt(sentence))

    @on(Looked)
    def take_look(self, event: Looked) -> None:
        """Ask what is open, else show what would come of it."""
        self.look = event.value
        self._go_on()

    @on(Said)
    def take_answer(self, event: Said) -> None:
        """On to the next question, or once more the same."""
        look, expected = event.value
        if look is None:
            self.tell(f"Expected {expected}.")
            return
        self.look = look
        self._go_on()

    @on(Seen)
    def show_preview(self, event: Seen) -> None:
        """Show what is new and corrected, or what keeps it out."""
        self.query_one(LongBar).hide()
        self.seen = event.value
        question = self.seen.question()
        if question is not None:
            self._ask(question)
            return
        self.asked = None
        if self.seen.wrong:
            problems = [txt(str(problem)) for problem in self.seen.wrong]
            self._head("It cannot come in as it is.")
            self._show(stack(*problems))
            self.tell("Nothing was stored. Esc leaves.")
            return
        self.query_one("#typed", Input).placeholder = ""
        lines = list(preview_lines(self.seen))
        # Grades by their titles: an id is of use to who types a command.
        notices = [p.sentence.replace(f" ({p.grade})", "") for p in self.seen.counted]
        notices += [f"note: {problem}" for problem in self.seen.problems]
        notices += [alike_words(self.seen.alike)] if self.seen.alike else []
        columns = column_lines(self.look) if self.look is not None else ()
        self._head(f"{lines[0]}{self._of_file()}")
        told = [txt(said) for said in (*lines[1:], *notices)]
        taken = [txt(said, "$muted") for said in columns]
        most = self._rows_with(len(told) + len(taken))
        rows = (
            map(_as_table, row_lines(self.look, self.seen, most)) if self.look is not None else ()
        )
        blocks = (told, [*rows], taken) if self.size.height >= TALL else (told, taken, [*rows])
        parts = [part for block in blocks if block for part in (*block, txt(""))]
        self._show(stack(*parts))
        both = self.seen.rows.new and self.seen.rows.corrected
        more = ", n and Enter only the new ones" if both else ""
        self.tell(f"Enter takes it in{more}, Esc leaves all as it is.")

    @on(TakenIn)
    def close(self, event: TakenIn) -> None:
        """Back to where it was asked from, with what was done."""
        self.dismiss(event.value)

    @on(Input.Changed, "#typed")
    def answer_at_once(self, event: Input.Changed) -> None:
        """One digit is an answer where there are few enough."""
        question = self.asked
        if question is None or question.about == "value" or not event.value.isdecimal():
            return
        if len(question.options) <= BY_KEY:
            self._answer(event.value)

    @on(Input.Submitted, "#typed")
    def take_line(self, event: Input.Submitted) -> None:
        """A name, an answer, or the word to go ahead."""
        if self.look is None:
            if event.value.strip():
                self._open(event.value)
        elif self.asked is not None:
            self._answer(event.value.strip())
        elif self.seen is not None and not self.seen.wrong:
            self._take_in(self.look, self.seen, new_only=event.value.strip().casefold() == "n")

    def _take_in(self, look: SheetLook, seen: Preview, *, new_only: bool) -> None:
        """Take it in once, however often Enter is pressed; Esc before the end stores nothing."""
        if self.taking is not None and self.taking.is_running:
            return
        self.tell(TAKING)

        def take_in(watch: Watch) -> str:
            return self.session.call(take_in_seen, look, seen, new_only=new_only, watch=watch)

        self.ask_long(take_in, self.TakenIn)
        self.taking = self.reading

    def action_leave_it(self) -> None:
        """Leave all as it is."""
        if self.reading is not None:
            self.reading.cancel()
        self.dismiss(None)

    def _open(self, typed: str) -> None:
        self._empty()
        self.tell(READING)
        self.ask(partial(self.session.call, look_at_typed, typed), self.Looked)

    def _go_on(self) -> None:
        """The next question, or the preview where nothing is open."""
        look = self.look
        if look is None:
            return
        if look.questions:
            self._ask(look.questions[0])
            return
        self.asked = None
        self._head(READING)
        self.tell("")
        self._show(stack(*map(txt, column_lines(look))))
        self.ask_long(lambda watch: self.session.call(preview_of, look, watch=watch), self.Seen)

    def _ask(self, question: Question) -> None:
        look = self.look
        self.query_one("#typed", Input).placeholder = ""
        self.asked = question
        left = len(look.questions) if look is not None else 0
        if look is not None and look.understood.sheets:
            self.count += 1
        place = f"{self.count} of {self.count + max(left, 1) - 1}" if self.count else "first"
        first, *options, ways = question_lines(question, place)
        self._head(first)
        known = look is not None and look.understood.sheets
        columns = tuple(column_lines(look)) if look is not None and known else ()
        self._show(
            stack(
                *map(txt, options),
                txt(""),
                *(txt(c, "$muted") for c in columns),
                *self._raw_rows(look, len(options) + len(columns)),
            )
        )
        self._empty()
        self.tell(f"{ways} Esc leaves all as it is.")

    def _rows_with(self, beside: int) -> int:
        """How many rows have room with so many other lines; a few in any case, to be paged to."""
        return max(self.size.height - beside - AROUND_ROWS, FIRST_SHOWN)

    def _raw_rows(self, look: SheetLook | None, beside: int) -> list[Content]:
        """The first rows as they are, in a window that has room for them under the question.

        There are so many lines `beside` them.
        """
        if look is None or self.size.height < TALL:
            return []
        most = self._rows_with(beside)
        rows = [_as_table(said) for said in raw_lines(look, self.size.width - EDGES, most)]
        return [txt(""), *rows] if rows else []

    def _answer(self, typed: str) -> None:
        question, look = self.asked, self.look
        if question is None or look is None:
            return
        said = meaning_of(question, typed)
        if said is None:
            self.tell(NO_SUCH)
        elif not said:
            self.tell(NEEDED)
        else:
            self._empty()
            self.ask(partial(answer, look, question, said), self.Said)

    def _head(self, sentence: str) -> None:
        """What it comes to, where the eye lands."""
        self.query_one(Headline).say(sentence)

    def _of_file(self) -> str:
        return f", from {self.look.file.name}" if self.look is not None else ""

    def _show(self, content: Content) -> None:
        self.query_one("#shown", Words).show(content)
        self.query_one(VerticalScroll).scroll_home(animate=False)

    def _empty(self) -> None:
        self.query_one("#typed", Input).value = ""


def _before_it_is_named() -> Content:
    """What will do, and a sheet that is understood as it stands."""
    headings, *rows = map(txt, example_lines())
    said = (txt(WHAT, "$muted"), txt(""), txt(UNDERSTOOD, "bold"), txt(""))
    return stack(*said, headings.stylize("$accent"), *rows)


def _as_table(said: str) -> Content:
    """One line of a table: the blanks before its first cell stay."""
    indent = len(said) - len(said.lstrip(" "))
    return Content.assemble(" " * indent, txt(said))
