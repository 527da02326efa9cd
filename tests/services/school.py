"""A school to share in: two students and an instructor, a machine each, one folder."""

import dataclasses
from pathlib import Path

from tests.services.bench import (
    ADA,
    BRAM,
    COURSE,
    ZONE,
    ticking,
)

from platebook.logbook.revisions import replica_of
from platebook.services.desk import Desk
from platebook.services.faults import opened
from platebook.services.first_run import begin
from platebook.services.sharing import Shared, share


def desk_of(folder: Path, name: str, setter: str | None = None) -> Desk:
    """The desk of one machine; with a setter in use where one is named."""
    (folder / name).mkdir(exist_ok=True)
    desk = Desk(path=folder / name / "logbook.sqlite", clock=ticking(), zone=ZONE)
    return desk if setter is None else begin(desk, name=setter, course_id=COURSE, tools=())


@dataclasses.dataclass(frozen=True)
class School:
    """Two students and an instructor, each with a machine, and a folder they all can open."""

    ada: Desk
    bram: Desk
    tutor: Desk
    folder: Path


def own_file(school: School, desk: Desk) -> Path:
    """Where a desk's bundle lies in the folder."""
    with opened(desk) as book:
        return school.folder / f"{book.ask(replica_of)}.platebook"


def all_share(school: School, *desks: Desk) -> list[Shared]:
    """Each shares once, in this order."""
    return [share(desk, school.folder) for desk in desks]


def a_school(folder: Path) -> School:
    """Nothing is logged yet."""
    (folder / "shared").mkdir()
    return School(
        ada=desk_of(folder, "ada", ADA),
        bram=desk_of(folder, "bram", BRAM),
        tutor=desk_of(folder, "tutor"),
        folder=folder / "shared",
    )
