"""Seeing: a reference plate judged blind by the number pad, or kept with its known verdicts."""

from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.widgets import Input

from platebook.practice.records import Plate
from platebook.practice.results import RESULT_KEYS
from platebook.services.seeing import (
    FEWEST,
    Judged,
    PlateToSee,
    SeeingView,
    judge_plate,
    keep_reference,
    seeing_view,
)
from platebook.trade.phrases import count_of
from platebook.tui.base_screen import Answered, ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.words import Looking, keys_in_words
from platebook.tui.parts.text import line, stack, txt
from platebook.tui.parts.widgets import OrderedInput, PickList, Words

WHAT = (
    "A plate whose verdicts are known: judge each position as it lies there, clean and dry, x10, "
    "one lamp. What is known is told when all of them are judged. Again once a month."
)
NONE_KEPT = (
    "No reference plate is kept yet. Whoever knows a plate for sure (pushed, measured, looked at "
    "by two) keeps its verdicts once: a."
)
NAME_IT = "What is written on the plate? Then its verdicts, position by position."
WEIGH = "how bad? 1 slight, 2 clear, 3 lost."


class SeeingScreen(ListScreen[None]):
    """The plates, then one position after the other, then what came of it."""

    PLACE: ClassVar[str] = "seeing"
    DEFAULT_CSS = """
    SeeingScreen {
        #what { height: auto; padding: 0 1; background: $surface; }
        #name { display: none; height: 1; border: none; padding: 0 1; background: $surface; }
        #name.asked { display: block; }
        PickList { height: 8; padding: 1 1 0 1; }
        #told { height: 1fr; padding: 1 1 0 1; color: $text-warning; }
    }
    """

    class Loaded(Answered[SeeingView]):
        """The plates there are."""

    class AllJudged(Answered[Judged]):
        """A plate is judged, and its verdicts may be told."""

    class Kept(Answered[Plate]):
        """A plate is kept."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.view: SeeingView | None = None
        self.plate: PlateToSee | None = None
        self.keeping = ""
        self.given: dict[str, str] = {}
        self.looking = Looking()
        self.told: tuple[str, ...] = ()

    def body(self) -> ComposeResult:
        """What it is for, a line for a name, the plates or the position, what was done."""
        yield Words(txt(WHAT), id="what")
        yield OrderedInput(placeholder="name of the plate", compact=True, id="name")
        yield PickList()
        yield Words(id="told")

    def load(self) -> None:
        """Ask for the plates."""
        self.ask(partial(self.session.call, seeing_view), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last lines."""
        self.told = (sentence,)
        self.show()

    @on(Loaded)
    def show_plates(self, event: Loaded) -> None:
        """Show what can be judged."""
        self.view = event.value
        self.show()

    @on(AllJudged)
    def show_judged(self, event: AllJudged) -> None:
        """Tell what came of it, and what was not seen right."""
        self.plate, self.given = None, {}
        self.told = event.value.sentences()
        self.load()

    @on(Kept)
    def show_kept(self, event: Kept) -> None:
        """Say that it is kept; its verdicts are shown to nobody."""
        self.keeping, self.given = "", {}
        kept = count_of(len(event.value.positions), "position")
        self.told = (f"{event.value.name}: {kept} kept. Judge it blind in a month.",)
        self.load()

    @on(Input.Submitted, "#name")
    def begin_keeping(self, event: Input.Submitted) -> None:
        """Go on with the verdicts of the plate just named."""
        name = self.query_one("#name", Input)
        name.remove_class("asked")
        self.set_focus(None)
        self.keeping, self.given, self.told = event.value.strip(), {}, ()
        self.show()

    async def on_key(self, event: events.Key) -> None:
        """A key of the table of defects judges the position asked; a digit says how bad."""
        sign = event.character or ""
        if self._position() is None or not (sign.isdigit() or sign in RESULT_KEYS):
            return
        event.stop()
        event.prevent_default()
        self.looking = self.looking.after(sign)
        if self.looking.waits_for == "comment":
            self._give(f"{self.looking.result} {self.looking.severity}".strip())
        self.show()

    def action_begin(self) -> None:
        """Judge the plate marked; while one is kept, it has no more positions."""
        if self.keeping:
            call = partial(self.session.call, keep_reference, self.keeping, dict(self.given))
            self.ask(call, self.Kept)
        elif self.plate is None and self.view is not None and self.view.plates:
            self.plate = self.view.plates[self.query_one(PickList).marked]
            self.given, self.told = {}, ()
            self.show()

    def action_add(self) -> None:
        """Keep a plate: ask for its name."""
        if self.plate is None and not self.keeping:
            name = self.query_one("#name", Input)
            name.add_class("asked")
            name.focus()
            self.tell(NAME_IT)

    def action_rub_out(self) -> None:
        """Take the last verdict back."""
        if self.looking.result:
            self.looking = Looking()
        elif self.given:
            self.given.popitem()
        self.show()

    def action_close(self) -> None:
        """Leave the plate, nothing of it taken down; or go back."""
        if self.query_one("#name").has_class("asked"):
            self.query_one("#name").remove_class("asked")
            self.set_focus(None)
        elif self.plate is None and not self.keeping:
            self.dismiss(None)
            return
        judged = len(self.given)
        self.plate, self.keeping, self.given, self.looking = None, "", {}, Looking()
        self.tell(f"Left: {judged} verdicts are not taken down." if judged else "")

    def show(self) -> None:
        """Bring all parts up to date."""
        view = self.view
        if view is None:
            return
        picks = self.query_one(PickList)
        picks.display = self._position() is None and bool(view.plates)
        picks.rows = tuple((p.name, count_of(len(p.positions), "position")) for p in view.plates)
        lines = [txt(sentence) for sentence in self.told if sentence]
        if (position := self._position()) is not None:
            lines = [txt(self._where(position), "bold $accent"), txt(self._asked()), *lines]
        elif not self.told:
            lines = [txt(view.standing.sentence(), "$muted")]
            lines.append(txt("Enter judges it." if view.plates else NONE_KEPT))
        self.query_one("#told", Words).show(stack(*lines))

    def _position(self) -> str | None:
        """The position asked, or None."""
        if self.keeping:
            return str(len(self.given) + 1)
        if self.plate is None:
            return None
        return next((p for p in self.plate.positions if p not in self.given), None)

    def _where(self, position: str) -> str:
        if self.keeping:
            enough = " Enter: that was all." if len(self.given) >= FEWEST else ""
            return f"{line(self.keeping)}, position {position}: what is it for sure?{enough}"
        assert self.plate is not None
        place = f"{len(self.given) + 1} of {len(self.plate.positions)}"
        return f"{line(self.plate.name)}, position {position} ({place})"

    def _asked(self) -> str:
        if self.looking.result:
            return f"{line(self.looking.result)}: {WEIGH}"
        words = keys_in_words()
        return f"{words[0].upper()}{words[1:]}"

    def _give(self, verdict: str) -> None:
        """A verdict at the position asked; the last one of a plate ends it."""
        position = self._position()
        if position is None:
            return
        self.given[position] = verdict
        self.looking = Looking()
        if self.plate is not None and len(self.given) == len(self.plate.positions):
            call = partial(self.session.call, judge_plate, self.plate.name, dict(self.given))
            self.ask(call, self.AllJudged)
