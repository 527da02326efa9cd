"""`platebook record`, `log`, `show`, `amend`, `look-again`, `undo`, `redo`: one attempt or many."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from platebook.cli.terminal.completion import results
from platebook.cli.terminal.options import (
    FILE_NAME,
    answer,
    in_session,
    json_option,
    logbook_option,
    look_after_copies,
    print_json,
    refuse,
    say,
    setter_option,
    tell,
    values_from,
)
from platebook.values import as_dict

if TYPE_CHECKING:
    from platebook.services.attempts.recording import Recorded
    from platebook.services.attempts.spreadsheets import Imported
    from platebook.services.session import Session


def completed_keys(done: "Recorded | Imported") -> dict[str, object]:
    """What was taken from the course or an earlier set-up, and where it counts, as JSON has it."""
    return {
        "proposed": [as_dict(proposed) for proposed in done.proposed],
        "counted": [as_dict(place) for place in done.counted],
    }


def completed_lines(done: "Recorded | Imported") -> tuple[str, ...]:
    """The same in sentences."""
    from platebook.services.attempts.proposals import proposed_in_words

    return (*proposed_in_words(done.proposed), *(place.sentence for place in done.counted))


SHORT = {
    "when": ("began", "When it began; now where left out."),
    "grade": ("grade", "The grade's id; proposed from stone and metal where left out."),
    "kind": ("kind", "whole, part or block."),
    "part": ("part", "For a part: which skill."),
    "diameter": ("stone_diameter_mm", "The stone's girdle, such as 1.98."),
    "depth": ("stone_depth_mm", "The stone from table to culet."),
    "metal": ("metal", "The sheet's metal."),
    "sheet": ("sheet_mm", "One layer, such as 20ga."),
    "pilot": ("pilot_mm", "The pilot drill."),
    "opening": ("opening_bur_mm", "The opening bur."),
    "bur": ("seat_bur_mm", "The seat bur."),
    "fit": ("fit", "1 will not enter ... 5 drops in and moves."),
    "trial-height": ("trial_height", "proud, flush, just under or deep."),
    "ledge": ("ledge", "even, slightly or clearly: wider on one side."),
    "result": ("result", "good, or defects joined by ;"),
    "severity": ("severity", "1 slight, 2 clear, 3 lost; in the order of the result."),
    "clock": ("clock", "1 to 12: where on the rim, the plate's notch is 12."),
    "first-seen": ("first_seen", "The step at which it was first seen."),
    "note": ("note", "Anything else."),
}


def _short_options(function: click.decorators.FC) -> click.decorators.FC:
    for name, (field, meaning) in reversed(SHORT.items()):
        completer = results if field == "result" else None
        function = click.option(
            f"--{name}", field, metavar="", help=meaning, shell_complete=completer
        )(function)
    return function


@click.command("record")
@_short_options
@click.option("--set", "pairs", multiple=True, metavar="FIELD=VALUE", help="Any other field.")
@click.option(
    "--from",
    "file",
    type=FILE_NAME,
    metavar="FILE.json",
    help="Many attempts; - for standard input.",
)
@click.option("--dates", type=click.Choice(["dmy", "mdy"]), help="How 3/2/2026 is meant.")
@click.option("--as-typed", is_flag=True, help="Fill in nothing, and keep the grade as typed.")
@click.option("--dry-run", is_flag=True, help="Check everything, store nothing.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def record_command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    /,
    *,
    pairs: tuple[str, ...],
    file: str | None,
    dates: Literal["dmy", "mdy"] | None,
    as_typed: bool,
    dry_run: bool,
    setter: str | None,
    as_json: bool,
    **short: str | None,
) -> None:
    """Add an attempt from options, or many from a JSON file.

    What is left out of stone, metal and sheet is taken from the last set-up or the course, and
    said; a stone of another grade is logged there. --as-typed does neither.

    The file holds one object or a list of objects with the field names of docs/fields.md. It is
    all or nothing: with a problem in any attempt nothing is stored.
    """
    from platebook.services.attempts.recording import record

    rows = _rows_from(file) if file else [_row_from(pairs, short)]
    with in_session(ctx, setter=setter) as session:
        done = record(session, rows, dates=dates, dry_run=dry_run, as_typed=as_typed)
        if done.stored:
            look_after_copies(ctx, session)
    if any(problem.level == "problem" for problem in done.problems):
        refuse([*done.problems, "Nothing was stored."])
    for notice in done.problems:
        say(f"note: {notice}")
    if as_json:
        print_json({"ids": list(done.ids), "stored": done.stored, **completed_keys(done)})
        return
    for sentence in completed_lines(done):
        say(sentence)
    if dry_run:
        say("Read without a problem; nothing stored (dry run).")
        return
    if not done.ids:
        say("No attempts in it; nothing was stored.")
        return
    tell("\n".join(done.ids))


def _row_from(pairs: tuple[str, ...], short: dict[str, str | None]) -> dict[str, object]:
    typed: dict[str, object] = {name: value for name, value in short.items() if value is not None}
    row = typed | values_from(pairs, "--set ")
    if not row:
        raise click.UsageError("nothing to record: give at least --result, or --from FILE.json")
    return row


def _rows_from(file: str) -> list[dict[str, object]]:
    from platebook.practice.text import json_in
    from platebook.services.files import read_whole
    from platebook.services.session import Refused

    try:
        data = sys.stdin.buffer.read() if file == "-" else read_whole(Path(file))
        content = json_in(data.decode("utf-8-sig"))
    except Refused as error:
        refuse([error.sentence])
    except ValueError as error:
        refuse([f"{file}: not JSON in UTF-8: {error}"])
    rows = content.get("attempts", [content]) if isinstance(content, dict) else content
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        refuse([f"{file}: expected an object or a list of objects, one an attempt"])
    return rows


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
    from platebook.practice.reading.attempt_rows import json_row
    from platebook.reports.text.log_text import log_lines
    from platebook.services.attempts.log import (
        attempts_of,
        grade_titles,
        looked_at,
        two_versions_of,
    )

    with in_session(ctx, setter=setter) as session:
        attempts = attempts_of(
            session, words=words, last=None if everything else last, everyone=everyone
        )
        clashing = two_versions_of(session, attempts)
        looked = looked_at(session, attempts)
        titles = {} if as_json else grade_titles(session, attempts)
    if as_json:
        rows = [json_row(attempt) for attempt in attempts]
        print_json({"attempts": rows, "two_versions": list(clashing), "looked_at": sorted(looked)})
        return
    if not attempts:
        say(_why_none(session, words, everyone=everyone))
        return
    lines = log_lines(
        attempts, with_setter=everyone, titles=titles, two_versions=clashing, looked_at=looked
    )
    tell("\n".join(lines))


def _why_none(session: "Session", words: str, *, everyone: bool) -> str:
    """Why no attempt is listed: no such words, nobody's yet, or no logbook where one was named."""
    if not session.path.exists():
        return f"There is no logbook at {session.path} yet; the first attempt makes it."
    if words.split():
        whose = "" if everyone or not session.setter_name else f" of {session.setter_name}"
        return f"No attempt{whose} has all of these words: {words}."
    if not everyone and session.setter_name:
        return (
            f"No attempts of {session.setter_name} yet. "
            "`platebook record --help` says how to add one; --everyone lists the others'."
        )
    return "No attempts yet. `platebook record --help` says how to add one."


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
    from platebook.practice.reading.attempt_rows import json_row
    from platebook.practice.results import verdict
    from platebook.reports.text.log_text import attempt_lines, inspection_lines
    from platebook.services.attempts.log import attempt_history, attempt_with, inspections_of
    from platebook.services.from_others import mark_read

    with in_session(ctx) as session:
        attempt = attempt_with(session, attempt_id)
        history = attempt_history(session, attempt.attempt_id or attempt_id)
        looks = inspections_of(session, attempt)
        if attempt.setter_id == session.setter_id:
            mark_read(session, (look.inspection_id or "" for look in looks))
    if as_json:
        seen = [look.model_dump(mode="json") for look in looks]
        print_json({"attempt": json_row(attempt), "inspections": seen, "history": list(history)})
        return
    own = f"own: {verdict(attempt.result or (), attempt.severity or ())}"
    seen_lines = ("", "Looked at", own, *inspection_lines(looks)) if looks else ()
    tell("\n".join((*attempt_lines(attempt), *seen_lines, "", "History", *history)))


@click.command("amend")
@click.argument("attempt_id", metavar="ID")
@click.argument("pairs", metavar="FIELD=VALUE", nargs=-1)
@click.option("--hide", is_flag=True, help="Take it out of everything; undo brings it back.")
@logbook_option
@json_option
@click.pass_context
def amend_command(
    ctx: click.Context,
    *,
    attempt_id: str,
    pairs: tuple[str, ...],
    hide: bool,
    as_json: bool,
) -> None:
    """Correct fields of one attempt; an empty value empties the field.

    The attempt as it was stays in its history, and `platebook undo` takes the change back.
    """
    from platebook.reports.text.log_text import inspection_lines
    from platebook.services.attempts.log import attempt_with, inspections_of
    from platebook.services.attempts.recording import amend
    from platebook.services.attempts.recording import hide as hide_attempt

    values = values_from(pairs)
    if not values and not hide:
        raise click.UsageError("nothing to change: give FIELD=VALUE, or --hide")
    with in_session(ctx) as session:
        attempt = attempt_with(session, attempt_id)
        full_id = attempt.attempt_id or attempt_id
        for seen in inspection_lines(inspections_of(session, attempt)):
            say(f"note: somebody else looked at this one: {seen}")
        if values:
            done = amend(session, full_id, values)
            if not done.stored:
                refuse([*done.problems, "Nothing was changed."])
            for notice in done.problems:
                say(f"note: {notice}")
        if hide:
            say(hide_attempt(session, full_id))
    answer(full_id, {"ids": [full_id]}, as_json=as_json)


@click.command("undo")
@logbook_option
@json_option
@click.pass_context
def undo_command(ctx: click.Context, *, as_json: bool) -> None:
    """Take your last change back; `platebook redo` puts it back."""
    from platebook.services.attempts.recording import undo

    with in_session(ctx) as session:
        done = undo(session)
    answer(done, {"done": done}, as_json=as_json)


@click.command("redo")
@logbook_option
@json_option
@click.pass_context
def redo_command(ctx: click.Context, *, as_json: bool) -> None:
    """Put back what `platebook undo` took back last."""
    from platebook.services.attempts.recording import redo

    with in_session(ctx) as session:
        done = redo(session)
    answer(done, {"done": done}, as_json=as_json)


@click.command("look-again")
@click.argument("attempt", required=False)
@click.argument("result", required=False, shell_complete=results)
@click.option("--severity", default="", help="1 slight, 2 clear, 3 lost, in the order of defects.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def look_again_command(
    ctx: click.Context,
    *,
    attempt: str | None,
    result: str | None,
    severity: str,
    setter: str | None,
    as_json: bool,
) -> None:
    """Judge three positions of your last day again, drawn at random and without the first verdict.

    Without words it lists them; with ATTEMPT (its id or the end of it) and RESULT it takes the
    second verdict down, and only then tells the first.
    """
    from platebook.reports.text.class_text import verdicts_line
    from platebook.reports.text.figures import place_on_plate
    from platebook.services.attempts.log import attempt_with
    from platebook.services.classes.second_look import judge_again, second_look

    if attempt is not None and result is None:
        raise click.UsageError("RESULT is missing: 0 for good, or the defects you see")
    with in_session(ctx, setter=setter) as session:
        if attempt is not None and result is not None:
            named = attempt_with(session, attempt).attempt_id or attempt
            done = judge_again(session, named, result, severity)
            answer(
                verdicts_line(done.inspection, "First look", (done.own_result, done.own_severity)),
                {"setter": done.setter, "first_result": list(done.own_result)},
                as_json=as_json,
            )
            return
        again = second_look(session)
    if as_json:
        print_json({"rows": [as_dict(row) for row in again.rows], "agreement": again.agreement})
        return
    for row in again.rows:
        where = place_on_plate(row.plate, row.position)
        tell(f"{row.attempt_id[-6:]}  {where}, {row.grade_title}")
    if not again.rows:
        say("Nothing to judge again today: come back the day after you practised.")
    tell(again.agreement)
