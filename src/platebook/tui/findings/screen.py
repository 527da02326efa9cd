"""Findings: what went with failure, in plain words with counts, and what could not be judged."""

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content

from platebook.advice.blocks import settles, why_no_block
from platebook.advice.minding import name_of
from platebook.analysis.findings.telling.counts_in_sentences import without_counts
from platebook.analysis.findings.telling.results import ClockPattern
from platebook.analysis.findings.telling.sentences import own_sentence
from platebook.practice.reading.questions import label_of
from platebook.reports.text.analysis_text import support_line, values_line
from platebook.reports.text.figures import ALL_ATTEMPTS, FINDINGS, RETIRED
from platebook.services.findings import Asked, FindingsWithValues, findings_with_values
from platebook.services.now.choices import Chosen, settle
from platebook.services.now.minding import minded_findings
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.findings.charts import (
    USUAL_CELLS,
    beside_picture,
    clock_chart,
    clock_line,
    levels_line,
    picture_chart,
)
from platebook.tui.findings.further import COLUMN_CELLS, Entry, Further
from platebook.tui.findings.nothing_yet import not_judged_part, nothing_found, on_the_way
from platebook.tui.messages import Answered, ToNow, Unfolded
from platebook.tui.parts.headline import NARROW, NOTHING, Head, Headline
from platebook.tui.parts.plot import Chart, Plot
from platebook.tui.parts.text import MARK, line, stack, txt
from platebook.tui.parts.widgets import Words
from platebook.values import replace

if TYPE_CHECKING:
    from platebook.advice.minding import Minded
    from platebook.analysis.findings.telling.results import Finding, Findings


STYLES = {
    "claim": "bold $text-success",
    "lead": "bold $text-warning",
    "mechanism": "bold $secondary",
}
ON_ONE_SIDE = ("◔", "on one side of the rim", "bold $text-warning")
EVIDENCE = {
    "counts only": "Counts only: the log is too short to say what goes with failure.",
    "leads": "The log is long enough for what is worth watching, not yet for more.",
    "claims": "The log is long enough to tell what is well supported from what is worth watching.",
}
PAGE = 8
WAITING = "Looking through the log …"
FOLDED = "m: how it was judged"
LOOK_AT = "Worth watching: look at posture, light and how the plate is turned (common practice)."
LOW = 28
"""Below so many lines the headline is kept short for the picture (judgement)."""
NOT_ON_THE_RIM = "No block settles a place on the rim: look at posture, light and the plate."


class FindingsScreen(BenchScreen[None]):
    """The list on the left, the one in focus with its plot on the right."""

    PLACE: ClassVar[str] = "findings"
    OF_A_SETTER = True
    DEFAULT_CSS = """
    FindingsScreen {
        #told { height: auto; padding: 0 1; color: $text-warning; display: none; }
        #list { width: 30; height: 1fr; padding: 0 0 0 1; border-right: solid $rule;
                scrollbar-size-vertical: 1; }
        #list > Words { height: auto; margin: 0 0 1 0; padding: 0 1 0 0; }
        #one { width: 1fr; height: 1fr; padding: 0 0 0 1; scrollbar-size-vertical: 1; }
        #one > Words { height: auto; padding: 0 1 0 0; }
        #one > Plot { height: 11; margin: 0 1 0 0; }
        #one > Further { padding: 0 1 0 0; }
        &.-narrow {
            #both { layout: vertical; }
            #list { width: 100%; height: auto; max-height: 5; border: none; }
            #list > #rests-on, #list > #not-judged { display: none; }
        }
        &.-wide #list { width: 38; }
        &.-teaches #both { display: none; }
    }
    """
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (70, "-usual"), (110, "-wide")]  # noqa: RUF012 - as Textual has it

    class Found(Answered[FindingsWithValues]):
        """The findings, with the values behind each."""

    class MindedFound(Answered["tuple[Minded, ...]"]):
        """What to mind of each finding that holds."""

    class Settled(Answered[Chosen]):
        """The block that is laid out to settle a lead."""

    def __init__(self, session: BenchSession, *, method: bool = False) -> None:
        super().__init__(session)
        self.answer: FindingsWithValues | None = None
        self.minded: Mapping[str, Minded] = {}
        """By the name of its finding."""
        self.chosen = 0
        self.everything, self.method = False, method

    def body(self) -> ComposeResult:
        """The one in focus as the headline, all of them in a list, and its picture."""
        yield Headline(WAITING)
        yield Words(id="told")
        with Horizontal(id="both"):
            with VerticalScroll(id="list", can_focus=False):
                yield Words(id="leads")
                yield Words(id="rests-on")
                yield Words(id="not-judged")
            with VerticalScroll(id="one", can_focus=False):
                yield Plot()
                yield Words(id="words")
                yield Words(id="counts")
                yield Further()

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        if self.told_to_a_teacher():
            return
        asked = Asked(everything=self.everything)
        call = partial(self.session.call, findings_with_values, asked=asked)
        self.ask(call, self.Found, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the headline."""
        self.query_one("#told", Words).say(txt(sentence))

    @on(Found)
    def show_findings(self, event: Found) -> None:
        """Show the findings, the best one in focus."""
        self.answer, self.chosen = event.value, 0
        self.tell("")
        self.show()
        # Asked after the findings, which are kept by then: the screen does not wait for advice.
        self.ask(partial(self.session.call, minded_findings), self.MindedFound, newest_only=True)

    @on(MindedFound)
    def show_minded(self, event: MindedFound) -> None:
        """What to mind stands under the headline of the finding it is of."""
        self.minded = {line.name: line for line in event.value}
        self.show()

    @property
    def findings(self) -> "Findings | None":
        """The findings shown; None before they are there."""
        return self.answer.findings if self.answer is not None else None

    def action_everything(self) -> None:
        """All attempts in the place of the latest, or the latest again."""
        self.everything = not self.everything
        self.load()

    def action_method(self) -> None:
        """Unfold how it was judged, or fold it away; it stays so."""
        self.method = not self.method
        self.post_message(Unfolded(method=self.method))
        self.show()

    def action_move(self, by: int) -> None:
        """The next or the one before."""
        if entries := self.entries():
            self.chosen = min(max(self.chosen + by, 0), len(entries) - 1)
            self.show()

    def action_settle(self) -> None:
        """Lay out a block that settles the lead in focus."""
        entries = self.entries()
        if not entries:
            return
        entry = entries[self.chosen]
        why = _why_no_block(entry)
        if why or isinstance(entry, ClockPattern):
            self.tell(why)
            return
        call = partial(self.session.call, settle, entry.variable, entry.defect)
        self.ask(call, self.Settled)

    @on(Settled)
    def go_to_now(self, event: Settled) -> None:
        """Say it on Now, where it is done."""
        self.post_message(ToNow(event.value.words))

    def action_page(self, by: int) -> None:
        """Show more of both columns, where they do not fit."""
        for column in ("#list", "#one"):
            self.query_one(column).scroll_relative(y=by * PAGE, animate=False)

    def show(self) -> None:
        """Bring all parts up to date."""
        answer, findings = self.answer, self.findings
        if answer is None or findings is None:
            return
        entries = self.entries()
        low = self.size.height < LOW
        words, chart, beside = self._in_focus(answer) if entries else (Content(""), None, [])
        drawn = chart is not None and not self.method
        head = _head_of(entries[self.chosen] if entries else None, findings, low=low, drawn=drawn)
        if entries:
            head = replace(head, mind=self._mind(entries[self.chosen]))
        self.query_one(Headline).show(head)
        self.query_one("#leads", Words).say(self._leads(entries))
        self._update("rests-on", stack(*self._rests_on(findings)))
        unfolds = bool(entries or findings.not_judged)
        self._update("not-judged", txt(FOLDED if unfolds and not self.method else "", "$muted"))
        if not entries and findings.evidence == "counts only":
            words = on_the_way(findings)
        if self.method:
            # Where nothing is found the headline says it already.
            said = [txt(EVIDENCE[findings.evidence])] if entries else []
            said += [txt(why)] if entries and (why := _why_no_block(entries[self.chosen])) else []
            words = stack(words, *said, txt(""), not_judged_part(findings))
        self._update("words", words)
        self._update("counts", stack(*(txt(sentence, "$muted") for sentence in beside)))
        unfit = {
            *(() if entries and not _why_no_block(entries[self.chosen]) else ("settle",)),
            *(() if findings.attempts else ("everything",)),
            *(() if unfolds else ("method",)),
        }
        self.offer_all_but(unfit)
        plot = self.query_one(Plot)
        plot.chart, plot.display = chart, drawn
        self.call_after_refresh(self._show_further)

    def on_resize(self) -> None:
        """There is room for more of the list with pictures, or for less."""
        self.show()

    def _show_further(self) -> None:
        """The ones that follow the one in focus, as far as the window has room under it."""
        one, entries = self.query_one("#one"), self.entries()
        own = (w for w in one.children if w.display and not isinstance(w, Further))
        left = 0 if self.method else one.size.height - sum(w.outer_size.height for w in own)
        places = (n % len(entries) for n in range(self.chosen + 1, self.chosen + len(entries)))
        further = (self._further(place, self._cells()) for place in places)
        self.query_one(Further).show(further, lines=left, cells=self._cells())

    def _cells(self) -> int:
        """How wide a picture of the right column can be: one cell keeps it off the scrollbar."""
        return max(self.query_one("#one").size.width - 1, 0)

    def _further(self, place: int, cells: int) -> Entry:
        entry = self.entries()[place]
        (sign, _, style), _ = _head(entry)
        sentence, over = (
            Content.assemble((f"{sign} ", style), line(_said(entry, drawn=drawn)))
            for drawn in (False, True)
        )
        if isinstance(entry, ClockPattern):
            return Entry(sentence, over, clock_chart(entry))
        pictures = self.answer.pictures if self.answer is not None else ()
        half = cells // 2 if cells >= 2 * COLUMN_CELLS else cells
        chart = picture_chart(pictures[place], half) if place < len(pictures) else None
        return Entry(sentence, over, chart)

    def _mind(self, entry: "Finding | ClockPattern") -> Content:
        """What Now says to mind of this finding; nothing where it says nothing."""
        if isinstance(entry, ClockPattern) or entry.retired is not None:
            return NOTHING
        mind = self.minded.get(name_of(entry))
        return txt(f"{FINDINGS[mind.status].drawn} {mind.brief}") if mind is not None else NOTHING

    def _rests_on(self, findings: "Findings") -> list[Content]:
        """How many attempts this is read from, when it is judged again, and answers of blocks."""
        in_the_list = {pattern.sentence for pattern in findings.clocks}
        counted = [sentence for sentence in findings.answer if sentence not in in_the_list]
        window = [ALL_ATTEMPTS] if self.everything else []
        return [*self._other_trials(), *(txt(said, "$muted") for said in (*window, *counted))]

    def entries(self) -> tuple["Finding | ClockPattern", ...]:
        """What can be put in focus: what holds and what does not any more, then the rim."""
        findings = self.findings
        if findings is None:
            return ()
        return (*findings.findings, *findings.retired, *findings.clocks)

    def _in_focus(self, answer: FindingsWithValues) -> tuple[Content, Chart | None, list[str]]:
        """The one in focus: what is said beside its headline, its picture, the same in words."""
        entry = self.entries()[self.chosen]
        if isinstance(entry, ClockPattern):
            return txt(LOOK_AT, "$muted"), clock_chart(entry), [clock_line(entry)]
        own = [t.sentence for t in answer.trials if settles(t.variable, t.defect, entry)]
        moved = entry.shifts if entry.headline != entry.sentence else ()
        measured = [own_sentence(shift.sentence) for shift in moved]
        drawn = self.chosen < len(answer.pictures) and not self.method
        unsteady = [entry.not_steady] if entry.not_steady is not None else []
        unsteady = [without_counts(said) if drawn else said for said in unsteady]
        notes = entry.notes if self.method and entry.retired is None else unsteady
        quiet = (txt(note, "$muted") for note in (*measured, *notes))
        support = support_line(entry) if self.size.height < LOW and entry.retired is None else ""
        much = [txt(f"{support[:1].upper()}{support[1:]}")] if support else []
        words = stack(*much, *(txt(s, "bold") for s in own), *quiet)
        if self.chosen >= len(answer.pictures):
            return words, None, []
        picture = answer.pictures[self.chosen]
        raw = answer.values[self.chosen] if self.chosen < len(answer.values) else None
        chart = picture_chart(picture, self._cells() or USUAL_CELLS)
        if not drawn:
            return words, chart, [levels_line(picture), *([values_line(raw)] if raw else [])]
        # The picture has the counts, and of a choice all that its values are.
        values = [values_line(raw)] if raw is not None and not raw.names else []
        return words, chart, [beside_picture(picture), *values]

    def _other_trials(self) -> list[Content]:
        """The answers of blocks whose lead stands in the list no more."""
        if self.answer is None:
            return []
        known = (*self.answer.findings.findings, *self.answer.findings.retired)
        left = (
            t
            for t in self.answer.trials
            if not any(settles(t.variable, t.defect, f) for f in known)
        )
        return [txt(f"{label_of(t.variable)}: {t.sentence}", "bold") for t in left]

    def _leads(self, entries: tuple["Finding | ClockPattern", ...]) -> Content:
        return stack(*(self._lead(place, entry) for place, entry in enumerate(entries)))

    def _lead(self, place: int, entry: "Finding | ClockPattern") -> Content:
        (sign, word, style), about = _head(entry)
        mark = MARK if place == self.chosen else " "
        name = f"{_defect(entry.defect)}: {about}"
        below = f"\n   {word}" if self.size.width >= NARROW else ""
        bold = "bold" if place == self.chosen else ""
        return Content.assemble(
            (mark, "bold $accent"), (f"{sign} ", style), (line(name), bold), below
        )

    def _update(self, part: str, content: Content) -> None:
        self.query_one(f"#{part}", Words).show(content)


def _defect(defect: str) -> str:
    return "failure" if defect == "any" else defect


def _head(entry: "Finding | ClockPattern") -> tuple[tuple[str, str, str], str]:
    """Sign, word and style of an entry, and what it is about."""
    if isinstance(entry, ClockPattern):
        return ON_ONE_SIDE, f"{entry.first} to {entry.last} o'clock"
    return _status(entry), label_of(entry.variable)


def _status(finding: "Finding") -> tuple[str, str, str]:
    """Sign, word and style of how sure a finding is, or that it holds no longer."""
    if finding.retired is not None:
        return RETIRED.drawn, RETIRED.words, "$muted"
    sign = FINDINGS[finding.status]
    return sign.drawn, sign.words, STYLES[finding.status]


def _head_of(
    entry: "Finding | ClockPattern | None",
    findings: "Findings",
    *,
    low: bool = False,
    drawn: bool = False,
) -> Head:
    """The sentence of the one in focus with how sure it is; what is missing where there is none.

    In a low window how much it makes is said under the picture, which needs the lines. Where it is
    `drawn` its counts stand in the picture.
    """
    if entry is None:
        return Head(txt(nothing_found(findings)), txt(EVIDENCE[findings.evidence]))
    (sign, word, style), _ = _head(entry)
    if isinstance(entry, ClockPattern):
        return Head(txt(entry.sentence), Content.assemble((f"{sign} {word}", style)))
    if entry.retired is not None:
        # The sentence itself says that it is no longer so.
        return Head(txt(_said(entry)), txt(f"{sign} {entry.retired.sentence}"))
    support = "" if low else support_line(entry)
    sure = Content.assemble((f"{sign} {word}", style), f": {support}" if support else "")
    return Head(txt(_said(entry, drawn=drawn)), sure)


def _why_no_block(entry: "Finding | ClockPattern") -> str:
    """Why no block settles this, whatever lies in the drawer; empty where one may."""
    if isinstance(entry, ClockPattern):
        return NOT_ON_THE_RIM
    return why_no_block(entry.variable, entry.defect)


def _said(entry: "Finding | ClockPattern", *, drawn: bool = False) -> str:
    """The entry in one sentence; what was measured beside a finding stands below it.

    Where it is `drawn` without its counts; what holds no longer keeps them, of both times.
    """
    if isinstance(entry, ClockPattern):
        return entry.sentence
    said = entry.headline or entry.sentence
    return without_counts(said) if drawn and entry.retired is None else said
