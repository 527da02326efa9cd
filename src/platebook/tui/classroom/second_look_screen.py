"""A second look of one's own: three positions of the last day, judged again by the number pad."""

from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult

from platebook.practice.results import RESULT_KEYS
from platebook.reports.text.figures import place_on_plate
from platebook.services.attempts.recording import undo
from platebook.services.classes.inspections import Inspected
from platebook.services.classes.second_look import SecondLook, judge_again, second_look
from platebook.trade.phrases import count_of
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.words import Looking, key_of, keys_in_words, with_keys
from platebook.tui.messages import Answered, Done
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.term_picture import DrawnWord, TermGallery
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import PickList, Words

WAITING = "Drawing from your last day …"
WHAT = (
    "Drawn at random from your last day of practice. Judge as if somebody else had set what you "
    "see: the first verdict is told only when the second one is in."
)
NOTHING_TO_UNDO = "Nothing was judged again here yet."
NOTHING = "Nothing to judge again today: come back the day after you practised."


class SecondLookScreen(ListScreen[None]):
    """The positions, and how far both looks agree so far."""

    PLACE: ClassVar[str] = "second look"
    DEFAULT_CSS = """
    SecondLookScreen {
        PickList { height: auto; max-height: 6; padding: 1 1 0 1; }
        #told { height: auto; padding: 1 1 0 1; color: $text-warning; }
        TermGallery { padding: 1 1 0 1; }
    }
    """

    class Loaded(Answered[SecondLook]):
        """The positions that wait."""

    class Judged(Answered[Inspected]):
        """A second verdict is in."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.waiting: SecondLook | None = None
        self.looking = Looking()
        self.sentence = ""
        self.judged = 0
        """Verdicts of this window that stand: u takes these back, and nothing from before it."""

    def body(self) -> ComposeResult:
        """What it is for, the positions, what was done and is asked, the answers drawn."""
        yield Headline(WAITING)
        yield PickList()
        yield Words(id="told")
        yield TermGallery()

    def load(self) -> None:
        """Ask again."""
        self.ask(partial(self.session.call, second_look), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the positions."""
        self.sentence = sentence
        self.show()

    @on(Loaded)
    def show_positions(self, event: Loaded) -> None:
        """Show what waits."""
        self.waiting = event.value
        self.show()

    @on(Judged)
    def show_judged(self, event: Judged) -> None:
        """Tell both verdicts, and go on."""
        now = " + ".join(event.value.inspection.result or ())
        first = " + ".join(event.value.own_result) or "not judged"
        self.judged += 1
        self.sentence = f"Now: {now}. The first time: {first}."
        self.load()

    @on(Done)
    def show_taken_back(self, event: Done) -> None:
        """Say what was taken back, and read again."""
        self.judged -= 1
        self.sentence = event.value
        self.load()

    async def on_key(self, event: events.Key) -> None:
        """A key of the table of defects judges the position marked; a digit says how bad."""
        sign, rows = event.character or "", self.waiting.rows if self.waiting is not None else ()
        if not (sign.isdecimal() or sign in RESULT_KEYS) or not rows:
            return
        event.stop()
        event.prevent_default()
        look = self.looking.after(sign)
        if look.waits_for != "comment":
            self.looking = look
            self.show()
            return
        self.looking = Looking()
        attempt_id = rows[self.query_one(PickList).marked].attempt_id
        call = partial(self.session.call, judge_again, attempt_id, look.result, look.severity)
        self.ask(call, self.Judged)

    def action_close(self) -> None:
        """Take a digit back, or go back."""
        if self.looking.result:
            self.looking = Looking()
            self.show()
        else:
            self.dismiss(None)

    def action_undo(self) -> None:
        """Take the last verdict back."""
        if not self.judged:
            self.tell(NOTHING_TO_UNDO)
            return
        self.ask(partial(self.session.call, undo), Done)

    def before_moving(self) -> None:
        """A digit not weighed yet is taken back."""
        self.looking = Looking()

    def after_moving(self) -> None:
        """Show the attempt that is marked now."""
        self.show()

    def show(self) -> None:
        """Bring all parts up to date."""
        if self.waiting is None:
            return
        picks = self.query_one(PickList)
        picks.rows = tuple(
            (place_on_plate(row.plate, row.position), row.grade_title) for row in self.waiting.rows
        )
        picks.styles.height = len(picks.rows) + 1
        picks.display = bool(picks.rows)
        picks.mark(picks.marked)
        answers = DrawnWord.those_drawn("result", RESULT_KEYS.items()) if picks.rows else ()
        self.query_one(TermGallery).show(answers, key_of(self.looking.result))
        judge = keys_in_words()
        weighing = bool(self.looking.result)
        asked = self.looking.prompt() if weighing else f"{judge[0].upper()}{judge[1:]}"
        sentences = [self.sentence] if self.sentence and not weighing else []
        sentences += [asked] if self.waiting.rows else []
        self.offer_all_but(() if self.judged else ("undo",))
        self.query_one(Headline).show(second_look_head(self.waiting))
        self.query_one("#told", Words).say(stack(*map(with_keys, sentences)))


def second_look_head(waiting: SecondLook) -> Head:
    """How many are to be judged again, how, and how far both looks agree so far."""
    left, agreement = len(waiting.rows), txt(waiting.agreement, "$muted")
    if not left:
        return Head(txt(NOTHING), txt(WHAT, "$muted"), agreement)
    title = f"Judge {count_of(left, 'setting')} of yours again"
    return Head(txt(title), txt(WHAT, "$muted"), agreement, str(left), "to judge")
