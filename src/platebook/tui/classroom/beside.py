"""Beside the class and its queue: the one marked, their plate as it lies on the bench, and why."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message

from platebook.practice.results import verdict
from platebook.reports.text.figures import place_on_plate
from platebook.trade.phrases import full_day
from platebook.tui.classroom.words import (
    TO_BE_JUDGED,
    Looking,
    blind_plate,
    due_part,
    plate_note,
    said_lines,
    standing_part,
)
from platebook.tui.parts.headline import NOTHING
from platebook.tui.parts.plate_grid import PlateGrid
from platebook.tui.parts.seat_picture import SeatPicture
from platebook.tui.parts.text import line, stack, txt
from platebook.tui.parts.widgets import Words
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueRow, SetterLine
    from platebook.services.classes.last_looks import AtTheirGrade
    from platebook.services.classes.plate_looks import PlateToJudge, PositionToJudge


class PlateSeen(Value):
    """A plate by its setter and name ("" for the newest one); None where they have named none."""

    key: tuple[str, str]
    plate: "PlateToJudge | None"


class Beside(Value):
    """What stands beside the list: words, then a plate by its key, and what else there is room for.

    `position` is the one marked on the plate; with `judging` what was said of the others is told.
    `at` is whose work at which grade is looked at, empty for nobody's.
    """

    words: Content = NOTHING
    plate: tuple[str, str] = ("", "")
    position: str = ""
    more: tuple[Content, ...] = ()
    judging: bool = False
    at: tuple[str, str] = ("", "")


def beside_standing(
    setter: "SetterLine", queue: "Sequence[QueueRow]", *, brief: bool = False
) -> Beside:
    """Of a setter: where they stand, their newest plate, all that there is to look at."""
    mine = (row for row in queue if row.setter_id == setter.setter_id)
    reasons = [txt(reason.sentence) for row in mine for reason in row.reasons]
    more = (txt("To look at:", "bold"), *reasons) if len(reasons) > 1 else ()
    return Beside(standing_part(setter, brief=brief), (setter.setter_id, ""), more=more)


def beside_due(
    row: "QueueRow", looking: Looking, standings: "Sequence[SetterLine]", *, whole: bool
) -> Beside:
    """Of a row of the queue: the position and why, its plate, where its setter stands."""
    more = tuple(standing_part(s) for s in standings if s.setter_id == row.setter_id)
    plate = (row.setter_id, row.plate) if row.plate else ("", "")
    words = due_part(row, looking, whole=whole)
    at = (row.setter_id, row.grade)
    return Beside(words, plate, row.position, more, judging=True, at=at)


YOUR_LOOKS = "Your last looks at their work:"
WANTED = "The seat that this grade wants:"
SEAT_FROM = (160, 48)
"""Columns and lines of a window from which the seat and one's last looks have room."""


class BesidePart(VerticalScroll):
    """Shows it: the plate where it is there; where it is `roomy` the plate large, and all else.

    In a very large window one's own last looks and the seat that is wanted stand below. They are
    `Wanted`, and a plate is `PlateWanted`, when they are not known; each is asked for once.
    """

    class Wanted(Message):
        """What is known of a setter's work at a grade is asked for, by their ids."""

        def __init__(self, setter_id: str, grade: str) -> None:
            super().__init__()
            self.setter_id, self.grade = setter_id, grade

    class PlateWanted(Message):
        """A plate is asked for, by its setter and name."""

        def __init__(self, key: tuple[str, str]) -> None:
            super().__init__()
            self.key = key

    can_focus = False
    DEFAULT_CSS = """
    BesidePart { padding: 0 1; scrollbar-size-vertical: 1; }
    BesidePart > Words { height: auto; }
    BesidePart > PlateGrid { max-width: 36; }
    BesidePart > #wanted, BesidePart > #looks { margin: 1 0 0 0; }
    BesidePart > SeatPicture { height: 1fr; min-height: 9; max-height: 17; display: none; }
    BesidePart.-judging > PlateGrid, BesidePart.-roomy > PlateGrid { margin: 1 0 0 0; }
    """

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self.known: dict[tuple[str, str], AtTheirGrade] = {}
        self.plates: dict[tuple[str, str], PlateToJudge | None] = {}
        self.at = self.asked = self.plate_asked = ("", "")
        self.seen, self.room, self.roomy = Beside(), False, False

    def compose(self) -> ComposeResult:
        """Words, the plate, what there is room for."""
        yield Words(id="words")
        yield PlateGrid()
        yield Words(id="more")
        yield Words(id="looks")
        yield Words(id="wanted")
        yield SeatPicture()

    def take(self, known: "AtTheirGrade") -> None:
        """What was asked for; shown where its setter is still marked."""
        self.known[known.setter_id, known.grade] = known
        self._show_known()

    def take_plate(self, read: PlateSeen) -> None:
        """A plate that was asked for; shown where its setter is still marked."""
        self.plates[read.key] = read.plate
        self._show_seen()

    def forget(self) -> None:
        """Ask anew: a look may have been given since."""
        self.known, self.asked = {}, ("", "")
        self.plates, self.plate_asked = {}, ("", "")

    def _show_known(self) -> None:
        """The seat and the last looks, where there is room and they are known."""
        width, height = SEAT_FROM
        room = self.screen.size.width >= width and self.screen.size.height >= height
        if room and self.at[0] and self.at not in self.known and self.at != self.asked:
            self.asked = self.at
            self.post_message(self.Wanted(*self.at))
        known = self.known.get(self.at) if room else None
        sizes = known.sizes if known is not None else None
        seat = self.query_one(SeatPicture)
        seat.sizes, seat.display = sizes, sizes is not None
        self.query_one("#wanted", Words).say(txt(WANTED if sizes is not None else "", "bold"))
        self.query_one("#looks", Words).say(stack(*_look_lines(known)))

    def show(self, seen: Beside, *, room: bool, roomy: bool) -> None:
        """Bring all of it up to date; a plate is wanted where there is `room` for it."""
        self.seen, self.room, self.roomy = seen, room, roomy
        key = seen.plate
        if key[0] and room and key not in self.plates and key != self.plate_asked:
            self.plate_asked = key
            self.post_message(self.PlateWanted(key))
        self._show_seen()

    def _show_seen(self) -> None:
        """The words, the plate as far as it is read, and what there is room for."""
        seen, roomy = self.seen, self.roomy
        plate = self.plates.get(seen.plate) if self.room else None
        self.set_class(seen.judging, "-judging")
        self.set_class(roomy, "-roomy")
        self.query_one("#words", Words).show(seen.words)
        grid = self.query_one(PlateGrid)
        grid.display = plate is not None
        more: list[Content] = []
        if plate is not None:
            grid.large = roomy
            # In a roomy window the note under the plate tells it, with how many there are.
            grid.unknown = "" if roomy else TO_BE_JUDGED
            grid.plate = blind_plate(plate, _given, seen.position or None)
            more += [txt(plate_note(plate), "$muted")]
            more += said_lines(plate) if seen.judging else []
        more += [txt(""), *seen.more] if seen.more else []
        self.query_one("#more", Words).say(stack(*more) if roomy else txt(""))
        self.at = seen.at
        self._show_known()


def _look_lines(known: "AtTheirGrade | None") -> list[Content]:
    """A look a line: its day, where, both verdicts; a comment under it."""
    looks = known.looks if known is not None else ()
    lines = [txt(YOUR_LOOKS, "bold")] if looks else []
    for look in looks:
        where = place_on_plate(look.plate, look.position) or look.grade_title or look.grade
        yours = verdict(look.result, look.severity)
        own = verdict(look.own_result, look.own_severity)
        day = f"{full_day(date.fromisoformat(look.looked))}, " if look.looked else ""
        lines.append(txt(f"{day}{where}: yours {yours}; their own {own}"))
        lines += [Content.styled(f"   {line(look.comment)}", "$muted")] if look.comment else []
    return lines


def _given(cell: "PositionToJudge") -> tuple[str, ...]:
    return cell.given.result if cell.given is not None else ()
