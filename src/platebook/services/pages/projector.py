"""The class on a wall: its page for a projector, made anew when the logbook changes; only read.

Without names the setters have numbers drawn by lot when it begins: nobody works them out from the
roster, and the words that stand for people in anonymous bundles stay unknown to the room.
"""

import random
from pathlib import Path

from platebook.reports.pages.projector_page import WallAnswers, wall_html
from platebook.services.classes.class_answers import class_findings, class_lines
from platebook.services.classes.class_roll import Pupil
from platebook.services.classes.inspections import due_in
from platebook.services.pages.report_pages import called_on_page, next_titles_of, register_on_page
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Refused, Session, today_at
from platebook.trade.cautions import cautions

Stamp = tuple[object, ...]


class ClassOnWall:
    """The page of one class, or of everyone, for as long as it is shown.

    `rng` draws the numbers; None shows the names. Refused where there is no logbook.
    """

    def __init__(
        self, session: Session, group: str | None = None, *, rng: random.Random | None = None
    ) -> None:
        if not session.path.exists():
            raise Refused(f"there is no logbook yet at {session.path}")
        self._session = session
        self._group = group
        self._rng = rng
        self._numbers: dict[str, int] = {}

    def stamp(self) -> Stamp:
        """Other after every change in the logbook, and on another day."""
        path = self._session.path
        return today_at(self._session), *map(_written, (path, path.with_name(f"{path.name}-wal")))

    def page(self, watch: Watch = unwatched) -> str:
        """The page as it is now, as the text of an HTML file; Refused for an unknown class.

        Nothing is kept in the logbook, no draw either.
        """
        session, group = self._session, self._group
        today = today_at(session)
        lines = class_lines(session, group, None, watch)
        members = [pupil for pupil, _ in lines]
        called = called_on_page(session, members, group, today)
        return wall_html(
            WallAnswers(
                group=called,
                day=today,
                standings=[line.standing_on(today) for _, line in lines],
                called={pupil.setter_id: pupil.called for pupil in members},
                next_titles=next_titles_of(session, members, today, watch),
                findings=class_findings(session, group, watch=watch),
                queue=due_in(session, lines, group),
                caution=" ".join(cautions("start")),
                numbers=self._numbered(members),
                register=register_on_page(session, group, called) if members else None,
                invented=session.invented,
            )
        )

    def _numbered(self, members: list[Pupil]) -> dict[str, int] | None:
        """A number each, which they keep: who comes later is numbered after the others."""
        if self._rng is None:
            return None
        new = [pupil.setter_id for pupil in members if pupil.setter_id not in self._numbers]
        self._rng.shuffle(new)
        first = len(self._numbers) + 1
        self._numbers |= {setter_id: number for number, setter_id in enumerate(new, first)}
        return self._numbers


def _written(path: Path) -> tuple[int, int] | None:
    """When a file was last written and how long it is; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
