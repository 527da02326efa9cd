"""What the class shares: what goes with failure in most of it, and what is one setter's own."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from platebook.analysis.findings.telling.results import ClassFinding, ClassFindings, Personal
from platebook.reports.text.analysis_text import support_line
from platebook.reports.text.figures import ALL_ATTEMPTS, FINDINGS, PERSONAL
from platebook.services.classes.class_answers import class_findings
from platebook.services.findings import Asked
from platebook.services.people.at_the_bench import class_in_view
from platebook.services.progress_callback import Watch
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.long_bar import LongBar
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import Words

WAITING = "Looking through every setter's log …"
PAGE = 8


class SharedScreen(BenchScreen[None]):
    """The answer on top, then what all share, then each setter's own lead."""

    PLACE: ClassVar[str] = "shared"
    DEFAULT_CSS = """
    SharedScreen {
        #found { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
        #found > Words { height: auto; }
    }
    """

    class Found(Answered[ClassFindings]):
        """What goes with failure across the class."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.everything = False

    def body(self) -> ComposeResult:
        """The answer, how far it is, and what was found."""
        yield Headline(WAITING)
        yield LongBar()
        with VerticalScroll(id="found", can_focus=False):
            yield Words(id="words")

    def load(self) -> None:
        """Ask again; setters who logged nothing since are not worked on again."""
        session, asked = self.session, Asked(everything=self.everything)

        def ask(watch: Watch) -> ClassFindings:
            in_view = session.call(class_in_view)
            return session.call(class_findings, in_view.class_id, asked=asked, watch=watch)

        self.ask_long(ask, self.Found)

    def action_everything(self) -> None:
        """All attempts in the place of the latest, or the latest again."""
        self.everything = not self.everything
        self.load()

    def tell(self, sentence: str) -> None:
        """Say one sentence in the place of the answer."""
        self.query_one(LongBar).hide()
        self.query_one(Headline).say(sentence)

    @on(Found)
    def show_found(self, event: Found) -> None:
        """Show the answer and what was found."""
        findings = event.value
        counts, outlook, checked = findings.answer
        told = f"{counts} {outlook}" if findings.attempts else counts
        told = f"{ALL_ATTEMPTS} {told}" if self.everything else told
        first = next(iter(findings.common), None)
        self.query_one(LongBar).hide()
        self.query_one(Headline).show(
            Head(txt(told)) if first is None else Head(txt(first.sentence), txt(_status(first)))
        )
        parts = [] if first is None else [txt(told, "$muted"), txt("")]
        parts += [_shared(finding, headlined=finding is first) for finding in findings.common]
        if findings.personal:
            parts.append(txt(PERSONAL, "bold"))
            parts += [_own(finding) for finding in findings.personal]
        parts.append(txt(checked, "$muted"))
        self.query_one("#words", Words).show(stack(*parts))

    def set_aside(self) -> None:
        """The work is stopped for another page; what is read so far is kept."""
        self.action_stop()

    def action_stop(self) -> None:
        """Stop the work, and go back to the class."""
        if self.reading is not None:
            self.reading.cancel()
        self.dismiss()

    def action_page(self, by: int) -> None:
        """A page up or down."""
        self.query_one("#found", VerticalScroll).scroll_relative(y=by * PAGE, animate=False)


def _status(finding: ClassFinding) -> str:
    status = FINDINGS[finding.status]
    return f"{status.drawn} {status.words}: {support_line(finding)}"


def _shared(finding: ClassFinding, *, headlined: bool) -> Content:
    """A finding with its notes; of the one in the headline the notes alone."""
    said = [txt(_status(finding), "bold $accent"), txt(finding.sentence)]
    notes = [txt(note, "$muted") for note in finding.notes]
    return stack(*([] if headlined else said), *notes, txt(""))


def _own(finding: Personal) -> Content:
    return stack(txt(finding.setter, "bold"), txt(finding.sentence))
