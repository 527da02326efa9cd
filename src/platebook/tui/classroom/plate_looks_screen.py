"""A whole plate of a student's, judged blind: one key a good one, two a defect, comments by key.

Verdicts are recorded one after the other in the order given, each as soon as it is given.
"""

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Input

from platebook.practice.defects import GOOD
from platebook.practice.results import RESULT_KEYS
from platebook.services.attempts.recording import undo
from platebook.services.classes.inspections import inspect
from platebook.services.classes.plate_looks import (
    PlateToJudge,
    PositionToJudge,
    comment_on,
    plate_to_judge,
)
from platebook.tui.base_screen import BenchScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.class_list import DRAWN, TALL, WIDE
from platebook.tui.classroom.heads import plate_head
from platebook.tui.classroom.offered import OF_VERDICTS
from platebook.tui.classroom.on_the_way import OnTheWay, position_of
from platebook.tui.classroom.words import (
    Looking,
    WantedPlate,
    blind_plate,
    comment_lines,
    drawn_lines,
    key_lines,
    position_part,
    said_lines,
    severity_lines,
    with_keys,
)
from platebook.tui.entry.entry import PART_KEYS
from platebook.tui.messages import Answered, Done, ServiceFailed
from platebook.tui.parts.headline import Headline
from platebook.tui.parts.plate_grid import LARGE_ROWS, PlateGrid
from platebook.tui.parts.term_picture import DrawnWord, TermGallery
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import AskedLine, Words

BESIDE = 9
"""Lines that the headline, the words under the plate and the key line take, and air."""

TWO_COLUMNS = 30
"""From so many cells on the keys of a look stand in two columns."""

NO_WEIGHT = " "
"""What is missed is not weighed: such a verdict is whole."""

READING = "Reading the plate …"
NO_PLATE = "There is no plate to look at here. Esc goes back."
NOT_JUDGED_YET = "A comment goes with a verdict: judge a position first."
COMMENTING = "A digit picks a comment, w writes one, Esc leaves it."
WRITING = "Enter keeps your words with the verdict, Esc leaves them."
LOOK = "Look first, then press what you see. + puts a comment to the last one."
LAST_ONE = "Nobody stands after them in the list; Esc goes back to it."
UNDO = "u takes them back one by one, the last one first."


class PlateLooksScreen(BenchScreen[None]):
    """The plate as a grid on the left, the position marked and what was said on the right."""

    PLACE: ClassVar[str] = "plate looks"
    DEFAULT_CSS = """
    PlateLooksScreen {
        PlateGrid { width: 38; padding: 1 1 0 1; }
        #one { width: 1fr; height: 1fr; padding: 1 1 0 1; }
        #one > Words { height: auto; }
        #right { width: 1fr; border-left: solid $rule; }
        TermGallery { display: none; padding: 1 1 0 1; }
        &.-wide.-tall #one { height: auto; max-height: 60%; }
        &.-wide.-tall TermGallery { display: block; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (WIDE, "-wide")]  # noqa: RUF012 - as Textual has it
    VERTICAL_BREAKPOINTS = [(0, "-low"), (TALL, "-tall")]  # noqa: RUF012 - as Textual has it

    class Loaded(Answered[PlateToJudge]):
        """The plate, as far as it is judged."""

    class Recorded(Answered[str]):
        """A verdict is in the logbook; the attempt that it is about."""

    class Commented(Answered[str]):
        """A comment is in the logbook; its words."""

    def __init__(self, session: BenchSession, wanted: Sequence[WantedPlate]) -> None:
        """The first of `wanted`, and Enter the next; at least one."""
        super().__init__(session)
        self.wanted, self.plate_name = wanted, wanted[0].plate
        self.plate: PlateToJudge | None = None
        self.marked = 0
        self.looking = Looking()
        self.last = self.commenting = self.sentence = ""
        self.way = OnTheWay()

    def body(self) -> ComposeResult:
        """Whose plate, the grid, the position, a line for words, what was done."""
        yield Headline(READING)
        with Horizontal():
            yield PlateGrid()
            with Vertical(id="right"):
                with VerticalScroll(id="one", can_focus=False):
                    yield Words(id="words")
                yield TermGallery()
        yield AskedLine("a comment in words", id="comment")
        yield Words(id="told")

    def load(self) -> None:
        """Ask for the plate; what is shown stands until the answer comes."""
        setter_id = self.wanted[0].setter_id
        call = partial(self.session.call, plate_to_judge, setter_id, self.plate_name)
        self.ask(call, self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence in the last line."""
        self.sentence = sentence
        self.show()

    @on(Loaded)
    def show_plate(self, event: Loaded) -> None:
        """Show the plate, at first with the position asked for or the first one to judge marked."""
        fresh = self.plate is None or self.plate.plate != event.value.plate
        self.plate, self.plate_name = event.value, event.value.plate
        if not self.way.busy:
            self.way.said.clear()
        if fresh:
            names = [cell.position for cell in self.plate.positions]
            first = self.wanted[0].position
            asked = first in names and self.plate.positions[names.index(first)].attempt_id
            self.marked = names.index(first) if asked else -1
            if not asked:
                self.marked = self.way.next_open(self.plate.positions, self.marked)
        self.show()
        self._record_comment()

    @on(Recorded)
    def record_next(self) -> None:
        """Go on with the next verdict that was given meanwhile, or read the plate anew."""
        del self.way.verdicts[0]
        self.way.busy = False
        if self.way.verdicts:
            self._record_first()
        else:
            self.load()

    @on(Commented)
    def show_commented(self) -> None:
        """Read the plate anew, with the comment."""
        self.way.busy = False
        self.load()

    @on(ServiceFailed)
    def stop_recording(self) -> None:
        """What could not be recorded is told; the plate shows what is."""
        self.way = OnTheWay()
        if self.plate is None:
            self.query_one(Headline).say(NO_PLATE)
        else:
            self.load()

    @on(Done)
    def show_taken_back(self, event: Done) -> None:
        """Say what was taken back, and read again."""
        self.sentence = event.value
        self.load()

    async def on_key(self, event: events.Key) -> None:
        """A key of the table of defects judges the position marked; a digit says how bad."""
        sign = event.character or ""
        if self.plate is None or self.way.then is not None:
            return
        if self.commenting and sign.isdecimal():
            event.stop()
            event.prevent_default()
            self._comment(sign)
        elif (after := self._after(sign)) != self.looking:
            event.stop()
            event.prevent_default()
            self._judge(after)

    @on(Input.Submitted, "#comment")
    def take_comment(self, event: Input.Submitted) -> None:
        """Put the words to the verdict."""
        self._comment(event.value)

    def action_comment(self) -> None:
        """Offer the stock comments on the verdict at the position marked, else on the last one."""
        self.commenting = self._commented()
        if not self.commenting:
            self.tell(NOT_JUDGED_YET)
            return
        self.looking, self.sentence = Looking(), ""
        self.show()

    def action_write(self) -> None:
        """Ask for words on the verdict at the position marked, else on the last one."""
        self.action_comment()
        if self.commenting:
            self.query_one(AskedLine).ask()
            self.show()

    def action_undo(self) -> None:
        """Take the last verdict or comment back."""
        if not self.way.busy:
            self.looking, self.last = Looking(), ""
            self.ask(partial(self.session.call, undo), Done)

    def action_close(self) -> None:
        """Leave the comment, take the digit back, or go back to the class."""
        if self.commenting or self.looking.result:
            self._leave_comment()
            self.looking = Looking()
            self.show()
        else:
            self.way.after_all(self._go_back)

    def _go_back(self) -> None:
        self.dismiss(None)

    def action_step(self, rows: int, columns: int) -> None:
        """To the nearest position in this direction that something was set at."""
        if self.plate is None:
            return
        self.looking, self.sentence = Looking(), ""
        self._leave_comment()
        by = columns or rows * self.query_one(PlateGrid).across
        place = self.marked + by
        while 0 <= place < len(self.plate.positions):
            if self.plate.positions[place].attempt_id:
                self.marked = place
                break
            place += by
        self.show()

    def action_next_setter(self) -> None:
        """The plate of whoever stands next in the list that this one was opened from."""
        self.way.after_all(self._open_next)

    def _open_next(self) -> None:
        here = self.wanted[0].setter_id
        rest = [other for other in self.wanted if other.setter_id != here]
        if not rest:
            self.tell(LAST_ONE)
            return
        self.wanted, self.plate_name, self.plate = rest, rest[0].plate, None
        self.looking, self.last, self.sentence = Looking(), "", ""
        self._leave_comment()
        self.load()

    def action_other_plate(self, by: int) -> None:
        """An earlier or a later plate of theirs."""
        if self.plate is None or self.way.busy:
            return
        place = self.plate.plates.index(self.plate.plate) + by
        if 0 <= place < len(self.plate.plates):
            self.plate_name, self.looking = self.plate.plates[place], Looking()
            self.load()
        else:
            self.tell("There is no other plate that way.")

    def show(self) -> None:
        """Bring all parts up to date."""
        plate = self.plate
        if plate is None:
            self.query_one("#told", Words).show(txt(self.sentence))
            return
        set_there = [cell for cell in plate.positions if cell.attempt_id]
        judged = sum(self.way.is_judged(cell) for cell in set_there)
        self.query_one(Headline).show(plate_head(plate, judged, len(set_there)))
        self.offer_all_but(() if judged else OF_VERDICTS)
        grid = self.query_one(PlateGrid)
        here = plate.positions[self.marked].position if self.marked >= 0 else None
        rows = -(-len(plate.positions) // grid.across)
        grid.large = 1 + LARGE_ROWS * rows <= self.size.height - 9
        grid.plate = blind_plate(plate, self.way.result_of, here)
        grid.marks = {cell.position: DRAWN for cell in plate.positions if cell.drawn}
        self.query_one("#words", Words).show(self._words(plate))
        self.query_one(TermGallery).show(self._drawn(), "")
        self.query_one("#told", Words).show(with_keys(self._told(judged == len(set_there))))

    def _drawn(self) -> tuple[DrawnWord, ...]:
        """What the keys say, drawn; of a defect weighed that one alone, for comments nothing."""
        if self.looking.result:
            return DrawnWord.those_drawn("result", (("", self.looking.result),))
        none = self._is_part() or self.commenting
        return () if none else DrawnWord.those_drawn("result", RESULT_KEYS.items())

    def _words(self, plate: PlateToJudge) -> Content:
        """The position marked, the comments to pick from, and what was said so far."""
        cell = plate.positions[self.marked] if self.marked >= 0 else None
        head = position_part(cell) if cell is not None else ()
        if about := self._about(self.commenting):
            return stack(*head, *comment_lines(about.position, self.way.result_of(about)))
        asks: Sequence[Content] = severity_lines(self.looking)
        if cell is not None and not self.looking.result and not self.way.is_judged(cell):
            columns = 2 if self.query_one("#one").size.width >= TWO_COLUMNS else 1
            asks = key_lines(PART_KEYS if self._is_part() else RESULT_KEYS, columns)
        return stack(*head, *asks, *said_lines(plate), *drawn_lines(plate))

    def _told(self, finished: bool) -> str:  # noqa: FBT001 - one caller
        if self.looking.result:
            return self.looking.prompt()
        if self.sentence:
            return self.sentence
        if self.commenting:
            return WRITING if self.query_one(AskedLine).is_asked else COMMENTING
        if finished:
            return f"All are judged; Enter goes on to the next student, Esc goes back. {UNDO}"
        return LOOK

    def _after(self, sign: str) -> Looking:
        """The look with one more key; a part exercise is good or missed, in one key."""
        if self._is_part() and not self.looking.result and sign in PART_KEYS:
            good = PART_KEYS[sign] == GOOD
            return Looking(PART_KEYS[sign], "" if good else NO_WEIGHT)
        return self.looking if self._is_part() else self.looking.after(sign)

    def _is_part(self) -> bool:
        plate = self.plate
        return plate is not None and self.marked >= 0 and plate.positions[self.marked].part

    def _judge(self, looking: Looking) -> None:
        """Take a key of a look in; a verdict that is whole is recorded, and the next one marked."""
        plate = self.plate
        if plate is None or self.marked < 0:
            return
        cell = plate.positions[self.marked]
        if self.way.is_judged(cell):
            self.tell(f"Position {cell.position} is judged. {UNDO}")
            return
        self.looking, self.sentence = looking, ""
        self._leave_comment()
        if looking.waits_for == "comment":
            self.looking = Looking()
            self.way.judge(cell.attempt_id, looking.result, looking.severity.strip())
            self.last = cell.attempt_id
            self.marked = self.way.next_open(plate.positions, self.marked)
            if not self.way.busy:
                self._record_first()
        self.show()

    def _record_first(self) -> None:
        """Record the verdict that waits longest."""
        self.way.busy = True
        session, (attempt_id, result, severity) = self.session, self.way.verdicts[0]

        def record() -> str:
            session.call(inspect, attempt_id, result, severity=severity)
            return attempt_id

        self.ask(record, self.Recorded)

    def _comment(self, words: str) -> None:
        """Put a comment to the verdict that is commented on."""
        about = self._about(self.commenting)
        self._leave_comment()
        if about is not None:
            self.way.comments[about.attempt_id] = words
        self.show()
        self._record_comment()

    def _record_comment(self) -> None:
        """Record a comment whose look is in the logbook; where none is left, what comes then."""
        if self.plate is None or self.way.busy:
            return
        if told := self.way.comment_to_record(self.plate.positions):
            self.way.busy = True
            self.ask(partial(self.session.call, comment_on, *told), self.Commented)
        elif self.way.then is not None and not self.way.comments:
            then, self.way.then = self.way.then, None
            then()

    def _leave_comment(self) -> None:
        self.commenting = ""
        self.query_one(AskedLine).put_away()

    def _commented(self) -> str:
        """The attempt that a comment would be about: the one marked if judged, else the last."""
        if self.plate is None:
            return ""
        cells = self.plate.positions
        here = cells[self.marked].attempt_id if self.marked >= 0 else ""
        return self.way.judged_of(cells, (here, self.last))

    def _about(self, attempt_id: str) -> PositionToJudge | None:
        return position_of(self.plate.positions if self.plate is not None else (), attempt_id)
