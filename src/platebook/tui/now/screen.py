"""Now: who is at the bench, what comes next and why, the sizes, the seat and the plate."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message

from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import ways_elsewhere
from platebook.tui.messages import Answered, Done, ToSeeing
from platebook.tui.now.begin_screen import Begin, BeginScreen
from platebook.tui.now.draft_screen import Draft
from platebook.tui.now.start_keys import foot_at_first, foot_with_digits, foot_with_draft
from platebook.tui.now.words import WORD_PARTS, parts_of
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.plate_grid import PlateGrid
from platebook.tui.parts.seat_picture import SeatPicture
from platebook.tui.parts.set_up_table import SetUpTable, left_out, set_up_for
from platebook.tui.parts.text import line, stack, txt
from platebook.tui.parts.widgets import KeyLine, TitleLine, Words
from platebook.tui.running.first_paint import FirstSight, Sight
from platebook.tui.running.garbage import set_aside_what_is_loaded

if TYPE_CHECKING:
    from platebook.services.now.minding import Minding
    from platebook.services.now.now_view import NowView


PAGE = 8
BROAD, TALL = 160, 45
PARTS = (*Head.PARTS, *WORD_PARTS, "sizes")
"""What a first sight keeps, by name."""
MAY_BE_EMPTY = ("steps", "sizes")
"""Parts that take no line where nothing is in them."""
NO_EVENING = "Nothing is judged yet."
TEACHES = "{name} teaches: k is the class, b changes who is at the bench."
AT_HAND = (
    ("k", "the class: whose work to look at first, and why"),
    ("S", "share: takes in what they did, hands your looks on"),
    ("l", "the log of everybody"),
    ("c", "the course: its grades and exercises"),
    ("b", "who is at the bench; one who also sets has exercises of their own"),
    ("V", "what others wrote to you"),
)
"""What there is for a teacher to do, by key."""
OPENING = "Opening the logbook …"


class NowScreen(BeginScreen):
    """The first screen. It paints before the logbook is open and is filled by a worker."""

    DEFAULT_CSS = """
    NowScreen {
        #told { height: auto; padding: 0 1; background: $surface; color: $text-warning; }
        #news { height: auto; padding: 0 1; background: $surface; color: $accent; display: none; }
        #words { width: 1fr; height: 1fr; padding: 0 0 0 1; scrollbar-size-vertical: 1; }
        #words > Words { height: auto; margin: 0 0 1 0; padding: 0 1 0 0; }
        #bench { width: 38; height: 1fr; padding: 0 1; border-left: solid $rule; }
        #sizes { height: auto; }
    }
    NowScreen.-slim #room { layout: vertical; }
    NowScreen.-slim #bench { width: 1fr; border-left: none; border-top: solid $rule; }
    NowScreen.-wide #bench { width: 56; }
    NowScreen.-broad #bench { width: 88; }
    """
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - as Textual has it
        (0, "-slim"),
        (70, "-narrow"),
        (110, "-wide"),
        (160, "-broad"),
    ]

    class Loaded(Message):
        """The next exercise, a draft that was left behind, and which look this answers.

        `waiting` are the names of others whose drafts wait for them. `mark` is what the first sight
        rests on, taken before the logbook was asked.
        """

        def __init__(
            self, value: "tuple[NowView, Draft | None, tuple[str, ...], str]", look: int
        ) -> None:
            super().__init__()
            self.view, self.draft, self.waiting, self.mark = value
            self.look = look

    class MindingFound(Answered["Minding"]):
        """What the findings say today."""

    class NewsFound(Answered[str]):
        """What others saw and wrote since it was last read, in a sentence."""

    class LookAgain(Message):
        """A second look is wanted."""

    class Remembered(Answered[None]):
        """What is unfolded is remembered."""

    def __init__(
        self,
        session: BenchSession,
        begin: Begin,
        sight: FirstSight | None = None,
        hold: Callable[[], None] = lambda: None,
    ) -> None:
        super().__init__(session, begin, hold)
        self.sight = sight
        self.looks = 0
        self.steps: bool | None = None
        self.minding: Minding | None = None
        self.news = ""
        self.mark = ""

    def body(self) -> ComposeResult:
        """Words on the left, the bench on the right."""
        yield Headline()
        yield Words(txt(OPENING), id="told")
        yield Words(id="news")
        with Horizontal(id="room"):
            with VerticalScroll(id="words", can_focus=False):
                for part in WORD_PARTS:
                    yield Words(id=part)
            with Vertical(id="bench"):
                yield SetUpTable()
                yield SeatPicture()
                yield PlateGrid()

    def on_resize(self) -> None:
        """In a large window the plate's holes are drawn large."""
        self.query_one(PlateGrid).large = self.size.width >= BROAD and self.size.height >= TALL

    def start(self) -> None:
        """Show what was last shown, where that still holds."""
        last = self.sight.last() if self.sight is not None else None
        if last is not None and last.parts.keys() == set(PARTS):
            title = self.query_one(TitleLine)
            title.who, title.invented = last.who, last.invented
            self._show_parts(last.parts)
        self.query_one(KeyLine).commands = foot_at_first(self.PLACE)

    def load(self) -> None:
        """Ask for the next exercise; what is shown stands until the answer comes."""
        self.current = False
        self.looks += 1
        if self.session.teaching:
            self._show_no_exercise()
            return
        session, sight, look_for_draft = self.session, self.sight, self.draft is None

        def all_of_it() -> "tuple[NowView, Draft | None, tuple[str, ...], str]":
            from platebook.services.now.now_view import now

            mark = sight.mark() if sight is not None else ""
            view, drafts = session.call(now), session.drafts()
            draft = drafts.load() if look_for_draft else None
            if draft is not None:
                from platebook.services.attempts.log import attempts_with_ids
                from platebook.tui.entry.unsaved import ids_to_save, unsaved_part

                ids = ids_to_save(draft)
                standing = session.call(attempts_with_ids, ids) if ids else ()
                found, draft = draft, unsaved_part(draft, {str(a.attempt_id) for a in standing})
                if draft is None:
                    drafts.clear()
                elif draft is not found:
                    drafts.save(draft)
            return view, draft, drafts.waiting_for_others(), mark

        self.ask(all_of_it, partial(self.Loaded, look=self.looks))

    def _show_no_exercise(self) -> None:
        """A teacher has none: say so, and where the class is."""
        self.view, self.minding, self.wanted = None, None, []
        if self.looks == 1:
            self.call_after_refresh(set_aside_what_is_loaded, self.app)
        self.post_message(self.TypedOn())
        teaches = TEACHES.format(name=line(self.session.setter))
        keys = (Content.assemble((f"{key}  ", "bold $accent"), says) for key, says in AT_HAND)
        parts = {"title": txt(teaches), "exercise": stack(*keys)}
        self._show_parts({**dict.fromkeys(PARTS, txt("")), **parts})
        self.query_one(SeatPicture).sizes = None
        self.query_one(PlateGrid).plate = None
        self.query_one("#bench").display = False
        self.query_one(KeyLine).commands = ways_elsewhere(self.PLACE)
        self.show_title()
        self._show_told()

    def tell(self, sentence: str) -> None:
        """Say one sentence in the first line."""
        self.sentence = sentence
        self.show()
        self._show_told()

    @on(Loaded)
    def show_view(self, event: Loaded) -> None:
        """Show the next exercise; a draft is taken from every answer, the view from the newest."""
        self.draft = self.draft or event.draft
        if event.look != self.looks:
            return
        self.waiting = event.waiting
        if self.view is None or self.view.setter != event.view.setter:
            self.minding = None
        if self.view is None:
            self.call_after_refresh(set_aside_what_is_loaded, self.app)
        self.view = event.view
        self.current = True
        self.show_title()
        self.show()
        self.mark = event.mark
        self.begin_wanted()
        # News and findings may take a while of the processor: what is shown is painted before them,
        # which the screen knows only of a layout that it was asked for itself.
        self.refresh(layout=True)
        self.call_after_refresh(self._keep_sight)
        self.call_after_refresh(self.ask, self._news, self.NewsFound, newest_only=True)
        if event.view.attempts:
            self.call_after_refresh(self.ask, self._mind, self.MindingFound, newest_only=True)

    @on(MindingFound)
    def show_minding(self, event: MindingFound) -> None:
        """Show what the findings say today."""
        if self.minding is None:
            # What the findings are worked out with is loaded by now as well.
            self.call_after_refresh(set_aside_what_is_loaded, self.app)
        self.minding = event.value
        if self.view is not None:
            self.show()
            self._keep_sight()

    @on(NewsFound)
    def show_news(self, event: NewsFound) -> None:
        """Say whose looks and words came, until they are read."""
        self.news = event.value
        self.query_one("#news", Words).say(txt(self.news))

    def news_is_read(self) -> None:
        """The line goes."""
        self.show_news(self.NewsFound(""))

    def _news(self) -> str:
        from platebook.services.from_others import news

        return self.session.call(news)

    def _mind(self) -> "Minding":
        from platebook.services.now.minding import mind_today

        return self.session.call(mind_today)

    def _keep_sight(self) -> None:
        view = self.view
        if self.sight is not None and view is not None:
            who, invented = self.session.setter, self.session.invented
            self.sight.keep(Sight(who, invented, self._parts(view, unfinished=None)), self.mark)

    def show(self) -> None:
        """Bring all parts up to date with what is known."""
        view = self.view
        if view is None:
            return
        self._show_parts(self._parts(view, unfinished=self.draft is not None))
        seat = self.query_one(SeatPicture)
        seat.sizes = view.sizes
        seat.further = left_out(set_up_for(view), self.size.height)
        self.query_one(PlateGrid).plate = view.plate
        self.query_one("#bench").display = True
        if self.draft is not None:
            commands, unfit = foot_with_draft(self.PLACE), set()
        else:
            commands, unfit = foot_with_digits(self.PLACE, view), {"throw_away"}
        unfit |= set() if view.advice.chosen_by else {"suggested"}
        commands = tuple(c for c in commands if c.action not in unfit)
        self.query_one(KeyLine).commands = commands
        self._show_told()

    def action_suggested(self) -> None:
        """Go back from somebody's choice to what is suggested."""
        if self.view is not None:
            session = self.session

            def back() -> str:
                from platebook.services.now.choices import as_suggested

                return session.call(as_suggested)

            self.ask(back, Done)

    def action_evening(self) -> None:
        """Say how the evening went, and what comes next time."""
        if self.view is not None:
            said = (self.view.evening, self.view.pace, self.view.next_time)
            self.tell("\n".join(filter(None, said)) or NO_EVENING)

    def action_second_look(self) -> None:
        """Judge three positions of the last day again."""
        self.post_message(self.LookAgain())

    def action_seeing(self) -> None:
        """Judge a reference plate."""
        self.post_message(ToSeeing())

    def action_steps(self) -> None:
        """Unfold the list of steps, or fold it away; it stays so."""
        if self.view is not None:
            from platebook.services.now.now_view import show_steps

            unfolded = self.view.steps_shown if self.steps is None else self.steps
            self.steps = not unfolded
            self.show()
            self.call_after_refresh(self._show_steps)
            remember = partial(self.session.call, show_steps, shown=self.steps)
            self.ask(remember, self.Remembered)

    def _show_steps(self) -> None:
        """Where the words do not fit, begin them at the steps that were just unfolded."""
        words = self.query_one("#words")
        top = self.query_one("#steps").virtual_region.y if self.steps else 0
        words.scroll_to(y=top, animate=False)

    def action_other_cut(self) -> None:
        """Cut curved metal the other way in the picture, along it or across."""
        picture = self.query_one(SeatPicture)
        picture.cut = "along" if picture.cut == "across" else "across"

    def action_page(self, by: int) -> None:
        """Show more of the words, where they do not fit."""
        self.query_one("#words").scroll_relative(y=by * PAGE, animate=False)

    def _parts(self, view: "NowView", *, unfinished: bool | None) -> dict[str, Content]:
        unfolded = view.steps_shown if self.steps is None else self.steps
        words = parts_of(view, unfolded=unfolded, minding=self.minding, unfinished=unfinished)
        return {**words, "sizes": self.query_one(SetUpTable).told(set_up_for(view))}

    def _show_parts(self, parts: Mapping[str, Content]) -> None:
        self.query_one(Headline).show_parts({name: parts[name] for name in Head.PARTS})
        for name in (*WORD_PARTS, "sizes"):
            words = self.query_one(f"#{name}", Words)
            (words.say if name in MAY_BE_EMPTY else words.show)(parts[name])

    def _show_told(self) -> None:
        said = " ".join(filter(None, (self.sentence, *self.of_drafts()))).split("\n")
        told = stack(*map(txt, said))
        if not told and self.view is not None:
            told = txt(self.view.evening, "$muted")
        self.query_one("#told", Words).say(told)
