"""A CSV or XLSX file in and out: all of it or nothing, every problem told.

XLSX is imported where such a file is read or written: it brings arrays along.
"""

from collections.abc import Iterable
from datetime import tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.exchange.csv_file import write_csv
from platebook.exchange.sheets.answers import NO_ANSWERS, Answers, read_map
from platebook.exchange.sheets.questions import Question
from platebook.logbook import Logbook, setter_records
from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem, only_problems
from platebook.services.attempts.log import attempts_of, attempts_with_ids
from platebook.services.attempts.proposals import Counted, Proposed
from platebook.services.attempts.recording import Dates
from platebook.services.files import typed_path, write_new_bytes, wrong_ending
from platebook.services.progress_callback import Watch, unwatched, within
from platebook.services.session import Session, opened, sign_offs_of, signed_name, signers
from platebook.services.sheets.known_rows import NOTHING_SORTED, Alike, SortedRows
from platebook.services.sheets.looking import SheetLook, look_at
from platebook.services.sheets.taking_in import Preview, preview, take_in
from platebook.services.sheets.wording import row_lines
from platebook.trade.phrases import count_of
from platebook.values import Value, replace

if TYPE_CHECKING:
    from platebook.exchange.xlsx_writer import Beside

WRITTEN = (".csv", ".xlsx")


class Imported(Value):
    """What came of an import: how many attempts were read, whether they were stored, what is told.

    `questions` are what the program could not tell by itself; each stands among the `problems`
    too. `rows` are the attempts sorted: new, corrected, known. `proposed` is what no row says and
    was taken from the course or an earlier set-up, `counted` where the attempts count. `alike` are
    lines of the sheet that are alike, `first_rows` the first new ones as the log will have them.
    """

    attempts: int
    problems: tuple[Problem, ...]
    stored: bool
    questions: tuple[Question, ...] = ()
    rows: SortedRows = NOTHING_SORTED
    summary: str = ""
    proposed: tuple[Proposed, ...] = ()
    counted: tuple[Counted, ...] = ()
    alike: tuple[Alike, ...] = ()
    first_rows: tuple[str, ...] = ()


def import_file(  # noqa: PLR0913 - how a table may be meant, by keyword
    session: Session,
    file: Path,
    *,
    maps: Iterable[str] = (),
    answers: Answers = NO_ANSWERS,
    dates: Dates | None = None,
    zone: tzinfo | None = None,
    new_only: bool = False,
    dry_run: bool = False,
    watch: Watch = unwatched,
) -> Imported:
    """Read a CSV or XLSX file and add what is new in it as one change; with a problem nothing is.

    `maps` are pairs "Their heading=our_field" or "their value=ours", `answers` what was answered
    about such a sheet before; `zone` is the local time of the file where that is not the
    session's. With `new_only` corrected rows are left as they stand, and with `dry_run` everything
    is checked and nothing is stored. What could not be told stands in `questions`: nobody is asked.
    """
    meant, wrong = read_map(maps)
    if only_problems(wrong):
        return Imported(0, wrong, stored=False)
    here = session if zone is None else replace(session, zone=zone)
    given = answers.with_dates(dates) if dates is not None else answers
    with opened(session, rehearsal=dry_run) as book:
        look = look_at(here, book, file, given, meant)
        return taken_in(here, book, look, new_only=new_only, dry_run=dry_run, watch=watch)


def taken_in(
    session: Session,
    book: Logbook,
    look: SheetLook,
    *,
    new_only: bool = False,
    dry_run: bool = False,
    watch: Watch = unwatched,
) -> Imported:
    """Take in a sheet as it is understood now, with the questions that are still open told."""
    # Read and completed, then made, kept and placed: five times each row.
    seen = preview(session, book, look, watch=within(watch, 0, 2, 5))
    stored = not seen.wrong and not dry_run
    if stored:
        storing = within(watch, 2, 3, 5)
        take_in(session, book, look, seen, new_only=new_only, watch=storing)
    return imported(look, seen, stored=stored)


def imported(look: SheetLook, seen: Preview, *, stored: bool) -> Imported:
    """What came of a sheet after it was previewed, with the questions that are still open."""
    return Imported(
        seen.attempts,
        seen.problems,
        stored=stored,
        questions=look.questions,
        rows=seen.rows,
        summary=seen.summary,
        proposed=seen.proposed,
        counted=seen.counted,
        alike=seen.alike,
        first_rows=tuple(row_lines(look, seen)),
    )


def export_file(
    session: Session,
    file: Path,
    *,
    everyone: bool = False,
    words: str = "",
    attempt_ids: Iterable[str] = (),
    decimal_comma: bool = False,
) -> int:
    """Write attempts of the setter in use (or of everyone) to a CSV or XLSX file; gives how many.

    With `words` those in which they stand, with `attempt_ids` just those. A CSV file with
    `decimal_comma` is separated by semicolons. XLSX has others' looks and sign-offs on sheets of
    their own. The file appears whole or not at all, and one that is there is not overwritten.
    """
    if file.suffix.lower() not in WRITTEN:
        raise wrong_ending(Path(file.name), "*.csv or *.xlsx")
    named = tuple(attempt_ids)
    if named:
        attempts = attempts_with_ids(session, named)
    else:
        attempts = attempts_of(session, words=words, everyone=everyone or session.setter_id is None)
    if file.suffix.lower() == ".xlsx":
        from platebook.exchange.xlsx_writer import write_xlsx

        data = write_xlsx(attempts, _beside(session, attempts))
    else:
        separator = ";" if decimal_comma else ","
        text = write_csv(attempts, separator=separator, decimal_comma=decimal_comma)
        data = text.encode("utf-8-sig")
    write_new_bytes(file, [data])
    return len(attempts)


def write_typed(
    session: Session, typed: str, *, everyone: bool, words: str, attempt_ids: Iterable[str]
) -> str:
    """`export_file` to a file as a person types its name, `~` included; says what was done."""
    file = typed_path(typed).absolute()
    count = export_file(session, file, everyone=everyone, words=words, attempt_ids=attempt_ids)
    return f"{count_of(count, 'attempt')} written to {file}"


def _beside(session: Session, attempts: tuple[Attempt, ...]) -> "Beside":
    """What others said of these attempts, people by their names."""
    from platebook.exchange.xlsx_writer import NOTHING_BESIDE, Beside

    if not attempts:
        return NOTHING_BESIDE
    names = {a.setter_id: a.setter or "" for a in attempts if a.setter_id}
    with opened(session) as book:
        known = signers(book)
        looks = [
            look for one in sorted(names) for look in book.ask(setter_records.inspections, one)
        ]
        signed = [(names[one], s) for one in sorted(names) for s in sign_offs_of(book, one)]
    named = (
        look.model_copy(update={"inspector": signed_name(known, look.inspector)}) for look in looks
    )
    return Beside(looks=tuple(named), sign_offs=tuple(signed))
