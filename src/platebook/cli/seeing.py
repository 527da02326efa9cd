"""`platebook seeing`: reference plates, kept once and judged blind."""

import click

from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    answer,
    in_session,
    json_option,
    logbook_option,
    setter_option,
    values_from,
)
from platebook.trade.phrases import count_of
from platebook.values import as_dict


@click.group("seeing", cls=NearGroup)
def command() -> None:
    """Judge a plate whose verdicts are known, without seeing them; again after a month."""


@command.command("show")
@setter_option
@logbook_option
@json_option
@click.pass_context
def show(ctx: click.Context, *, setter: str | None, as_json: bool) -> None:
    """Where your eye stands, and the plates with their positions in the order to judge them."""
    from platebook.services.seeing import seeing_view

    with in_session(ctx, setter=setter) as session:
        view = seeing_view(session)
    standing = view.standing
    last = standing.last
    keys = {
        "plates": [as_dict(plate) for plate in view.plates],
        "due": view.due,
        "due_from": standing.due.isoformat() if standing.due else None,
        "passed": standing.passed,
        "tries": standing.tries,
        "right": last.right if last is not None else None,
        "of": last.of if last is not None else None,
    }
    lines = [standing.sentence()]
    lines += [f"{p.name}: judge {', '.join(p.positions)}, in this order" for p in view.plates]
    if not view.plates:
        keep = 'platebook seeing keep NAME 1=good 2="loose 2" ...'
        lines.append(f"No reference plate is kept: {keep}")
    answer("\n".join(lines), keys, as_json=as_json)


@command.command("keep")
@click.argument("name")
@click.argument("pairs", metavar="POSITION=VERDICT", nargs=-1)
@logbook_option
@json_option
@click.pass_context
def keep(ctx: click.Context, *, name: str, pairs: tuple[str, ...], as_json: bool) -> None:
    """Keep a plate with its known verdicts, once: 1=good 2="loose 2" 3="tilted 2; gap 1".

    Know them for sure before: pushed from behind, measured, looked at by two.
    """
    from platebook.services.seeing import keep_reference

    verdicts = {place: str(value) for place, value in values_from(pairs).items()}
    with in_session(ctx) as session:
        plate = keep_reference(session, name, verdicts)
    count = len(plate.positions)
    answer(
        f"{plate.name}: {count_of(count, 'position')} kept; their verdicts are not shown again.",
        {"name": plate.name, "positions": list(plate.positions)},
        as_json=as_json,
    )


@command.command("judge")
@click.argument("name")
@click.argument("pairs", metavar="POSITION=VERDICT", nargs=-1)
@setter_option
@logbook_option
@json_option
@click.pass_context
def judge(
    ctx: click.Context, *, name: str, pairs: tuple[str, ...], setter: str | None, as_json: bool
) -> None:
    """Take down what you see at every position of a plate; only then its verdicts are told."""
    from platebook.services.seeing import judge_plate

    seen = {place: str(value) for place, value in values_from(pairs).items()}
    with in_session(ctx, setter=setter) as session:
        judged = judge_plate(session, name, seen)
    keys = {
        "plate": judged.plate,
        "right": judged.right,
        "of": judged.of,
        "needed": judged.needed,
        "misjudged": [as_dict(one) for one in judged.misjudged],
        "kinder": judged.kinder,
        "harder": judged.harder,
    }
    answer("\n".join(judged.sentences()), keys, as_json=as_json)
