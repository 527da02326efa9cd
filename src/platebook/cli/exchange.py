"""`platebook import` and `export`: attempts from and to CSV, XLSX or a bundle.

On a terminal an import asks (`asking`); otherwise it lists the same questions.
"""

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import click

from platebook.cli.attempts import completed_keys, completed_lines
from platebook.cli.course import waiting_keys
from platebook.cli.share import answer_left_out, answer_what_waits, received_keys
from platebook.cli.start import STOPPED
from platebook.cli.terminal.options import (
    DATA_SAYS_NO,
    FILE,
    answer,
    came_by_ctrl_c,
    can_ask,
    in_session,
    json_option,
    logbook_option,
    look_after_copies,
    print_json,
    problem_keys,
    refuse,
    say,
    setter_option,
    tell,
    wrapped,
)
from platebook.cli.terminal.progress_bar import long_work, make_ready, storing
from platebook.trade.phrases import count_of
from platebook.values import Value, as_dict, replace

if TYPE_CHECKING:
    from platebook.exchange.sheets.answers import Answers
    from platebook.services.attempts.spreadsheets import Imported
    from platebook.services.session import Session


LEFT = "nothing was stored."


def is_bundle(file: Path) -> bool:
    """Whether a file is named as a bundle is."""
    from platebook.exchange.bundle_lines import SUFFIX

    return file.suffix.lower() == SUFFIX


def take_in(
    session: "Session", file: Path, *, everyone: bool, dry_run: bool, as_json: bool
) -> None:
    """Take a bundle in and say what came of it."""
    from platebook.services.courses.waiting import waiting_courses
    from platebook.services.sharing.single_bundle import import_bundle

    with storing(session, file) as work:
        received, notices = import_bundle(
            session, file, everyone=everyone, dry_run=dry_run, watch=work
        )
    for notice in notices:
        say(wrapped(f"note: {notice}"))
    waiting = waiting_courses(session)
    if as_json:
        courses = [waiting_keys(one) for one in waiting]
        keys = received_keys(received)
        print_json({"stored": not dry_run, **keys, "notices": list(notices), "courses": courses})
    else:
        from platebook.services.sharing.outcome_words import received_lines

        tell("\n".join(map(wrapped, received_lines(received, rehearsal=dry_run))))
        if not dry_run:
            answer_what_waits(session, received.asks_to_erase, waiting)
            asked = [left for left in received.left_out if not left.refused and not left.answer]
            if answer_left_out(session, asked):
                again, _ = import_bundle(session, file, everyone=everyone)
                tell("\n".join(map(wrapped, received_lines(again))))
    if not dry_run:
        make_ready(session)
    elif not as_json:
        tell("Nothing stored (dry run).")


def hand_on(session: "Session", file: Path, *, setter: str | None, as_json: bool) -> None:
    """Write this logbook's bundle, or what it knows about one setter, and say how much that is."""
    from platebook.services.sharing.single_bundle import export_bundle

    about = session.setter_id if setter is not None else None
    count = export_bundle(session, file, about=about)
    answer(
        f"{file}: {count_of(count, 'revision')}.",
        {"file": str(file), "revisions": count, "about": about},
        as_json=as_json,
    )


@click.command("import")
@click.argument("file", type=FILE)
@click.option(
    "--map",
    "maps",
    multiple=True,
    metavar='"THEIRS=OURS"',
    help="What a heading or a value of theirs means.",
)
@click.option(
    "--answers",
    "answers_file",
    type=FILE,
    metavar="FILE.toml",
    help="Answers of an earlier import; the asking writes them there.",
)
@click.option("--dates", type=click.Choice(["dmy", "mdy"]), help="How 3/2/2026 is meant.")
@click.option("--zone", metavar="NAME", help="Local time of the file, such as Europe/Lisbon.")
@click.option("--sheet", "sheets", multiple=True, metavar="NAME", help="Only this sheet.")
@click.option("--encoding", metavar="NAME", help="Of a file that is no UTF-8, such as cp1252.")
@click.option("--new-only", is_flag=True, help="Leave corrected rows as they stand.")
@click.option("--all", "everyone", is_flag=True, help="Of a bundle: everyone, not one setter.")
@click.option("--dry-run", is_flag=True, help="Check everything, store nothing.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def import_command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    file: Path,
    maps: tuple[str, ...],
    answers_file: Path | None,
    dates: Literal["dmy", "mdy"] | None,
    zone: str | None,
    sheets: tuple[str, ...],
    encoding: str | None,
    new_only: bool,
    everyone: bool,
    dry_run: bool,
    setter: str | None,
    as_json: bool,
) -> None:
    """Bring attempts in from a CSV or XLSX file. With a problem in any row nothing is stored.

    On a terminal it shows what each column was taken for and asks, once, what it cannot tell;
    otherwise it lists the same questions. Only what is new comes in: docs/csv.md tells how,
    and docs/fields.md lists the fields.
    A FILE named *.platebook is a bundle of another logbook; docs/sharing.md says what is taken in.
    """
    if is_bundle(file):
        if maps or dates or zone or answers_file or sheets or encoding or new_only:
            raise click.UsageError("A bundle says all by itself: only --all and --dry-run.")
        with in_session(ctx, setter=setter) as session:
            take_in(session, file, everyone=everyone, dry_run=dry_run, as_json=as_json)
            look_after_copies(ctx, session)
        return
    if everyone:
        raise click.UsageError("--all is for a bundle; a table is taken in whole.")
    if sheets and file.suffix.lower() != ".xlsx":
        raise click.UsageError(
            f"--sheet chooses a sheet of an XLSX file; {file.name} is one table."
        )
    try:
        local = ZoneInfo(zone) if zone else None
    except (ZoneInfoNotFoundError, ValueError, OSError, RecursionError):
        refuse([f"--zone: read {zone!r:.60}, expected a time zone such as Europe/Lisbon"])
    with in_session(ctx, setter=setter) as session:
        if local is not None:
            session = replace(session, zone=local)  # noqa: PLW2901 - the file's own time
        given = _answers(answers_file, sheets, encoding, dates)
        how = _How(maps, given, answers_file, new_only=new_only, dry_run=dry_run)
        if can_ask() and not as_json:
            done = _asked(session, file, how)
        else:
            done = _unasked(session, file, how)
    _say(done, dry_run=dry_run, as_json=as_json)
    if done.stored:
        make_ready(session)
        look_after_copies(ctx, session)


class _How(Value):
    """How a sheet is to be taken in: what was said about it beforehand, and how far it goes."""

    maps: tuple[str, ...]
    answers: "Answers"
    answers_file: Path | None
    new_only: bool
    dry_run: bool


def _answers(
    file: Path | None,
    sheets: tuple[str, ...],
    encoding: str | None,
    dates: Literal["dmy", "mdy"] | None,
) -> "Answers":
    from platebook.exchange.sheets.answers import NO_ANSWERS, Answers
    from platebook.services.sheets.looking import answers_in

    kept = NO_ANSWERS
    if file is not None and (file.exists() or not can_ask()):
        kept = answers_in(file)
    return Answers(sheets=sheets, encoding=encoding or "", dates=dates).over(kept)


def _unasked(session: "Session", file: Path, how: _How) -> "Imported":
    from platebook.services.attempts.spreadsheets import import_file

    with storing(session, file) as work:
        return import_file(
            session,
            file,
            maps=how.maps,
            answers=how.answers,
            new_only=how.new_only,
            dry_run=how.dry_run,
            watch=work,
        )


def _asked(session: "Session", file: Path, how: _How) -> "Imported":
    """Ask, show what would come of it, and take it in; leaving stores nothing."""
    from platebook.cli.terminal.asking import Left, Terminal, ask_all, ask_one, ask_to_take_in
    from platebook.exchange.sheets.answers import answers_text, read_map
    from platebook.services.attempts.spreadsheets import Imported, imported
    from platebook.services.files import write_anew
    from platebook.services.session import opened
    from platebook.services.sheets.looking import look_at
    from platebook.services.sheets.taking_in import preview, take_in

    meant, wrong = read_map(how.maps)
    if wrong:
        return Imported(0, wrong, stored=False)
    ask = partial(click.prompt, default="", show_default=False, prompt_suffix="", err=True)
    terminal = Terminal(ask=ask, show=say)
    with opened(session, rehearsal=how.dry_run) as book:
        with long_work(f"Reading {file.name}", lambda _: LEFT):
            look = look_at(session, book, file, how.answers, meant)
        try:
            if look.questions or not look.remembered:
                look = ask_all(look, terminal)
            with storing(session, file) as work:
                seen = preview(session, book, look, watch=work)
            if (rows := seen.question()) is not None:
                look = ask_one(look, rows, terminal, "last")
                seen = preview(session, book, look)
            if seen.wrong:
                return imported(look, seen, stored=False)
            # What is noticed is told before the last question, and not again after it.
            told = imported(look, seen, stored=False)
            _tell_notices(told)
            if told.first_rows and not how.dry_run:
                terminal.show("\n".join(told.first_rows))
            way = "all" if how.dry_run else ask_to_take_in(seen, terminal)
        except (Left, click.Abort) as left:
            code = STOPPED if came_by_ctrl_c(left) else DATA_SAYS_NO
            refuse([f"Left as it was: {LEFT}"], code)
        if how.answers_file is not None:
            write_anew(how.answers_file, [answers_text(look.answers).encode("utf-8")])
        if not how.dry_run:
            new_only = how.new_only or way == "new"
            with storing(session, file) as work:
                take_in(session, book, look, seen, new_only=new_only, watch=work)
    done = imported(look, seen, stored=not how.dry_run)
    return replace(done, problems=(), proposed=(), counted=(), alike=())


def _tell_notices(done: "Imported") -> None:
    """What was noticed in the file, what was filled in, and where the attempts count."""
    from platebook.services.sheets.wording import alike_words

    folded = wrapped if sys.stderr.isatty() else str
    for notice in done.problems:
        if notice.level == "notice":
            say(folded(f"note: {notice}"))
    if done.alike:
        say(folded(f"note: {alike_words(done.alike)}"))
    for sentence in completed_lines(done):
        say(folded(sentence))


def _say(done: "Imported", *, dry_run: bool, as_json: bool) -> None:
    """What came of it; ends the command where a problem stopped it."""
    wrong = [p for p in done.problems if p.level == "problem"]
    if as_json or wrong:
        _tell_notices(replace(done, proposed=(), counted=()))
    if as_json:
        print_json({**_keys(done), **completed_keys(done)})
    if wrong:
        from platebook.cli.terminal.asking import hints

        folded = wrapped if sys.stderr.isatty() else str
        asked = [] if as_json else list(hints(q for q in done.questions if q.must))
        lines = [
            *map(str, wrong),
            *asked,
            f"{count_of(len(wrong), 'problem')}; nothing was stored.",
        ]
        refuse(map(folded, lines))
    if not as_json:
        _tell_notices(done)
        outcome = "read without a problem; nothing stored (dry run)" if dry_run else "stored"
        if done.attempts and len(done.rows.new) < done.attempts:
            outcome = f"read: {done.summary}{'; nothing stored (dry run)' if dry_run else ''}"
        if dry_run and done.first_rows:
            tell("\n".join(done.first_rows))
        tell(f"{count_of(done.attempts, 'attempt')} {outcome}.")


def _keys(done: "Imported") -> dict[str, object]:
    """What came of an import as JSON has it."""
    rows = [{"row": p.row, **problem_keys(p), "times": p.times} for p in done.problems]
    return {
        "attempts": done.attempts,
        "stored": done.stored,
        "problems": rows,
        "new": len(done.rows.new),
        "corrected": [
            {
                "attempt_id": correction.attempt.attempt_id,
                "changes": [as_dict(change) for change in correction.changes],
            }
            for correction in done.rows.corrected
        ],
        "known": done.rows.known,
        "taken_out": done.rows.taken_out,
        "alike": [{"sheet": each.sheet or None, "lines": list(each.lines)} for each in done.alike],
        "questions": [
            {
                "about": question.about,
                "column": question.heading,
                "value": question.value or None,
                "count": question.count,
                "lines": list(question.lines),
                "samples": list(question.samples),
                "expected": question.expected,
                "options": [option.answer for option in question.options],
                "suggested": question.options[0].answer if question.suggested else None,
                "must": question.must,
            }
            for question in done.questions
        ],
    }


@click.command("export")
@click.argument("file", type=FILE)
@click.option("--everyone", is_flag=True, help="Of every setter in the logbook.")
@click.option("--words", default="", help="Only those in which all these words stand.")
@click.option("--decimal-comma", is_flag=True, help="CSV with ; between cells and 1,98 in them.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def export_command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    file: Path,
    everyone: bool,
    words: str,
    decimal_comma: bool,
    setter: str | None,
    as_json: bool,
) -> None:
    """Write attempts to a CSV or XLSX file that `platebook import` reads back as the same attempts.

    A FILE named *.platebook is a bundle: all that this logbook hands on, with its history, or with
    --setter all that it knows about one person.
    """
    from platebook.services.attempts.spreadsheets import export_file

    if is_bundle(file):
        if words or everyone:
            raise click.UsageError(
                "A bundle holds all that is handed on: no --words, no --everyone."
            )
        with in_session(ctx, setter=setter) as session:
            hand_on(session, file, setter=setter, as_json=as_json)
        return
    with in_session(ctx, setter=setter) as session:
        count = export_file(
            session, file, everyone=everyone, words=words, decimal_comma=decimal_comma
        )
    if as_json:
        print_json({"file": str(file), "attempts": count})
        return
    tell(f"{file}: {count_of(count, 'attempt')}.")
