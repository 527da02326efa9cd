"""Beside the class and its queue: the one marked, their plate as it lies on the bench, and why."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from platebook.tui.classroom.words import (
    Looking,
    blind_plate,
    due_part,
    plate_note,
    said_lines,
    standing_part,
)
from platebook.tui.parts.headline import NOTHING
from platebook.tui.parts.plate_grid import PlateGrid
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import Words

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueRow, SetterLine
    from platebook.services.classes.plate_looks import PlateToJudge, PositionToJudge


@dataclass(frozen=True, slots=True)
class PlateSeen:
    """A plate by its setter and name ("" for the newest one); None where they have named none."""

    key: tuple[str, str]
    plate: "PlateToJudge | None"


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside the list: words, then a plate by its key, and what else there is room for.

    `position` is the one marked on the plate; with `judging` what was said of the others is told.
    """

    words: Content = NOTHING
    plate: tuple[str, str] = ("", "")
    position: str = ""
    more: tuple[Content, ...] = ()
    judging: bool = False


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
    return Beside(words, plate, row.position, more, judging=True)


class BesidePart(VerticalScroll):
    """Shows it: the plate where it is there; where it is `roomy` the plate large, and all else."""

    can_focus = False
    DEFAULT_CSS = """
    BesidePart { padding: 0 1; scrollbar-size-vertical: 1; }
    BesidePart > Words { height: auto; }
    BesidePart > PlateGrid { max-width: 36; }
    BesidePart.-judging > PlateGrid, BesidePart.-roomy > PlateGrid { margin: 1 0 0 0; }
    """

    def compose(self) -> ComposeResult:
        """Words, the plate, what there is room for."""
        yield Words(id="words")
        yield PlateGrid()
        yield Words(id="more")

    def show(self, seen: Beside, plate: "PlateToJudge | None", *, roomy: bool) -> None:
        """Bring all of it up to date."""
        self.set_class(seen.judging, "-judging")
        self.set_class(roomy, "-roomy")
        self.query_one("#words", Words).show(seen.words)
        grid = self.query_one(PlateGrid)
        grid.display = plate is not None
        more: list[Content] = []
        if plate is not None:
            grid.large = roomy
            grid.plate = blind_plate(plate, _given, seen.position or None)
            more += [txt(plate_note(plate), "$muted")]
            more += said_lines(plate) if seen.judging else []
        more += [txt(""), *seen.more] if seen.more else []
        self.query_one("#more", Words).say(stack(*more) if roomy else txt(""))


def _given(cell: "PositionToJudge") -> tuple[str, ...]:
    return cell.given.result if cell.given is not None else ()
