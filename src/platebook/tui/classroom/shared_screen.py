"""What the class shares: what goes with failure in most of it, and what is one setter's own."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.worker import Worker

from platebook.reports.text.figures import FINDINGS, PERSONAL
from platebook.services.classes.class_answers import class_findings
from platebook.tui.base_screen import BenchScreen, Progressed
from platebook.tui.bench_session import BenchSession
from platebook.tui.text import stacked, txt
from platebook.tui.widgets import LongBar, Words

if TYPE_CHECKING:
    from platebook.analysis.classes.results import ClassFinding, ClassFindings, Personal


WAITING = "Looking through every setter's log …"
PAGE = 8


class SharedScreen(BenchScreen[None]):
    """The answer on top, then what all share, then each setter's own lead."""

    PLACE: ClassVar[str] = "shared"
    DEFAULT_CSS = """
    SharedScreen {
        #answer { height: auto; padding: 0 1; background: $surface; }
        #found { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
        #found > Words { height: auto; }
    }
    """

    class Found(Message):
        """What goes with failure across the class."""

        def __init__(self, found: "ClassFindings") -> None:
            super().__init__()
            self.found = found

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.reading: Worker[None] | None = None

    def body(self) -> ComposeResult:
        """The answer, how far it is, and what was found."""
        yield Words(txt(WAITING), id="answer")
        yield LongBar()
        found = VerticalScroll(id="found")
        found.can_focus = False
        with found:
            yield Words(id="words")

    def on_mount(self) -> None:
        """Ask for it."""
        super().on_mount()
        self.load()

    def load(self) -> None:
        """Ask again; setters who logged nothing since are not worked on again."""
        session = self.session
        self.reading = self.ask_long(
            lambda watch: session.call(class_findings, watch=watch), self.Found
        )

    def tell(self, sentence: str) -> None:
        """Say one sentence in the place of the answer."""
        self.query_one(LongBar).hide()
        self.query_one("#answer", Words).show(txt(sentence))

    @on(Progressed)
    def show_progress(self, event: Progressed) -> None:
        """Show how far it is, unless it is over by now."""
        if self.reading is not None and self.reading.is_running:
            self.query_one(LongBar).show(event.done, event.of)

    @on(Found)
    def show_found(self, event: Found) -> None:
        """Show the answer and what was found."""
        found = event.found
        counts, outlook, checked = found.answer
        self.tell(f"{counts} {outlook}" if found.attempts else counts)
        parts = [_shared(one) for one in found.common]
        if found.personal:
            parts.append(txt(PERSONAL, "bold"))
            parts += [_own(one) for one in found.personal]
        parts.append(txt(checked, "$muted"))
        self.query_one("#words", Words).show(stacked(*parts))

    def action_stop(self) -> None:
        """Stop the work, and go back to the class."""
        if self.reading is not None:
            self.reading.cancel()
        self.dismiss()

    def action_page(self, by: int) -> None:
        """A page up or down."""
        self.query_one("#found", VerticalScroll).scroll_relative(y=by * PAGE, animate=False)


def _shared(one: "ClassFinding") -> Content:
    status = FINDINGS[one.status]
    return stacked(
        txt(f"{status.drawn} {status.words}: {one.family}", "bold $accent"),
        txt(one.sentence),
        *(txt(note, "$muted") for note in one.notes),
        txt(""),
    )


def _own(one: "Personal") -> Content:
    return stacked(txt(one.setter, "bold"), txt(one.sentence))
