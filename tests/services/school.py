"""A school to share in: two students and an instructor, a machine each, one folder."""

import dataclasses
from pathlib import Path

from tests.logbook.books import laid_empty
from tests.services.bench import ADA, BRAM, COURSE, ZONE, ticking

from platebook.logbook.history.revisions import replica_of
from platebook.services.files import check
from platebook.services.people.setters import begin
from platebook.services.session import Session, opened
from platebook.services.sharing.share_folder import ShareOutcome, share
from platebook.services.sharing.unsigned import left_out_here, take_left_out


def desk_of(folder: Path, name: str, setter: str | None = None) -> Session:
    """The session of one machine; with a setter in use where one is named."""
    (folder / name).mkdir(exist_ok=True)
    path = laid_empty(folder / name / "logbook.sqlite")
    session = Session(path=path, clock=ticking(), zone=ZONE)
    return session if setter is None else begin(session, name=setter, course_id=COURSE, tools=())


@dataclasses.dataclass(frozen=True)
class School:
    """Two students and an instructor, each with a machine, and a folder they all can open."""

    ada: Session
    bram: Session
    tutor: Session
    folder: Path


def own_file(school: School, session: Session) -> Path:
    """Where a session's bundle lies in the folder."""
    with opened(session) as book:
        return school.folder / f"{book.ask(replica_of)}.platebook"


def all_share(school: School, *sessions: Session) -> list[ShareOutcome]:
    """Each shares once, in this order; where nobody is in use everyone is taken in."""
    return [
        share(session, school.folder, everyone=not (session.setter_id or session.teacher_id))
        for session in sessions
    ]


def answered(session: Session, *, always: bool = False) -> Session:
    """The same session once whoever works there let in all that waits for want of a signature."""
    for left in left_out_here(session):
        if not left.refused:
            take_left_out(session, left, always=always)
    return session


def assert_whole(school: School) -> None:
    """Each logbook of the school that exists reads as it was saved."""
    for session in (school.ada, school.bram, school.tutor):
        if session.path.exists():
            assert check(session) == ()


def a_school(folder: Path) -> School:
    """Nothing is logged yet."""
    (folder / "shared").mkdir()
    return School(
        ada=desk_of(folder, "ada", ADA),
        bram=desk_of(folder, "bram", BRAM),
        tutor=desk_of(folder, "tutor"),
        folder=folder / "shared",
    )
