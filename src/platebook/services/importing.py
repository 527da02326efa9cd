"""A CSV file in and out: all of it or nothing, every problem told."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path

from platebook.practice.problem import Problem, only_problems
from platebook.services.courses import course_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.log import attempts_of, attempts_with_ids
from platebook.services.new_files import write_new
from platebook.services.people import with_id
from platebook.services.recording import Dates, store


@dataclass(frozen=True)
class Imported:
    """How many attempts were read, whether they were stored, and everything to be told."""

    attempts: int
    problems: tuple[Problem, ...]
    stored: bool


def import_file(
    desk: Desk,
    file: Path,
    *,
    maps: Iterable[str] = (),
    dates: Dates | None = None,
    zone: tzinfo | None = None,
    dry_run: bool = False,
) -> Imported:
    """Read a CSV file and add its attempts as one change; with any problem nothing is added.

    `maps` are pairs "Their heading=our_field"; `zone` is the local time of the file where that is
    not the bench's. With `dry_run` everything is checked and nothing is stored.
    """
    from platebook.exchange.csv_file import import_csv
    from platebook.exchange.headings import read_column_map

    if file.suffix.lower() not in {".csv", ".txt", ".tsv"}:
        raise Refused(f"{file.name}: read a file named *{file.suffix}, expected *.csv")
    try:
        data = file.read_bytes()
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}") from error
    column_map, wrong = read_column_map(maps)
    if only_problems(wrong):
        return Imported(0, wrong, stored=False)
    with opened(desk) as book:
        setter = with_id(book.setters(), desk.setter_id)
        attempts, problems = import_csv(
            data,
            column_map=column_map,
            course=course_of(book, setter),
            zone=zone or desk.zone,
            dates=dates,
        )
        if only_problems(problems):
            return Imported(len(attempts), (*wrong, *problems), stored=False)
        done = store(desk, book, attempts, (*wrong, *problems), what="import", dry_run=dry_run)
    return Imported(len(attempts), done.problems, done.stored)


def export_file(
    desk: Desk,
    file: Path,
    *,
    everyone: bool = False,
    words: str = "",
    attempt_ids: Iterable[str] = (),
) -> int:
    """Write attempts of the setter in use (or of everyone) to a CSV file; gives how many.

    With `words` those in which they stand, with `attempt_ids` just those. The file appears whole or
    not at all, and one that is there is not overwritten.
    """
    from platebook.exchange.csv_file import write_csv

    named = tuple(attempt_ids)
    if named:
        found = attempts_with_ids(desk, named)
    else:
        found = attempts_of(desk, words=words, everyone=everyone or desk.setter_id is None)
    write_new(file, write_csv(found), encoding="utf-8-sig")
    return len(found)
