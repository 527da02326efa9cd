"""The reading of the moment in large digits, with what is wanted and whether it is inside."""

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.reactive import reactive
from textual.widgets import Digits, Static

from platebook.tui.questions import Question
from platebook.tui.text import line, stacked, txt

SIGNS = {"inside": "✓ as wanted", "outside": "! not as wanted", "": ""}
STYLES = {"inside": "bold $text-success", "outside": "bold $text-warning", "": ""}
LONGEST_LARGE = 8


class BigReading(Horizontal):
    """Large digits on the left, target and verdict beside them."""

    DEFAULT_CSS = """
    BigReading { height: 3; }
    BigReading > Digits { width: 27; color: $accent; }
    BigReading > Static { width: 1fr; height: 3; }
    """

    question: reactive[Question | None] = reactive(None)
    value: reactive[str] = reactive("")
    typed: reactive[str | None] = reactive(None)

    def compose(self) -> ComposeResult:
        """Digits and the words beside them."""
        yield Digits("")
        yield Static("")

    def show(self, question: Question, value: str, typed: str | None) -> None:
        """Show one question with what stands and what is being typed."""
        current = typed if typed is not None else value
        sign = question.key_for(current) if question.keys else current
        large = line(sign)[:LONGEST_LARGE]
        self.query_one(Digits).update(large or "—")
        verdict = question.verdict(current) if current else ""
        target = f"wanted: {question.target}" if question.target else ""
        what = "" if question.keys else question.unit
        self.query_one(Static).update(
            stacked(
                txt(target, "bold"),
                txt(SIGNS[verdict], STYLES[verdict]),
                txt(what, "$muted"),
            )
        )
