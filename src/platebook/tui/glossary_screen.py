"""Words: the glossary, found by typing; opened at what is asked, with its answers under it."""

from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content

from platebook.practice.glossary import Term, glossary, terms_like, words_asked
from platebook.reports.text.glossary_text import met, of_what, sentence
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.term_picture import DrawnWord, gallery, term_picture
from platebook.tui.parts.text import held_together, line, stack, txt
from platebook.tui.parts.widgets import PickList, Words, typed_to_find

HOW = "Type to find a word, or what is said of it."
ASKED_HERE = "What is asked here, and its answers. Type to find any other word."
NO_WORD = "No word like this: Backspace takes a letter back, Esc goes back."
DRAWN_WIDTH, DRAWN_HEIGHT = 28, 9
LARGE_WIDTH, LARGE_HEIGHT = 44, 14
"""The drawing's cells in a window of 80 columns, and in a wide and high one."""
WIDE, TOGETHER = 110, 2
MARGINS = 2
"""The lines left free above and below drawings, whose words all stand under them."""


class GlossaryScreen(ListScreen[None]):
    """The words on the left, the one marked on the right; letters find."""

    PLACE: ClassVar[str] = "glossary"
    DEFAULT_CSS = """
    GlossaryScreen {
        #find { height: 1; padding: 0 1; background: $surface; }
        PickList { width: 30; padding: 0 0 0 1; }
        #entry { width: 1fr; padding: 0 1; border-left: solid $rule; scrollbar-size-vertical: 1; }
        #entry > Words { height: auto; }
        #entry > #drawn { margin: 1 0; text-wrap: nowrap; }
    }
    GlossaryScreen.-narrow PickList { width: 28; }
    """
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (76, "-usual")]  # noqa: RUF012 - as Textual has it

    def __init__(
        self,
        session: BenchSession,
        field: str = "",
        value: str = "",
        offered: tuple[str, ...] = (),
    ) -> None:
        super().__init__(session)
        self.typed = ""
        self.asked = words_asked(field, offered) if field else ()
        self.terms: tuple[Term, ...] = self.asked or glossary()
        self.first = value

    def body(self) -> ComposeResult:
        """The word marked and what it means, what is typed, the list, its drawing."""
        yield Headline()
        yield Words(id="find")
        with Horizontal():
            yield PickList()
            with VerticalScroll(id="entry", can_focus=False):
                yield Words(id="drawn")
                yield Words(id="how")

    def start(self) -> None:
        """Mark what is asked at this moment."""
        self.show_terms()
        values = [term.value for term in self.terms]
        if self.first in values:
            self.query_one(PickList).mark(values.index(self.first))

    def on_resize(self) -> None:
        """The drawing may be larger or has to be smaller."""
        self.show_word()

    def on_key(self, event: events.Key) -> None:
        """A letter more, or one less, finds anew."""
        if event.key == "space" and not self.typed:
            event.stop()
            return
        typed = typed_to_find(self.typed, event)
        if typed is not None:
            self.typed = typed
            self.terms = terms_like(typed) if typed else self.asked or glossary()
            self.show_terms()

    def show_terms(self) -> None:
        """The list as it is narrowed, the likeliest marked."""
        listed = self.query_one(PickList)
        listed.rows = [(term.word, "") for term in self.terms]
        listed.mark(0)
        said = HOW if not self.asked else ASKED_HERE
        if self.typed:
            count = f"{len(self.terms)} of {len(glossary())}"
            said = count
        find = Content.assemble(("Find: ", "bold"), line(self.typed), ("▏ ", "$accent"))
        self.query_one("#find", Words).show(Content.assemble(find, (said, "$muted")))
        self.show_word()

    @on(PickList.Marked)
    def show_word(self) -> None:
        """The word marked, what it means, and its drawing."""
        marked = self.query_one(PickList).marked
        term = self.terms[marked] if marked < len(self.terms) else None
        self.query_one(Headline).show(_head(term) if term is not None else Head(txt(NO_WORD)))
        self.query_one("#drawn", Words).say(self._drawn(term))
        self.query_one("#how", Words).show(_how(term) if term is not None else txt(""))
        self.query_one("#entry").scroll_home(animate=False)

    def _drawn(self, term: Term | None) -> Content:
        if term is None:
            return txt("")
        if not term.value:
            return self._answers(term)
        large = self.size.width >= WIDE and self.size.height > 2 * LARGE_HEIGHT
        width, height = (LARGE_WIDTH, LARGE_HEIGHT) if large else (DRAWN_WIDTH, DRAWN_HEIGHT)
        return term_picture(term.field, term.value, width, height)

    def _answers(self, term: Term) -> Content:
        """The answers of a field side by side with their names, where they have room."""
        among = self.asked or glossary()
        offered = [("", t.value) for t in among if t.field == term.field and t.value]
        words = DrawnWord.those_drawn(term.field, offered)
        entry = self.query_one("#entry").size
        if len(words) < TOGETHER or not entry.width:
            return txt("")
        below = held_together(_how(term), entry.width).wrap(entry.width)
        return gallery(words, entry.width, entry.height - len(below) - MARGINS)

    def tell(self, sentence: str) -> None:
        """Say one sentence where the finding is said."""
        self.query_one("#find", Words).show(txt(sentence))

    def action_rub_out(self) -> None:
        """Backspace without a letter typed: nothing is left to take back."""

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)


def _head(term: Term) -> Head:
    word = Content.assemble(line(term.word), (f"  {of_what(term)}", "not bold $muted"))
    return Head(word, txt(sentence(term.meaning)))


def _how(term: Term) -> Content:
    parts = (*(txt(part) for part in term.how), txt(met(term), "$muted"))
    return stack(*(part for part in parts if part.plain))
