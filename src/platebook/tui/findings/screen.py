"""Findings: what went with failure, in plain words with counts, and what could not be judged."""

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message

from platebook.reports.signs import FINDINGS
from platebook.services.answers import FindingsWithValues, findings_with_values
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.entry.questions import label_of
from platebook.tui.findings.charts import (
    clock_chart,
    clock_line,
    counts_line,
    finding_chart,
    key_line,
    values_chart,
)
from platebook.tui.text import MARK, line, stacked, txt
from platebook.tui.widgets.lines import Words
from platebook.tui.widgets.plot import Chart, Plot

if TYPE_CHECKING:
    from platebook.analysis.findings.raw_values import RawValues
    from platebook.analysis.findings.results import ClockPattern, Finding, Findings


STYLES = {
    "claim": "bold $text-success",
    "lead": "bold $text-warning",
    "mechanism": "bold $secondary",
}
ON_ONE_SIDE = ("◔", "on one side of the rim", "bold $text-warning")
EVIDENCE = {
    "counts only": "Counts only: the log is too short to say what goes with failure.",
    "leads": "Worth watching: long enough for leads, not yet for more.",
    "claims": "Long enough to tell what is well supported from what is worth watching.",
}
PAGE = 8
WAITING = "Looking through the log …"


class FindingsScreen(BenchScreen[None]):
    """The list on the left, the one in focus with its plot on the right."""

    PLACE: ClassVar[str] = "findings"
    DEFAULT_CSS = """
    FindingsScreen {
        #answer { height: auto; padding: 0 1; background: $surface; }
        #list { width: 34; height: 1fr; padding: 0 1; border-right: solid $rule;
                scrollbar-size-vertical: 1; }
        #list > Words { height: auto; margin: 0 0 1 0; }
        #one { width: 1fr; height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
        #one > Words { height: auto; }
        Plot { height: 11; }
    }
    """

    class Found(Message):
        """The findings, with the values behind each."""

        def __init__(self, found: FindingsWithValues) -> None:
            super().__init__()
            self.findings, self.values = found.findings, found.values

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.findings: Findings | None = None
        self.values: tuple[RawValues | None, ...] = ()
        self.chosen = 0

    def body(self) -> ComposeResult:
        """Answer, list, and the one in focus."""
        yield Words(txt(WAITING), id="answer")
        with Horizontal():
            scroll = VerticalScroll(id="list")
            scroll.can_focus = False
            with scroll:
                yield Words(id="leads")
                yield Words(id="not-judged")
            one = VerticalScroll(id="one")
            one.can_focus = False
            with one:
                yield Words(id="words")
                yield Plot()
                yield Words(id="counts")

    def on_mount(self) -> None:
        """Ask for the findings."""
        super().on_mount()
        self.load()

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        call = partial(self.session.call, findings_with_values)
        self.ask(call, self.Found, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence in the first line."""
        self.query_one("#answer", Words).show(txt(sentence))

    @on(Found)
    def show_findings(self, event: Found) -> None:
        """Show the findings, the best one in focus."""
        self.findings, self.values, self.chosen = event.findings, event.values, 0
        self.show()

    def action_move(self, by: int) -> None:
        """The next or the one before."""
        if entries := self.entries():
            self.chosen = min(max(self.chosen + by, 0), len(entries) - 1)
            self.show()

    def action_page(self, by: int) -> None:
        """Show more of both columns, where they do not fit."""
        for column in ("#list", "#one"):
            self.query_one(column).scroll_relative(y=by * PAGE, animate=False)

    def show(self) -> None:
        """Bring all parts up to date."""
        found = self.findings
        if found is None:
            return
        evidence = txt(EVIDENCE[found.evidence], "bold")
        self._update("answer", stacked(evidence, *(txt(s) for s in found.answer[:1])))
        self._update("leads", self._leads(self.entries()))
        self._update("not-judged", _not_judged(found))
        entries = self.entries()
        if entries:
            words, chart, beside = self._told(found)
            self._update("words", words)
            self._update("counts", stacked(*(txt(says, "$muted") for says in beside)))
            self.query_one(Plot).chart = chart
        else:
            self._update("words", txt(_nothing(found)))
            self._update("counts", txt(""))
            self.query_one(Plot).chart = None
        self.query_one(Plot).display = bool(entries)

    def entries(self) -> tuple["Finding | ClockPattern", ...]:
        """What can be put in focus: the findings, then what lies on one side of the rim."""
        found = self.findings
        return () if found is None else (*found.findings, *found.clocks)

    def _told(self, found: "Findings") -> tuple[Content, Chart, list[str]]:
        """The one in focus: its words, its picture, and the same in words."""
        if self.chosen >= len(found.findings):
            pattern = found.clocks[self.chosen - len(found.findings)]
            return _clock_words(pattern), clock_chart(pattern), [clock_line(pattern)]
        one = found.findings[self.chosen]
        return _words(one), *_pictured(one, self.values[self.chosen])

    def _leads(self, entries: tuple["Finding | ClockPattern", ...]) -> Content:
        if not entries:
            return txt("Nothing to show yet.", "$muted")
        return stacked(*(self._lead(place, one) for place, one in enumerate(entries)))

    def _lead(self, place: int, one: "Finding | ClockPattern") -> Content:
        (sign, word, style), about = _headed(one)
        mark = MARK if place == self.chosen else " "
        name = f"{_defect(one.defect)}: {about}"
        bold = "bold" if place == self.chosen else ""
        return Content.assemble(
            (mark, "bold $accent"), (f"{sign} ", style), (line(name), bold), f"\n   {word}"
        )

    def _update(self, part: str, content: Content) -> None:
        self.query_one(f"#{part}", Words).show(content)


def _defect(defect: str) -> str:
    return "failure" if defect == "any" else defect


def _headed(one: "Finding | ClockPattern") -> tuple[tuple[str, str, str], str]:
    """Sign, word and style of an entry, and what it is about."""
    from platebook.analysis.findings.results import ClockPattern

    if isinstance(one, ClockPattern):
        return ON_ONE_SIDE, f"{one.first} to {one.last} o'clock"
    return _status(one), label_of(one.variable)


def _status(one: "Finding") -> tuple[str, str, str]:
    """Sign, word and style of how sure a finding is."""
    sign = FINDINGS[one.status]
    return sign.drawn, sign.words, STYLES[one.status]


def _clock_words(one: "ClockPattern") -> Content:
    sign, word, style = ON_ONE_SIDE
    look_at = (
        "Worth watching: look at posture, light and how the plate is turned (common practice)."
    )
    return stacked(
        Content.assemble((f"{sign} {word}", style)), txt(one.sentence), txt(look_at, "$muted")
    )


def _words(one: "Finding") -> Content:
    sign, word, style = _status(one)
    return stacked(
        Content.assemble((f"{sign} {word}", style)),
        txt(one.sentence),
        *(txt(note, "$muted") for note in one.notes),
    )


def _pictured(one: "Finding", values: "RawValues | None") -> tuple[Chart, list[str]]:
    """The values, or without any the shares; and what stands below them in words."""
    from platebook.reports.text.findings_text import values_line

    shares = counts_line(one)
    if values is None:
        return finding_chart(one), [shares]
    says = values_line(values)
    return values_chart(values, says), [w for w in (key_line(values), says, shares) if w]


def _not_judged(found: "Findings") -> Content:
    in_the_list = {one.sentence for one in found.clocks}
    further = [txt(sentence) for sentence in found.answer[1:] if sentence not in in_the_list]
    by_reason: dict[str, list[str]] = {}
    for one in found.not_judged:
        by_reason.setdefault(line(one.reason), []).append(line(label_of(one.variable)))
    rows = [
        Content.assemble((f"{reason}: ", "$muted"), ", ".join(names))
        for reason, names in by_reason.items()
    ]
    head = [txt(""), txt("could not be judged", "$muted")] if rows else []
    return stacked(*further, *head, *rows)


def _nothing(found: "Findings") -> str:
    more = found.more_needed
    if not found.attempts:
        return "Nothing is judged yet. Go to Now (n) and log the first attempt."
    if more.low is None or more.high is None:
        return "No one thing stands out."
    return f"About {more.low} to {more.high} more attempts are needed. Log readings where asked."
