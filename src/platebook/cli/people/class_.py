"""`platebook class`: everyone at once, for whoever teaches them."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platebook.cli.people.class_register import register
from platebook.cli.people.class_terms import add_commands
from platebook.cli.terminal.completion import classes, grades, people, results, those_who_sign
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    FILE,
    answer,
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
    say,
    tell,
)
from platebook.cli.terminal.progress_bar import Work, long_work, new_file_left
from platebook.cli.terminal.window_options import asked_for, window_options
from platebook.trade.phrases import count_of
from platebook.values import as_dict

if TYPE_CHECKING:
    from collections.abc import Callable
    from concurrent.futures import Executor

NOBODY = "Nobody is in the class yet: platebook class new NAME --from list.csv."
group_option = click.option(
    "--group", shell_complete=classes, help="One class of the logbook; everyone where left out."
)
cluster_option = click.option(
    "--cluster", metavar="ADDRESS", help="Work on the machines of this Dask scheduler."
)


@contextmanager
def shared_work(
    cluster: str | None,
    label: str = "Reading the class",
    left: "Callable[[Work], str] | None" = None,
) -> "Iterator[tuple[Executor | None, Work]]":
    """Who works and who watches; Ctrl-C says what is `left`, or else that nothing is lost."""
    from platebook.services.classes.worker_pool import cluster_executor

    with long_work(label, left or kept_so_far) as work:
        if cluster is None:
            yield None, work
        else:
            with cluster_executor(cluster) as executor:
                yield executor, work


def kept_so_far(work: Work) -> str:
    """What is left where the analysis of a class is stopped."""
    kept = f" {work.done} of {work.of} steps are kept and not done again." if work.done else ""
    return f"no answer was given, and the logbook is as it was.{kept}"


@click.group("class", cls=NearGroup)
def command() -> None:
    """Classes and who is in them, the same answers over a class, and the inspection queue."""


add_commands(command)
command.add_command(register)


@command.command("roster")
@group_option
@logbook_option
@json_option
@click.pass_context
def roster(ctx: click.Context, *, group: str | None, as_json: bool) -> None:
    """Who is in the class: groups, courses, whether they still come, and their attempts."""
    from platebook.services.classes.class_roll import roster_of
    from platebook.services.courses.followed import shipped

    with in_session(ctx) as session:
        members = roster_of(session, group)
    if as_json:
        people = [
            {
                **p.setter.model_dump(mode="json"),
                "group": p.group,
                "classes": list(p.classes),
                "left": p.left,
                "attempts": p.attempts,
            }
            for p in members
        ]
        print_json({"setters": people})
        return
    if not members:
        say(NOBODY)
        return
    offered = shipped()[0].id
    page(
        session,
        (
            f"{p.setter.name:<20} {p.where:<16} "
            f"{p.setter.course or offered:<16} {count_of(p.attempts, 'attempt'):>14}"
            f"{'' if p.setter.active else '  away'}"
            for p in members
        ),
    )


@command.command("progress")
@group_option
@cluster_option
@logbook_option
@json_option
@click.pass_context
def progress(
    ctx: click.Context,
    *,
    group: str | None,
    cluster: str | None,
    as_json: bool,
) -> None:
    """A line a setter: grade, points to go, how it went lately, main defect, eye."""
    from platebook.advice.class_standing import topic
    from platebook.reports.text.class_text import standing_lines, together_lines
    from platebook.services.classes.class_answers import class_so_far

    with in_session(ctx) as session, shared_work(cluster) as (executor, work):
        standings, together = class_so_far(session, group, executor=executor, watch=work)
    if as_json:
        setters = [{**as_dict(line), "signs": line.signs} for line in standings]
        print_json({"setters": setters, "topic": topic(standings), "practice": as_dict(together)})
        return
    if not standings:
        say(NOBODY)
        return
    page(session, (*standing_lines(standings, topic(standings)), *together_lines(together)))


@command.command("findings")
@group_option
@window_options
@cluster_option
@logbook_option
@json_option
@click.pass_context
def findings(
    ctx: click.Context,
    *,
    group: str | None,
    since: datetime | None,
    everything: bool,
    cluster: str | None,
    as_json: bool,
) -> None:
    """What goes with failure across the class, and what is one setter's own."""
    from platebook.reports.text.class_text import class_findings_lines
    from platebook.services.classes.class_answers import class_findings, eyes

    asked = asked_for(since, everything=everything)
    with in_session(ctx) as session, shared_work(cluster) as (executor, work):
        answer = class_findings(session, group, asked=asked, executor=executor, watch=work)
        eyes_by_name = eyes(session, group, executor=executor, watch=work)
    if as_json:
        eye_rows = [
            {"setter": name, **eye.model_dump(mode="json")} for name, eye in eyes_by_name.items()
        ]
        print_json({**answer.model_dump(mode="json"), "eyes": eye_rows})
        return
    page(
        session,
        class_findings_lines(
            answer, {n: eye.sentence for n, eye in eyes_by_name.items() if eye.looks}
        ),
    )


@command.command("inspect")
@click.argument("attempt", required=False)
@click.argument("result", required=False, shell_complete=results)
@click.option("--severity", default="", help="1 slight, 2 clear, 3 lost, in the order of defects.")
@click.option("--clock", type=int, help="Where on the rim; the notch is 12.")
@click.option("--comment", default="", help="Words to the setter, or the digit of a stock comment.")
@click.option("--comments", is_flag=True, help="List the stock comments by result, and stop.")
@click.option(
    "--by",
    default="",
    shell_complete=those_who_sign,
    help="Who looks, where it is not the setter in use.",
)
@group_option
@cluster_option
@logbook_option
@json_option
@click.pass_context
def inspect(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    attempt: str | None,
    result: str | None,
    severity: str,
    clock: int | None,
    comment: str,
    comments: bool,
    by: str,
    group: str | None,
    cluster: str | None,
    as_json: bool,
) -> None:
    """List what to look at first and why, or record a look: ATTEMPT and RESULT.

    The setter's own verdict is told only when yours is in. RESULT reads as in `record`: a digit of
    the number pad or words, several joined by ; or +.
    """
    from platebook.practice.defects import stock_comments
    from platebook.reports.text.class_text import comment_lines, inspected_lines, queue_lines
    from platebook.services.classes.inspections import inspect as look_at
    from platebook.services.classes.inspections import queue

    if comments:
        listed = stock_comments()
        answer(
            "\n".join(comment_lines(listed)),
            {"comments": {name: list(texts) for name, texts in listed.items()}},
            as_json=as_json,
        )
        return
    if attempt is not None and result is None:
        raise click.UsageError("RESULT is missing: 0 for good, or the defects you see")
    with in_session(ctx) as session:
        if attempt is None or result is None:
            with shared_work(cluster) as (executor, work):
                due = queue(session, group, executor=executor, watch=work)
            if as_json:
                print_json({"queue": [as_dict(row) for row in due]})
            elif due:
                page(session, queue_lines(due))
            else:
                say("Nothing waits to be looked at.")
            return
        done = look_at(
            session, attempt, result, severity=severity, clock=clock, comment=comment, by=by
        )
    if as_json:
        print_json(
            {
                "inspection": done.inspection.model_dump(mode="json"),
                "setter": done.setter,
                "own_result": list(done.own_result),
                "own_severity": list(done.own_severity),
            }
        )
        return
    own = (done.own_result, done.own_severity)
    tell("\n".join(inspected_lines(done.inspection, done.setter, own)))


@command.command("sign-off")
@click.argument("setter", shell_complete=people)
@click.argument("grade", shell_complete=grades)
@click.option(
    "--by",
    default="",
    shell_complete=those_who_sign,
    help="Who signs, where it is not the setter in use.",
)
@click.option("--comment", default="", help="A word to the setter.")
@logbook_option
@json_option
@click.pass_context
def sign_off(
    ctx: click.Context,
    *,
    setter: str,
    grade: str,
    by: str,
    comment: str,
    as_json: bool,
) -> None:
    """Sign a grade off for SETTER, where the course asks an instructor to.

    GRADE is its id or title. It has to have its points; undo takes the sign-off back.
    """
    from platebook.services.classes.inspections import sign_off as sign

    with in_session(ctx) as session:
        done = sign(session, setter, grade, by=by, comment=comment)
    keys = {"sign_off": done.sign_off.model_dump(mode="json"), "setter": done.setter}
    answer(done.sentence, keys, as_json=as_json)


@command.command("export")
@click.argument("file", type=FILE)
@click.option(
    "--worn-at", type=int, metavar="SEATS", help="Mark burs that have cut so many seats or more."
)
@group_option
@cluster_option
@logbook_option
@json_option
@click.pass_context
def export(
    ctx: click.Context,
    *,
    file: Path,
    worn_at: int | None,
    group: str | None,
    cluster: str | None,
    as_json: bool,
) -> None:
    """Write the class to a new XLSX workbook: FILE.xlsx.

    Its sheets are Students, Looks, Attempts, To order and Worn burs, with the figures of
    `class progress`; docs/class.md says what each column is.
    """
    from platebook.services.workbook.class_workbook import export_class

    label, left = "Making the workbook", partial(new_file_left, file)
    with in_session(ctx) as session, shared_work(cluster, label, left) as (executor, work):
        done = export_class(session, file, group, worn_at=worn_at, executor=executor, watch=work)
    if as_json:
        print_json({"file": str(file), **as_dict(done)})
        return
    counted = (
        count_of(done.students, "student"),
        count_of(done.looks, "look"),
        count_of(done.attempts, "attempt"),
    )
    tell(f"{file}: {', '.join(counted)}.")
