"""The page of an attempt, with the reading of the moment in large digits."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Digits

from platebook.tui.entry.answers import drawn_answers, looked_at
from platebook.tui.entry.entry import RESULT, Entry
from platebook.tui.entry.questions import VERDICT_SIGNS, Question
from platebook.tui.entry.words import RAIL, page, rail, set_up_line, title
from platebook.tui.now.start_keys import digit_hint
from platebook.tui.now.words import go_line, where_of
from platebook.tui.parts.term_picture import TermGallery, TermPicture
from platebook.tui.parts.text import line, stack, txt
from platebook.tui.parts.widgets import Words

if TYPE_CHECKING:
    from platebook.services.now.now_view import NowView


VERDICTS = {
    "inside": Content.styled(f"{VERDICT_SIGNS['inside']} as wanted", "bold $text-success"),
    "outside": Content.styled(f"{VERDICT_SIGNS['outside']} not as wanted", "bold $text-warning"),
    "": Content(""),
}
NOTHING = "—"
LONGEST_LARGE = 8
WIDE, WIDE_RAIL = 110, 42
"""From so many columns the rail has so many, in which most of what is noted is one line."""
MOST_BESIDE = 8
"""Answers that leave room for the large reading over them in a window of 24 lines."""

ROOM_FOR_A_DIGIT = 6
ROOM_FOR_A_SIZE = 27


class BigReading(Horizontal):
    """Large digits on the left, the words about them beside them.

    A digit answers and the next question follows at once, so until that one has an answer the
    digits show the one just noted, to be checked at a glance.
    """

    DEFAULT_CSS = """
    BigReading { height: 3; margin: 1 0; }
    BigReading > Digits { color: $accent; }
    BigReading > Words { width: 1fr; height: 3; }
    """

    def compose(self) -> ComposeResult:
        """Digits and the words beside them."""
        yield Digits("")
        yield Words()

    def show(
        self, question: Question | None, answer: str, just_noted: tuple[Question, str] | None
    ) -> None:
        """Show the answer of this question, or the one just noted where it has none yet.

        A size being typed always shows its own target.
        """
        shown: Question | None = question
        value = answer
        waits = question is None or (bool(question.keys) and not answer)
        if waits and just_noted is not None:
            shown, value = just_noted
            size = bool(shown.target) and not shown.keys
            head = txt(f"just noted: {shown.label}", "$muted")
            foot = txt(f"wanted: {shown.target}" if size else "")
        else:
            head = txt(f"wanted: {shown.target}" if shown and shown.target else "", "bold")
            foot = txt(shown.unit if shown else "", "$muted")
        self._large(shown, value)
        verdict = VERDICTS[shown.verdict(value) if shown and value else ""]
        self.query_one(Words).show(stack(head, verdict, foot))

    def _large(self, question: Question | None, value: str) -> None:
        by_digit = question is not None and bool(question.keys)
        sign = question.key_for(value) if question and by_digit else value
        digits = self.query_one(Digits)
        digits.styles.width = ROOM_FOR_A_DIGIT if by_digit else ROOM_FOR_A_SIZE
        digits.update(line(sign)[:LONGEST_LARGE] or NOTHING)


EACH = "↑ ↓ show each one"
OTHERS = "↑ ↓ show the others"
LOOKING = "Looking for what comes next …"


class AttemptPage(Vertical):
    """Shows an entry; it takes no keys."""

    DEFAULT_CSS = """
    AttemptPage {
        height: 1fr;
        #where { height: 1; padding: 0 1; color: $accent; text-style: bold; }
        #set-up { height: auto; min-height: 2; max-height: 4; padding: 0 1; }
        #so-far { width: 30; height: 1fr; padding: 0 1; border-right: solid $rule; }
        &.-wide #so-far { width: 45; }
        #rail { height: auto; margin: 0 0 1 0; }
        #stop { width: 1fr; height: 1fr; padding: 0 2; }
        #title { height: auto; }
        #page { height: auto; margin: 0 0 1 0; }
        #told { height: auto; max-height: 4; padding: 0 1; color: $text-warning; }
    }
    """

    def compose(self) -> ComposeResult:
        """Where, set-up, rail and stop, and a line for what has to be said."""
        yield Words(id="where")
        yield Words(id="set-up")
        with Horizontal():
            with Vertical(id="so-far"):
                yield Words(id="rail")
                yield TermPicture()
            with Vertical(id="stop"):
                yield Words(id="title")
                yield BigReading()
                yield Words(id="page")
                yield TermGallery()
        yield Words(id="told")

    def show(self, entry: Entry, sentence: str) -> None:
        """Show the stop at which the entry stands."""
        question, noted = entry.question(), _just_noted(entry)
        answer = entry.typed if entry.typed is not None else entry.value(entry.stop)
        digits = self.query_one(BigReading)
        few = question is not None and len(question.keys) <= MOST_BESIDE
        digits.display = few or (entry.stop == RESULT and noted is not None)
        digits.show(question, answer if question is not None else "", noted)
        self._update("where", txt(entry.where))
        self._update("set-up", set_up_line(entry))
        wide = self.app.size.width >= WIDE
        self.set_class(wide, "-wide")
        self._update("rail", rail(entry, WIDE_RAIL if wide else RAIL))
        self._update("title", title(entry))
        self._update("page", page(entry))
        self._update("told", txt(sentence))
        self._draw(entry)

    def _draw(self, entry: Entry) -> None:
        """The answer looked at, large, and all of them where there is room."""
        answers, word = drawn_answers(entry), looked_at(entry)
        several = len(answers) > 1
        hint = (OTHERS if word is not None else EACH) if several else ""
        self.query_one(TermPicture).show(word, hint)
        self.query_one(TermGallery).show(answers if several else (), entry.marked)

    def show_saved(
        self, headline: str, remedies: tuple[str, ...], following: "NowView | None"
    ) -> None:
        """Show what became of it, what now, and what comes next as soon as it is known."""
        self.query_one(BigReading).display = False
        self.query_one(TermPicture).show(None, "")
        self.query_one(TermGallery).show((), "")
        now_what = [txt("What now?", "bold"), *(txt(f"· {r}") for r in remedies), txt("")]
        coming = [txt(LOOKING, "$muted")]
        if following is not None:
            hint = digit_hint(following)
            coming = [txt(f"Next: {where_of(following)}", "bold"), txt(go_line(following))]
            coming += [hint] if hint is not None else []
        self._update("title", txt(headline, "bold"))
        self._update("page", stack(*(now_what if remedies else []), *coming))

    def _update(self, part: str, content: Content) -> None:
        self.query_one(f"#{part}", Words).show(content)


def _just_noted(entry: Entry) -> tuple[Question, str] | None:
    """The reading answered at the stop before this one, or None."""
    before = entry.trail[-1] if entry.trail else ""
    question = next((q for q in entry.readings if q.field == before), None)
    if question is None or not entry.value(before):
        return None
    return question, entry.value(before)
