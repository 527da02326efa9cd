"""`platebook seeing`: reference plates, kept once and judged blind."""

from dataclasses import asdict

import click

from platebook.cli.terminal.options import (
    in_session,
    json_option,
    logbook_option,
    print_json,
    setter_option,
    tell,
    values_from,
)


@click.group("seeing")
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
    if as_json:
        standing = view.standing
        last = standing.last
        print_json(
            {
                "plates": [asdict(plate) for plate in view.plates],
                "due": view.due,
                "due_from": standing.due.isoformat() if standing.due else None,
                "passed": standing.passed,
                "tries": standing.tries,
                "right": last.right if last is not None else None,
                "of": last.of if last is not None else None,
            }
        )
        return
    tell(view.standing.sentence())
    for plate in view.plates:
        tell(f"{plate.name}: judge {', '.join(plate.positions)}, in this order")
    if not view.plates:
        tell('No reference plate is kept: platebook seeing keep NAME 1=good 2="loose 2" ...')


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
    from platebook.trade.phrases import count_of

    verdicts = {place: str(value) for place, value in values_from(pairs).items()}
    with in_session(ctx) as session:
        plate = keep_reference(session, name, verdicts)
    if as_json:
        print_json({"name": plate.name, "positions": list(plate.positions)})
        return
    count = len(plate.positions)
    tell(f"{plate.name}: {count_of(count, 'position')} kept; their verdicts are not shown again.")


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
    if as_json:
        print_json(
            {
                "plate": judged.plate,
                "right": judged.right,
                "of": judged.of,
                "needed": judged.needed,
                "misjudged": [asdict(one) for one in judged.misjudged],
                "kinder": judged.kinder,
                "harder": judged.harder,
            }
        )
        return
    tell("\n".join(judged.sentences()))
