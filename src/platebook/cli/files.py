"""`platebook report`, `backup`, `restore` and `check`: pages, and the logbook as a file.

A page to print and hand out, copies of the logbook that are proven readable, and whether the
logbook itself is whole.
"""

import sys
from functools import partial
from pathlib import Path

import click

from platebook.cli.terminal.options import (
    DATA_SAYS_NO,
    in_session,
    json_option,
    logbook_option,
    print_json,
    say,
    setter_option,
    tell,
    wrapped,
)
from platebook.cli.terminal.progress_bar import long_work, new_file_left


@click.command("report")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--class", "whole_class", is_flag=True, help="About the class instead of one setter.")
@click.option("--group", help="One group of the logbook; it means --class.")
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
    if as_json:
        print_json({"file": str(file)})
        return
    tell(f"{file}: written; open it in a browser to read or print it.")


@click.command("backup")
@click.argument("file", type=click.Path(path_type=Path))
@logbook_option
@json_option
@click.pass_context
def backup_command(ctx: click.Context, *, file: Path, as_json: bool) -> None:
    """Copy the logbook to FILE; it is read back and compared before it gets that name."""
    from platebook.services.files import backup

    left = partial(new_file_left, file)
    with in_session(ctx) as session, long_work("Copying the logbook", left):
        backup(session, file)
    if as_json:
        print_json({"file": str(file)})
        return
    tell(f"{file}: written, read back and compared.")


@click.command("restore")
@click.argument("file", type=click.Path(path_type=Path))
@logbook_option
@json_option
@click.pass_context
def restore_command(ctx: click.Context, *, file: Path, as_json: bool) -> None:
    """Put the backup FILE in the logbook's place; the logbook that was there is kept beside it."""
    from platebook.services.files import restore

    with in_session(ctx, look=False) as session:
        kept = restore(session, file)
    if as_json:
        print_json({"logbook": str(session.path), "kept": str(kept) if kept else None})
        return
    tell(f"{session.path}: restored from {file}.")
    if kept is not None:
        tell(f"The logbook that was there is kept as {kept}.")


@click.command("check")
@click.option("--mend", "mending", is_flag=True, help="Mend what can be, after keeping a copy.")
@logbook_option
@json_option
@click.pass_context
def check_command(ctx: click.Context, *, mending: bool, as_json: bool) -> None:
    """Look whether the logbook is whole: the file, its links, and that its history adds up."""
    from platebook.services.files import check, doubts_about_place, mend, unsigned_words

    with in_session(ctx) as session:
        done = mend(session) if mending else ()
        wrong = check(session)
        unsigned = unsigned_words(session)
    if (doubt := doubts_about_place(session)) is not None:
        say(wrapped(f"note: {doubt}"))
    if unsigned is not None:
        say(wrapped(f"note: {unsigned}"))
    if as_json:
        print_json({"whole": not wrong, "findings": list(wrong), "mended": list(done)})
    else:
        whole = (
            f"{session.path}: whole{'; there was nothing to mend' if mending and not done else ''}."
        )
        tell("\n".join(map(wrapped, (*done, *(wrong or (whole,))))))
    if wrong:
        sys.exit(DATA_SAYS_NO)
