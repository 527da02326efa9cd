"""Verdicts and comments that were keyed and are not in the logbook yet, in the order given.

A teacher's keys are faster than the disk of a busy machine: what was keyed is taken down here, and
recorded one after the other.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from platebook.services.classes.plate_looks import PositionToJudge


@dataclass(slots=True)
class OnTheWay:
    """What is being recorded, with what to do once all of it is (`then`).

    `verdicts` are attempt, result and severity; `said` the results by attempt, until the plate
    shows them; `comments` the words by attempt.
    """

    verdicts: list[tuple[str, str, str]] = field(default_factory=list)
    said: dict[str, str] = field(default_factory=dict)
    comments: dict[str, str] = field(default_factory=dict)
    busy: bool = False
    then: Callable[[], None] | None = None

    def judge(self, attempt_id: str, result: str, severity: str) -> None:
        """Take a verdict down."""
        self.verdicts.append((attempt_id, result, severity))
        self.said[attempt_id] = result

    def result_of(self, cell: PositionToJudge) -> tuple[str, ...]:
        """What was said of a position, recorded or not; empty for nothing."""
        if cell.attempt_id in self.said:
            return (self.said[cell.attempt_id],)
        return cell.given.result if cell.given is not None else ()

    def is_judged(self, cell: PositionToJudge) -> bool:
        """Whether anything was said of a position, recorded or not."""
        return bool(self.result_of(cell))

    def judged_of(self, cells: Sequence[PositionToJudge], wanted: Sequence[str]) -> str:
        """The first of the attempts `wanted` that something was said of; empty for none."""
        there = (position_of(cells, attempt_id) for attempt_id in wanted)
        return next((c.attempt_id for c in there if c is not None and self.is_judged(c)), "")

    def next_open(self, cells: Sequence[PositionToJudge], marked: int) -> int:
        """The next position set there and not judged, after the one marked or from the start.

        Where all are judged the one marked, else the first one set there; -1 for none.
        """
        order = [*range(marked + 1, len(cells)), *range(marked + 1)]
        set_there = [n for n in order if cells[n].attempt_id]
        waiting = (n for n in set_there if not self.is_judged(cells[n]))
        return next(waiting, marked if marked >= 0 else next(iter(set_there), -1))

    def comment_to_record(self, cells: Sequence[PositionToJudge]) -> tuple[str, str] | None:
        """The first comment whose look is in the logbook, by that look's id; taken out of here."""
        for cell in cells:
            if cell.given is not None and cell.attempt_id in self.comments:
                return cell.given.inspection_id, self.comments.pop(cell.attempt_id)
        return None

    def after_all(self, act: Callable[[], None]) -> None:
        """Do this now, or once everything is recorded."""
        if self.busy or self.comments:
            self.then = act
        else:
            act()


def position_of(cells: Sequence[PositionToJudge], attempt_id: str) -> PositionToJudge | None:
    """Where an attempt was set on the plate; None where it was not, and for no attempt ("")."""
    return next((c for c in cells if attempt_id and c.attempt_id == attempt_id), None)
