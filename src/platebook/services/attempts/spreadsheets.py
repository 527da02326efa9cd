"""A CSV or XLSX file in and out: all of it or nothing, every problem told.

XLSX is imported where such a file is read or written: it brings arrays along.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path

from platebook.exchange.csv_file import read_csv, write_csv
from platebook.exchange.table import TableMeaning, read_column_map
from platebook.logbook import setter_records
from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem, only_problems
from platebook.services.attempts.log import attempts_of, attempts_with_ids
from platebook.services.attempts.recording import Dates, store
from platebook.services.files import read_whole, write_new_bytes
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Refused, Session, course_of, opened, with_id

READ = (".csv", ".txt", ".tsv", ".xlsx")
WRITTEN = (".csv", ".xlsx")
BUNDLE_START = b'{"platebook":"bundle"'


@dataclass(frozen=True)
class Imported:
    """How many attempts were read, whether they were stored, and everything to be told."""

    attempts: int
    problems: tuple[Problem, ...]
    stored: bool


def import_file(  # noqa: PLR0913 - how a table may be meant, by keyword
    session: Session,
    file: Path,
    *,
    maps: Iterable[str] = (),
    dates: Dates | None = None,
    zone: tzinfo | None = None,
    dry_run: bool = False,
    watch: Watch = unwatched,
) -> Imported:
    """Read a CSV or XLSX file and add its attempts as one change; with a problem none is added.

    `maps` are pairs "Their heading=our_field"; `zone` is the local time of the file where that is
    not the session's. With `dry_run` everything is checked and nothing is stored.
    """
    if file.suffix.lower() not in READ:
        expected = "expected *.csv or *.xlsx"
        raise Refused(f"{file.name}: read a file named *{file.suffix}, {expected}")
    data = read_whole(file)
    if data.startswith(BUNDLE_START):
        raise Refused(f"{file.name}: is a bundle of another logbook; name it *.platebook")
    column_map, wrong = read_column_map(maps)
    if only_problems(wrong):
        return Imported(0, wrong, stored=False)
    with opened(session, rehearsal=dry_run) as book:
        setter = with_id(book.ask(setter_records.setters), session.setter_id)
        reading = TableMeaning(
            column_map=column_map,
            course=course_of(book, setter),
            zone=zone or session.zone,
            dates=dates,
            watch=watch,
        )
        attempts, problems = _attempts_in(file, data, reading)
        if only_problems(problems):
            return Imported(len(attempts), (*wrong, *problems), stored=False)
        watch(0, 0)
        done = store(session, book, attempts, (*wrong, *problems), what="import", dry_run=dry_run)
    return Imported(len(attempts), done.problems, done.stored)


def export_file(
    session: Session,
    file: Path,
    *,
    everyone: bool = False,
    words: str = "",
    attempt_ids: Iterable[str] = (),
) -> int:
    """Write attempts of the setter in use (or of everyone) to a CSV or XLSX file; gives how many.

    With `words` those in which they stand, with `attempt_ids` just those. The file appears whole or
    not at all, and one that is there is not overwritten.
    """
    if file.suffix.lower() not in WRITTEN:
        expected = "expected *.csv or *.xlsx"
        raise Refused(f"{file.name}: read a file named *{file.suffix}, {expected}")
    named = tuple(attempt_ids)
    if named:
        attempts = attempts_with_ids(session, named)
    else:
        attempts = attempts_of(session, words=words, everyone=everyone or session.setter_id is None)
    write_new_bytes(file, _table_bytes(file, attempts))
    return len(attempts)


def write_typed(
    session: Session, typed: str, *, everyone: bool, words: str, attempt_ids: Iterable[str]
) -> str:
    """`export_file` to a file as a person types its name, `~` included; says what was done."""
    file = Path(typed).expanduser().absolute()
    count = export_file(session, file, everyone=everyone, words=words, attempt_ids=attempt_ids)
    return f"{count} attempts written to {file}"


def _attempts_in(
    file: Path, data: bytes, reading: TableMeaning
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    if file.suffix.lower() == ".xlsx":
        from platebook.exchange.xlsx_file import import_xlsx

        return import_xlsx(data, reading)

    return read_csv(data, reading)


def _table_bytes(file: Path, attempts: tuple[Attempt, ...]) -> bytes:
    if file.suffix.lower() == ".xlsx":
        from platebook.exchange.xlsx_file import write_xlsx

        return write_xlsx(attempts)

    return write_csv(attempts).encode("utf-8-sig")
