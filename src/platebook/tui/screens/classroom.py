"""Class: a line a setter, and the queue of what to look at first, judged by the number pad."""

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.worker import Worker

from platebook.practice.look import GOOD, RESULT_KEYS, SEVERITIES
from platebook.tui.frame import BenchScreen, Progressed
from platebook.tui.text import line, stacked, txt
from platebook.tui.widgets.long_bar import LongBar
from platebook.tui.widgets.pick_list import PickList
from platebook.tui.widgets.words import Words

if TYPE_CHECKING:
    from platebook.advice.standing import QueueRow, Standing
    from platebook.services.classroom import Inspected
    from platebook.tui.services import Services

WAITING = "Reading the class …"
STOPPED = "Stopped; what is read so far is kept. k reads on."
NOBODY = "Nobody is in the class yet: b adds people, platebook setter edit puts them in a group."
EMPTY = "Nothing waits to be looked at."
JUDGE = "Look first, then a digit: 0 good, 1 loose, 2 high, 3 low, 4 tilted, 5 chipped, 6 marred, …"
WEIGH = "How bad? 1 slight, 2 clear, 3 lost. Esc takes the digit back."


class ClassScreen(BenchScreen[None]):
    """The list on the left, the one marked on the right; i changes between class and queue."""

    PLACE: ClassVar[str] = "class"
    TITLE_TEXT: ClassVar[str] = "Class"
    DEFAULT_CSS = """
    ClassScreen {
        #topic { height: auto; padding: 0 1; background: $surface; }
        PickList { width: 1fr; padding: 0 1; border-right: solid $rule; }
        #one { width: 34; height: 1fr; padding: 0 1; }
        #one > Words { height: auto; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    class Loaded(Message):
        """The class and its queue."""

        def __init__(self, found: "tuple[tuple[Standing, ...], tuple[QueueRow, ...]]") -> None:
            super().__init__()
            self.standings, self.queue = found

    class WhatAllShare(Message):
        """What goes with failure across the class is asked for."""

    class Looked(Message):
        """A look is recorded, and the setter's own verdict may be told."""

        def __init__(self, done: "Inspected") -> None:
            super().__init__()
            self.done = done

    class TakenBack(Message):
        """What undo did."""

        def __init__(self, sentence: str) -> None:
            super().__init__()
            self.sentence = sentence

    def __init__(self, services: "Services") -> None:
        super().__init__(services)
        self.reading: Worker[None] | None = None
        self.standings: tuple[Standing, ...] | None = None
        self.queue: tuple[QueueRow, ...] = ()
        self.inspecting = False
        self.result = ""
        self.sentence = ""

    def body(self) -> ComposeResult:
        """One topic for all, the list, the one marked, what was done."""
        yield Words(txt(WAITING), id="topic")
        yield LongBar()
        with Horizontal():
            yield PickList()
            one = VerticalScroll(id="one")
            one.can_focus = False
            with one:
                yield Words(id="words")
        yield Words(id="told")

    def on_mount(self) -> None:
        """Ask for the class."""
        super().on_mount()
        self.load()

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        self.reading = self.ask_long(self.services.class_now, self.Loaded)

    @on(Progressed)
    def show_progress(self, event: Progressed) -> None:
        """Show how far the reading is, unless it is over by now."""
        if self.reading is not None and self.reading.is_running:
            self.query_one(LongBar).show(event.done, event.of)

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last line."""
        self.sentence = sentence
        self.show()

    @on(Loaded)
    def show_class(self, event: Loaded) -> None:
        """Show the class, or the queue."""
        self.standings, self.queue = event.standings, event.queue
        self.query_one(LongBar).hide()
        self.show()

    @on(Looked)
    def show_looked(self, event: Looked) -> None:
        """Tell both verdicts, and go on to what is due next."""
        done = event.done
        mine = " + ".join(done.inspection.result or ())
        theirs = " + ".join(done.own_result) or "not judged"
        self.sentence = f"Yours: {mine}. {line(done.setter)}'s own: {theirs}."
        self.result = ""
        self.load()

    @on(TakenBack)
    def show_taken_back(self, event: TakenBack) -> None:
        """Say what was taken back, and read again."""
        self.sentence = event.sentence
        self.load()

    @on(PickList.Marked)
    def show_one(self) -> None:
        """What is known of the one marked."""
        place = self.query_one(PickList).marked
        if self.inspecting and self.queue:
            self.query_one("#words", Words).show(_due(self.queue[min(place, len(self.queue) - 1)]))
        elif not self.inspecting and self.standings:
            self.query_one("#words", Words).show(_standing(self.standings[place]))
        else:
            self.query_one("#words", Words).show(txt(""))

    async def on_key(self, event: events.Key) -> None:
        """A digit judges the attempt marked in the queue; a second one says how bad."""
        digit = event.character or ""
        row = self._marked()
        if not self.inspecting or not digit.isdigit() or row is None:
            return
        event.stop()
        event.prevent_default()
        if self.result:
            if int(digit) in SEVERITIES:
                self._look(row.attempt_id, self.result, digit)
            return
        result = RESULT_KEYS[digit]
        if result == GOOD:
            self._look(row.attempt_id, result, "")
        else:
            self.result = result
            self.show()

    def action_inspect(self) -> None:
        """Change between the class and the queue."""
        self.inspecting, self.result, self.sentence = not self.inspecting, "", ""
        self.query_one(PickList).marked = 0
        self.show()

    def action_clear(self) -> None:
        """Stop the reading, take a digit back, or go back to the class."""
        if self.reading is not None and self.reading.is_running:
            self.reading.cancel()
            self.query_one(LongBar).hide()
            self.query_one("#topic", Words).show(txt(STOPPED))
        elif self.result:
            self.result = ""
            self.show()
        elif self.inspecting:
            self.action_inspect()

    def action_shared(self) -> None:
        """See what goes with failure across the class."""
        self.post_message(self.WhatAllShare())

    def action_undo(self) -> None:
        """Take the last look back."""
        self.ask(self.services.undo, self.TakenBack)

    def action_move(self, by: int) -> None:
        """A row up or down; a digit not weighed yet is taken back."""
        self.result = ""
        self.query_one(PickList).move(by)
        self._show_told()

    def show(self) -> None:
        """Bring all parts up to date."""
        if self.standings is None:
            return
        from platebook.advice.standing import topic

        said = topic(self.standings) or "No one thing stands out in this class."
        heading = "What to look at first" if self.inspecting else said
        self.query_one("#topic", Words).show(txt(heading, "bold"))
        picks = self.query_one(PickList)
        if self.inspecting:
            picks.rows = tuple((f"{r.setter}: {r.sentence}", "") for r in self.queue)
        else:
            picks.rows = tuple((s.name, f"{s.signs or '-':>8}") for s in self.standings)
        picks.mark(picks.marked)
        self._show_told()

    def _show_told(self) -> None:
        told = self.sentence
        if self.inspecting:
            told = f"{line(self.result)}: {WEIGH}" if self.result else (told or JUDGE)
            told = told if self.queue else (self.sentence or EMPTY)
        elif not self.standings:
            told = NOBODY
        self.query_one("#told", Words).show(txt(told))

    def _look(self, attempt_id: str, result: str, severity: str) -> None:
        self.result = ""
        self.ask(partial(self.services.look_at, attempt_id, result, severity), self.Looked)

    def _marked(self) -> "QueueRow | None":
        place = self.query_one(PickList).marked
        return self.queue[place] if self.inspecting and place < len(self.queue) else None


def _standing(one: "Standing") -> Content:
    parts = [txt(one.name, "bold $accent")]
    if not one.attempts:
        return stacked(*parts, txt("Nothing logged yet."))
    where = f"{one.grade}: {one.state}" if one.grade else "no grade yet"
    parts.append(txt(where))
    if one.state == "working":
        parts.append(txt(f"{one.good_to_go} good ones to go"))
    if one.lately is not None and one.lately_low is not None and one.lately_high is not None:
        band = f"{100 * one.lately_low:.0f} to {100 * one.lately_high:.0f} %"
        parts.append(txt(f"lately {100 * one.lately:.0f} % good ({band})"))
    if one.defect:
        at = f" at {one.clock} o'clock" if one.clock is not None else ""
        parts.append(txt(f"mostly {one.defect}{at}"))
    parts.append(txt(f"eye: {one.eye}"))
    days = "" if one.days_since is None else f", last {one.days_since} days ago"
    return stacked(*parts, txt(f"{one.attempts} attempts{days}", "$muted"))


def _due(row: "QueueRow") -> Content:
    where = f"plate {row.plate}, position {row.position}" if row.plate else "no plate noted"
    drawn = (
        [txt("drawn at random: counts for the agreement of eyes", "$muted")] if row.drawn else []
    )
    return stacked(
        txt(row.setter, "bold $accent"),
        txt(where, "bold"),
        txt(row.grade),
        txt(row.sentence),
        *drawn,
        txt("Their own verdict is told when yours is in.", "$muted"),
    )
