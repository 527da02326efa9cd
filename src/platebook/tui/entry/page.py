"""The page of an attempt: what is asked in the headline, what stands so far, what can be answered.

In a wide window the set-up stands under what is noted, in a broad one beside all of it, with the
seat in section and the plate; in a usual one under the answers, where they leave room for it.
"""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content

from platebook.practice.reading.questions import size_of
from platebook.tui.entry.answers import drawn_answers, looked_at
from platebook.tui.entry.entry import Entry
from platebook.tui.entry.head import attempt_head
from platebook.tui.entry.words import RAIL, page, rail, set_up_line
from platebook.tui.now.start_keys import digit_hint
from platebook.tui.now.words import go_line, where_of
from platebook.tui.parts.headline import Head, Headline
from platebook.tui.parts.plate_grid import PlateGrid
from platebook.tui.parts.seat_picture import SeatPicture
from platebook.tui.parts.set_up_table import SetUpTable, SetUpWhereRoom, set_up_for
from platebook.tui.parts.term_picture import TermGallery, TermPicture
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import Words

if TYPE_CHECKING:
    from platebook.services.now.now_view import NowView


NARROW = 76
"""Below so many columns what is noted has no column of its own."""
WIDE, WIDE_RAIL = 110, 42
"""From so many columns the rail has so many, in which most of what is noted is one line."""
BROAD, TALL = 160, 45
"""From so many columns the bench stands beside it; from so many lines its plate is large."""
EACH = "↑ ↓ show each one"
OTHERS = "↑ ↓ show the others"
LOOKING = "Looking for what comes next …"


class AttemptPage(Vertical):
    """Shows an entry; it takes no keys."""

    DEFAULT_CSS = """
    AttemptPage {
        height: 1fr;
        Headline #caption { max-width: 31; content-align-vertical: top; }
        #set-up { height: auto; max-height: 4; padding: 0 1; }
        #so-far { width: 30; height: 1fr; padding: 0 1; border-right: solid $rule; }
        #rail { height: auto; margin: 0 0 1 0; }
        #sizes { height: auto; display: none; }
        #stop { width: 1fr; height: 1fr; padding: 0 1; }
        #page { height: auto; margin: 0 0 1 0; }
        TermGallery { display: none; }
        #bench { display: none; width: 62; height: 1fr; padding: 0 1; border-left: solid $rule; }
        #told { height: auto; max-height: 4; padding: 0 1; color: $text-warning; }
        &.-narrow #so-far, &.-narrow SetUpWhereRoom { display: none; }
        &.-wide SetUpWhereRoom { display: none; }
        &.-wide #so-far { width: 45; }
        &.-wide #sizes { display: block; }
        &.-wide TermGallery { display: block; }
        &.-broad #bench { display: block; }
        &.-broad #so-far #sizes { display: none; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self.shown: tuple[NowView | None, dict[str, str]] | None = None
        """What the bench was last shown for: most keys change nothing of it."""

    def compose(self) -> ComposeResult:
        """What is asked, the set-up in a line, rail and answers, the bench, what has to be said."""
        yield Headline()
        yield Words(id="set-up")
        with Horizontal():
            with Vertical(id="so-far"):
                yield Words(id="rail")
                yield TermPicture()
                yield SetUpTable()
            with Vertical(id="stop"):
                yield Words(id="page")
                yield TermGallery()
                yield SetUpWhereRoom()
            with Vertical(id="bench"):
                yield SetUpTable(id="bench-sizes")
                yield SeatPicture()
                yield PlateGrid()
        yield Words(id="told")

    def show(self, entry: Entry, sentence: str, view: "NowView | None" = None) -> None:
        """Show the stop at which the entry stands; `view` is what Now shows of the same stone."""
        width, height = self.app.size
        narrow, wide = width < NARROW, width >= WIDE
        self.set_class(narrow, "-narrow")
        self.set_class(wide, "-wide")
        self.set_class(width >= BROAD, "-broad")
        self.query_one(PlateGrid).large = width >= BROAD and height >= TALL
        self.query_one(Headline).show(attempt_head(entry, narrow=narrow))
        self._update("set-up", set_up_line(entry))
        self._update("rail", rail(entry, WIDE_RAIL if wide else RAIL))
        self._update("page", page(entry))
        self.query_one("#told", Words).say(txt(sentence))
        self._draw(entry)
        # As the line above it and Now say it, where it is what was carried over.
        sizes = {d.field: size_of(entry.value(d.field)) for d in entry.other_tools()}
        self._show_bench(view, {field: f"{mm:.2f}" for field, mm in sizes.items() if mm})

    def _draw(self, entry: Entry) -> None:
        """The answer looked at, large, and all of them where there is room."""
        answers, word = drawn_answers(entry), looked_at(entry)
        several = len(answers) > 1
        hint = (OTHERS if word is not None else EACH) if several else ""
        self.query_one(TermPicture).show(word, hint)
        self.query_one(TermGallery).show(answers if several else (), entry.marked)

    def _show_bench(self, view: "NowView | None", set_up_has: dict[str, str]) -> None:
        """The set-up, the seat and the plate, where there is an exercise that they belong to."""
        if self.shown is not None and self.shown[0] is view and self.shown[1] == set_up_has:
            return
        self.shown = view, set_up_has
        rows = set_up_for(view, set_up_has) if view is not None else ()
        for table in self.query(SetUpTable):
            table.show(table.told(rows))
        self.query_one(SetUpWhereRoom).rows = rows
        self.query_one(SeatPicture).sizes = view.sizes if view is not None else None
        self.query_one(PlateGrid).plate = view.plate if view is not None else None

    def show_saved(
        self, headline: str, remedies: tuple[str, ...], following: "NowView | None"
    ) -> None:
        """Show what became of it, what now, and what comes next as soon as it is known."""
        self.query_one(TermPicture).show(None, "")
        self.query_one(TermGallery).show((), "")
        now_what = [txt("What now?", "bold"), *(txt(f"· {r}") for r in remedies), txt("")]
        coming, far = [], txt(LOOKING, "$muted")
        if following is not None:
            hint, far = digit_hint(following), txt(f"Next: {where_of(following)}")
            coming = [txt(go_line(following)), *([hint] if hint is not None else [])]
            self._show_bench(following, {d.field: d.carried for d in following.differs})
        self.query_one(Headline).show(Head(txt(headline), far))
        self._update("page", stack(*(now_what if remedies else []), *coming))

    def _update(self, part: str, content: Content) -> None:
        self.query_one(f"#{part}", Words).show(content)
