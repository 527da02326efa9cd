"""Seeing: a reference plate judged blind by the number pad, or kept with its known verdicts."""

from collections.abc import Mapping
from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.content import Content
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
from platebook.trade.phrases import count_of, full_day
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.words import Looking, key_of, keys_in_words, with_keys
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import Head, Headline, bar
from platebook.tui.parts.term_picture import DrawnWord, TermGallery
from platebook.tui.parts.text import line, stack, txt
from platebook.tui.parts.widgets import AskedLine, PickList, Words

WHAT = (
    "A plate whose verdicts are known: judge each position as it lies there, clean and dry, x10, "
    "one lamp. What is known is told when all of them are judged. Again once a month."
)
WAITING = "Looking for plates …"
NONE_KEPT = "No reference plate is kept yet: a keeps one."
WHO_KEEPS = (
    "Whoever knows a plate for sure (pushed, measured, looked at by two) keeps its verdicts once."
)
ONCE_MORE = "Enter once more judges the plate again."
"""Said of an Enter right after the last digit, which would put a new judging over what was told."""
JUDGE_IT = "Enter judges the one marked."
NOW_IT_IS_TIME = "It is time again: Enter judges the one marked."
NAME_IT = "What is written on the plate? Then its verdicts, position by position."
WEIGH = "how bad? 1 slight, 2 clear, 3 lost: set again."


class SeeingScreen(ListScreen[None]):
    """The plates, then one position after the other, then what came of it."""

    PLACE: ClassVar[str] = "seeing"
    DEFAULT_CSS = """
    SeeingScreen {
        #what { height: auto; padding: 1 1 0 1; color: $muted; }
        PickList { height: auto; max-height: 12; padding: 1 1 0 1; }
        #told { height: auto; padding: 1 1 0 1; }
        TermGallery { padding: 1 1 0 1; }
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
        self.just_told = False
        """Whether what came of a judging stands there, and no key was pressed since."""

    def body(self) -> ComposeResult:
        """How well the eye agrees, a line for a name, the plates or the answers, what was done."""
        yield Headline(WAITING)
        yield AskedLine("name of the plate", id="name")
        yield PickList()
        yield Words(id="told")
        yield Words(txt(WHAT), id="what")
        yield TermGallery()

    def load(self) -> None:
        """Ask for the plates."""
        self.ask(partial(self.session.call, seeing_view), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the plates."""
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
        # How many were right and when again stands in the headline.
        self.told, self.just_told = event.value.misses(), True
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
        self.keeping, self.given, self.told = event.value.strip(), {}, ()
        self.query_one(AskedLine).put_away()
        self.show()

    async def on_key(self, event: events.Key) -> None:
        """A key of the table of defects judges the position asked; a digit says how bad."""
        sign = event.character or ""
        if self._position() is None or not (sign.isdecimal() or sign in RESULT_KEYS):
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
        elif self.just_told:
            self.just_told = False
            self.told = (*self.told, ONCE_MORE)
            self.show()
        elif self.plate is None and self.view is not None and self.view.plates:
            self.plate = self.view.plates[self.query_one(PickList).marked]
            self.given, self.told = {}, ()
            self.show()

    def before_moving(self) -> None:
        """Whoever chooses a plate means to judge it."""
        self.just_told = False

    def action_add(self) -> None:
        """Keep a plate: ask for its name."""
        self.just_told = False
        if self.plate is None and not self.keeping:
            self.query_one(AskedLine).ask()
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
        name = self.query_one(AskedLine)
        if name.is_asked:
            name.put_away()
        elif self.plate is None and not self.keeping:
            self.dismiss(None)
            return
        judged = len(self.given)
        self.plate, self.keeping, self.given, self.looking = None, "", {}, Looking()
        self.tell(_left(judged) if judged else "")

    def show(self) -> None:
        """Bring all parts up to date."""
        view = self.view
        if view is None:
            return
        position = self._position()
        picks = self.query_one(PickList)
        picks.display = position is None and bool(view.plates)
        picks.rows = tuple((p.name, count_of(len(p.positions), "position")) for p in view.plates)
        picks.styles.height = len(picks.rows) + 1
        self.query_one(Headline).show(_head_of(view) if position is None else self._head(position))
        told = [txt(sentence) for sentence in self.told if sentence]
        if position is not None and self.given:
            told.append(txt(f"so far: {_verdicts(self.given)}", "$muted"))
        self.query_one("#told", Words).say(stack(*told))
        self.query_one("#what").display = position is None and not self.just_told
        unfit = set() if self.given or self.looking.result else {"rub_out"}
        # Enter judges the plate marked, and of one that is kept it ends the positions.
        enough = len(self.given) >= FEWEST if self.keeping else bool(view.plates)
        unfit |= set() if enough and self.plate is None else {"begin"}
        unfit |= set() if position is None else {"add"}
        self.offer_all_but(unfit)
        answers = DrawnWord.those_drawn("result", RESULT_KEYS.items())
        self.query_one(TermGallery).show(answers, key_of(self.looking.result))

    def _head(self, position: str) -> Head:
        """Which position, and what is asked of it."""
        return Head(txt(self._where(position)), with_keys(self._asked()))

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


def _left(judged: int) -> str:
    return f"Left: {count_of(judged, 'verdict')} {'is' if judged == 1 else 'are'} not taken down."


def _verdicts(given: Mapping[str, str]) -> str:
    """Position by position what was said of it: "3 good · 1 loose 2"."""
    return " · ".join(f"{position} {verdict}" for position, verdict in given.items())


def _head_of(view: SeeingView) -> Head:
    """How many were judged right last, and when it is time again; how to begin before that."""
    standing = view.standing
    if not view.plates:
        return Head(txt(NONE_KEPT), txt(WHO_KEEPS))
    if standing.last is None:
        return Head(txt("No reference plate judged yet."), txt(JUDGE_IT))
    last = standing.last
    when = f" on {full_day(last.began)}" if last.began else ""
    verdict = "enough" if standing.passed else "not enough yet"
    title = f"{last.right} of {last.of} judged right{when}: {verdict}."
    again = NOW_IT_IS_TIME
    if not view.due:
        again = f"Again from {full_day(standing.due)}." if standing.due else ""
    return Head(txt(title), Content.assemble(bar(last.right, last.of), f" {again}"))
