"""`platebook log` and `show`: attempts newest first, and one with its history."""

import click

from platebook.cli.options import (
    in_session,
    json_option,
    logbook_option,
    print_json,
    say,
    setter_option,
    tell,
)


@click.command("log")
@click.option("--last", type=click.IntRange(min=1), default=20, help="How many.")
@click.option("--all", "everything", is_flag=True, help="All of them, oldest first.")
@click.option("--everyone", is_flag=True, help="Of every setter in the logbook.")
@click.option("--words", default="", help="Only those in which all these words stand.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def log_command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    last: int,
    everything: bool,
    everyone: bool,
    words: str,
    setter: str | None,
    as_json: bool,
) -> None:
    """List attempts."""
    from platebook.practice.attempt_rows import json_row
    from platebook.reports.text.log_text import log_lines
    from platebook.services.attempts.log import attempts_of, two_versions_of

    with in_session(ctx, setter=setter) as session:
        attempts = attempts_of(
            session, words=words, last=None if everything else last, everyone=everyone
        )
        clashing = two_versions_of(session, attempts)
    if as_json:
        rows = [json_row(attempt) for attempt in attempts]
        print_json({"attempts": rows, "two_versions": list(clashing)})
        return
    if not attempts:
        say("No attempts yet. `platebook record --help` says how to add one.")
        return
    tell("\n".join(log_lines(attempts, with_setter=everyone, two_versions=clashing)))


@click.command("show")
@click.argument("attempt_id", metavar="ID")
@logbook_option
@json_option
@click.pass_context
def show_command(
    ctx: click.Context,
    *,
    attempt_id: str,
    as_json: bool,
) -> None:
    """Show one attempt, what others saw of it, and every change made to it.

    An ID may be its last few letters.
    """
    from platebook.practice.attempt_rows import json_row
    from platebook.reports.text.log_text import attempt_lines, inspection_lines
    from platebook.services.attempts.log import attempt_history, attempt_with, inspections_of

    with in_session(ctx) as session:
        attempt = attempt_with(session, attempt_id)
        history = attempt_history(session, attempt.attempt_id or attempt_id)
        looks = inspections_of(session, attempt)
    if as_json:
        seen = [look.model_dump(mode="json") for look in looks]
        print_json({"attempt": json_row(attempt), "inspections": seen, "history": list(history)})
        return
    seen_lines = ("", "Inspections", *inspection_lines(looks)) if looks else ()
    tell("\n".join((*attempt_lines(attempt), *seen_lines, "", "History", *history)))
