"""Share: where logbooks are exchanged, how far it is, and what came of it."""

from collections.abc import Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Input

from platebook.services.progress_callback import Watch
from platebook.services.sharing.share_ahead import Heard, ShareAhead, share_ahead
from platebook.services.sharing.share_now import share_now
from platebook.services.sharing.share_progress import ShareProgress
from platebook.trade.phrases import count_of, days_ago, full_day
from platebook.tui.base_screen import BenchScreen
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import NARROW, Head, Headline
from platebook.tui.parts.long_bar import LongBar
from platebook.tui.parts.text import fit, line, stack, txt
from platebook.tui.parts.widgets import OrderedInput, Words
from platebook.tui.sharing.who_reads_what import folder_drawn, who_reads_what

WHAT = (
    "Your bundle goes into a folder that you and the others can open, and theirs come in from it. "
    "Whoever can open it can read what is in it."
)
WHERE = (
    "A folder, or an address: s3://school/thursday, https://cloud.school/thursday or "
    "sftp://host/thursday. Enter shares. Keys and passwords do not belong in the address."
)
WAITING = "Looking what is new …"
FIRST = "Name the folder or address that you and the others share through"
HEARD = "Whose work came in from elsewhere, and of which day the newest is:"
MORE = "something new lies there"
AHEAD = "by a clock that is ahead of this one"
NOT_SHARED = "It did not go through"
AGAIN = "Under the place stands why. Enter tries again."
SHARING = "Sharing. What is logged here meanwhile is safe; it goes out the next time."


class ShareScreen(BenchScreen[None]):
    """A line for the place, which is the one of last time, and what came of sharing."""

    PLACE: ClassVar[str] = "share"
    DEFAULT_CSS = """
    ShareScreen {
        #place { height: 1; border: none; padding: 0 1; background: $surface; }
        VerticalScroll { height: 1fr; padding: 0 0 0 1; scrollbar-size-vertical: 1; }
        VerticalScroll Words { padding: 0 1 0 0; }
        #came, #heard { height: auto; }
        #heard { margin: 1 0 0 0; }
        #exchanged, #exchanged > Words { height: auto; margin: 1 0 0 0; }
        #exchanged > #folder { margin: 0; }
        &.-narrow #folder { display: none; }
        #exchanged.known { display: none; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (NARROW, "-usual")]  # noqa: RUF012 - as Textual has it

    class Found(Answered[ShareAhead]):
        """Where was shared last, and what is new."""

    class Shared(Answered[tuple[str, ...]]):
        """What came of it, in sentences."""

    class Began(Answered[str]):
        """What is being done from now on."""

    under_way = False
    """Whether a share goes on; what is told meanwhile is why it did not go through."""

    def body(self) -> ComposeResult:
        """What is new, where, how far it is, what to type, and what came of it."""
        yield Headline(WAITING)
        yield OrderedInput(placeholder="folder or address", compact=True, id="place")
        yield LongBar()
        yield Words(txt(WHERE), id="told")
        with VerticalScroll(can_focus=False):
            yield Words(txt(WHAT), id="came")
            yield Words(id="heard")
            with Vertical(id="exchanged"):
                yield Words(folder_drawn(), id="folder")
                yield Words(who_reads_what())

    def start(self) -> None:
        """Ask where was shared last."""
        self.query_one("#place").focus()
        self.load()

    def load(self) -> None:
        """Ask where was shared last, and of whom something came in by now."""
        self.ask(lambda: self.session.call(share_ahead), self.Found)

    def tell(self, sentence: str) -> None:
        """Say one sentence under the place; no work goes on then."""
        self.query_one(LongBar).hide()
        self.query_one("#told", Words).show(txt(sentence))
        if self.under_way and sentence:
            self.under_way = False
            self.query_one(Headline).show(Head(txt(NOT_SHARED), txt(AGAIN, "$muted")))

    @on(Found)
    def show_place(self, event: Found) -> None:
        """Offer the place of last time, unless one is being typed, and say what is new."""
        if self.reading is None:
            self.query_one(Headline).show(ahead_head(event.value))
        self.query_one("#heard", Words).say(heard_part(event.value.heard))
        self.query_one("#exchanged").set_class(bool(event.value.heard), "known")
        place = self.query_one("#place", Input)
        if not place.value:
            place.value = event.value.place
            place.cursor_position = len(event.value.place)

    @on(Input.Submitted, "#place")
    def go(self, event: Input.Submitted) -> None:
        """Share through what stands in the line; once at a time."""
        if self.reading is not None and self.reading.is_running:
            return
        typed = event.value

        def call(watch: Watch) -> tuple[str, ...]:
            told = ShareProgress(watch, lambda what: self.post_message(self.Began(what)))
            return self.session.call(share_now, typed, told)

        self.ask_long(call, self.Shared)
        self.query_one("#came", Words).show(txt(""))
        self.query_one(Headline).show(Head(txt("Sharing …"), txt(SHARING, "$muted")))
        self.tell("")
        self.under_way = True
        self.query_one(LongBar).show(0, 0)

    @on(Began)
    def show_what(self, event: Began) -> None:
        """Say what is being done; how far it is starts anew."""
        if self.reading is not None and self.reading.is_running:
            self.query_one(Headline).show(Head(txt(f"{event.value} …"), txt(SHARING, "$muted")))
            self.query_one(LongBar).show(0, 0)

    @on(Shared)
    def show_outcome(self, event: Shared) -> None:
        """Show what came of it."""
        self.under_way = False
        self.tell(WHERE)
        first, *rest = event.value or ("Shared.",)
        self.query_one(Headline).show(Head(txt(first)))
        self.query_one("#came", Words).show(stack(*map(txt, rest)))
        self.load()

    def action_close(self) -> None:
        """Stop, where it goes on, and go back; every bundle came in whole or not at all."""
        if self.reading is not None:
            self.reading.cancel()
        self.dismiss(None)


def ahead_head(ahead: ShareAhead) -> Head:
    """What is new to take in and what there is to hand on."""
    if not ahead.place:
        return Head(txt(FIRST))
    if ahead.others is None or ahead.new is None:
        coming = "Enter shares through the place of last time"
    elif not ahead.others:
        coming = "Nobody else has shared there yet"
    elif not ahead.new:
        coming = f"Nothing new from {count_of(ahead.others, 'other')}"
    else:
        coming = f"{count_of(ahead.new, 'bundle')} of others may hold something new"
    if ahead.to_go is None:
        going = "Nothing of this logbook has gone out yet."
    elif not ahead.to_go:
        going = "All that was changed here has gone out."
    else:
        has = "has" if ahead.to_go == 1 else "have"
        going = f"{count_of(ahead.to_go, 'change')} made here {has} not gone out yet."
    return Head(txt(coming), txt(going))


def heard_part(heard: Sequence[Heard]) -> Content:
    """A line a person: the day of their newest work that is here, how long ago, what lies there."""
    if not heard:
        return txt("")
    names = max(cell_len(line(each.name)) for each in heard)
    days = max(len(full_day(each.newest)) for each in heard)
    rows = [txt(HEARD, "bold")]
    for each in heard:
        ago = days_ago(each.days) if each.days is not None else AHEAD
        more = f", {MORE}" if each.more else ""
        cells = f"{fit(each.name, names)}  {full_day(each.newest):<{days}}  "
        rows.append(Content.assemble(cells, (ago, "$muted"), more))
    return stack(*rows)
