"""The reading of the moment in large digits, with what is wanted and whether it is inside."""

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Digits

from platebook.tui.questions import VERDICT_SIGNS, Question
from platebook.tui.text import line, stacked, txt
from platebook.tui.widgets.words import Words

VERDICTS = {
    "inside": Content.styled(f"{VERDICT_SIGNS['inside']} as wanted", "bold $text-success"),
    "outside": Content.styled(f"{VERDICT_SIGNS['outside']} not as wanted", "bold $text-warning"),
    "": Content(""),
}
NOTHING = "—"
LONGEST_LARGE = 8
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
        self.query_one(Words).show(stacked(head, verdict, foot))

    def _large(self, question: Question | None, value: str) -> None:
        by_digit = question is not None and bool(question.keys)
        sign = question.key_for(value) if question and by_digit else value
        digits = self.query_one(Digits)
        digits.styles.width = ROOM_FOR_A_DIGIT if by_digit else ROOM_FOR_A_SIZE
        digits.update(line(sign)[:LONGEST_LARGE] or NOTHING)
