"""`platebook report`, `backup`, `restore`, `where` and `check`: pages, and the logbook as a file.

A page to print and hand out, copies of the logbook that are proven readable, where all of it lies,
and whether the logbook itself is whole.
"""

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platebook.cli.terminal.completion import classes
from platebook.cli.terminal.options import (
    DATA_SAYS_NO,
    FILE,
    answer,
    in_session,
    json_option,
    logbook_option,
    say,
    setter_option,
    wrapped,
)
from platebook.cli.terminal.progress_bar import long_work, new_file_left
from platebook.trade.phrases import count_of

if TYPE_CHECKING:
    from platebook.services.backups import Whereabouts
    from platebook.services.session import Session


@click.command("report")
@click.argument("file", type=FILE)
@click.option("--class", "whole_class", is_flag=True, help="About the class instead of one setter.")
@click.option("--group", shell_complete=classes, help="One group of the logbook; it means --class.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def report_command(
    ctx: click.Context,
    *,
    file: Path,
    whole_class: bool,
    group: str | None,
    setter: str | None,
    as_json: bool,
) -> None:
    """Write a page about one setter: what next, the grades, what goes with failure, the last seats.

    With --class a page about everyone: a line a setter, one topic for all, room for initials.

    The page stands alone, asks for nothing from anywhere, and prints on one side of A4 or Letter.
    """
    from platebook.services.pages.report_pages import write_class_page, write_setter_page

    if (whole_class or group) and setter:
        raise click.UsageError("A page is about one setter or about a class: not both.")
    with in_session(ctx, setter=setter) as session:
        if whole_class or group:
            with long_work("Reading the class", partial(new_file_left, file)) as work:
                write_class_page(session, file, group, watch=work)
        else:
            write_setter_page(session, file)
    answer(
        f"{file}: written; open it in a browser to read or print it.",
        {"file": str(file)},
        as_json=as_json,
    )


@click.command("backup")
@click.argument("file", type=FILE, required=False)
@click.option(
    "--keep-in",
    metavar="FOLDER",
    type=FILE,
    help="Make the program's own copies there from now on, such as on a stick.",
)
@click.option("--keep-beside", is_flag=True, help="Make them beside the logbook again.")
@logbook_option
@json_option
@click.pass_context
def backup_command(
    ctx: click.Context,
    *,
    file: Path | None,
    keep_in: Path | None,
    keep_beside: bool,
    as_json: bool,
) -> None:
    """Copy the logbook to FILE; it is read back and compared before it gets that name.

    Without FILE the copy goes to those that the program makes by itself (platebook where).
    """
    from platebook.services.backups import copy_now, keep_copies_in
    from platebook.services.files import backup

    if sum((file is not None, keep_in is not None, keep_beside)) > 1:
        raise click.UsageError("One at a time: a FILE, --keep-in or --keep-beside.")
    with in_session(ctx) as session:
        if keep_in is not None or keep_beside:
            folder = keep_copies_in(session, keep_in)
            answer(
                wrapped(f"{folder}: copies are made there from now on; the first one is."),
                {"file": str(folder)},
                as_json=as_json,
            )
            return
        left = partial(new_file_left, file or session.path)
        with long_work("Copying the logbook", left):
            if file is not None:
                backup(session, file)
            else:
                file = copy_now(session).file
    answer(f"{file}: written, read back and compared.", {"file": str(file)}, as_json=as_json)


@click.command("restore")
@click.argument("file", type=FILE, required=False)
@click.option(
    "--with-erased",
    is_flag=True,
    help="Bring back whom an erasing of the last 30 days took: it was the mistake.",
)
@logbook_option
@json_option
@click.pass_context
def restore_command(
    ctx: click.Context, *, file: Path | None, with_erased: bool, as_json: bool
) -> None:
    """Put the backup FILE in the logbook's place; the logbook that was there is kept beside it.

    Who was erased since the backup was made stays erased.

    Without FILE the copies are listed that the program made; the number of one stands for it.
    """
    from platebook.services.backups import copy_numbered, whereabouts
    from platebook.services.files import restore, restored_words

    with in_session(ctx, look=False) as session:
        if file is None:
            _tell_where(session, whereabouts(session), as_json=as_json, copies_only=True)
            return
        if str(file).isdecimal() and not file.exists():
            file = copy_numbered(session, int(str(file)[:6]))
        done = restore(session, file, with_erased=with_erased)
        words = "\n".join(map(wrapped, restored_words(session, file, done)))
    keys = {
        "logbook": str(session.path),
        "kept": str(done.kept) if done.kept else None,
        "still_erased": done.still_erased,
        "back": done.back,
    }
    answer(words, keys, as_json=as_json)


@click.command("where")
@logbook_option
@json_option
@click.pass_context
def where_command(ctx: click.Context, *, as_json: bool) -> None:
    """Where the logbook and its copies lie, how large they are, and what to mind about it."""
    from platebook.services.backups import whereabouts

    # A damaged logbook is the one whose copies are looked for.
    with in_session(ctx, look=False) as session:
        _tell_where(session, whereabouts(session), as_json=as_json)


def _tell_where(
    session: "Session", found: "Whereabouts", *, as_json: bool, copies_only: bool = False
) -> None:
    from platebook.reports.text.figures import bytes_in_words

    now = session.clock()
    keys = {
        "logbook": str(found.logbook),
        "bytes": found.size,
        "attempts": found.attempts,
        "copies_in": str(found.folder),
        "copies_bytes": found.copies_size,
        "copies": [
            {
                "number": number,
                "file": str(copy.file),
                "made": copy.made.isoformat(),
                "before": copy.before,
                "attempts": copy.attempts,
                "bytes": copy.size,
                "words": copy.words(now, session.zone),
            }
            for number, copy in enumerate(found.copies, start=1)
        ],
        "beside": [str(file) for file in found.beside],
        "notes": list(found.notes),
    }
    lines = []
    if not copies_only:
        lines.append(f"The logbook: {found.logbook}")
        if found.attempts is None:
            lines.append("  cannot be read")
        elif found.size:
            held = count_of(found.attempts, "attempt")
            lines.append(f"  {bytes_in_words(found.size)}, {held}")
        else:
            lines.append("  not there yet; the first record makes it")
    total = f", {bytes_in_words(found.copies_size)} in all" if found.copies else ""
    lines.append(f"Copies made by the program{total}: {found.folder}")
    lines += [
        f"{number:>4}  {copy.words(now, session.zone)}"
        for number, copy in enumerate(found.copies, start=1)
    ]
    if not found.copies:
        lines.append("  none yet; one is made by the day, and before an import or sharing")
    lines += [f"  beside the logbook: {file.name}" for file in found.beside]
    if found.copies:
        lines.append("platebook restore 1 puts the newest back; any other number as well.")
    answer("\n".join(lines), keys, as_json=as_json)
    for note in () if as_json else found.notes:
        say(wrapped(f"note: {note}"))


@click.command("check")
@click.option("--mend", "mending", is_flag=True, help="Mend what can be, after keeping a copy.")
@logbook_option
@json_option
@click.pass_context
def check_command(ctx: click.Context, *, mending: bool, as_json: bool) -> None:
    """Look whether the logbook is whole: the file, its links, and that its history adds up."""
    from platebook.services.files import (
        check,
        doubts_about_place,
        mend,
        unsigned_words,
        way_back,
    )

    with in_session(ctx, look=False) as session:
        done = mend(session) if mending else ()
        wrong = check(session)
        unsigned = unsigned_words(session)
        advice = way_back(session, wrong) if wrong else None
    if (doubt := doubts_about_place(session)) is not None:
        say(wrapped(f"note: {doubt}"))
    if unsigned is not None:
        say(wrapped(f"note: {unsigned}"))
    whole = f"{session.path}: whole{'; there was nothing to mend' if mending and not done else ''}."
    words = "\n".join(map(wrapped, (*done, *(wrong or (whole,)))))
    keys = {"whole": not wrong, "findings": list(wrong), "mended": list(done)}
    answer(words, keys, as_json=as_json)
    if advice is not None and not as_json:
        say(wrapped(advice))
    if wrong:
        sys.exit(DATA_SAYS_NO)
