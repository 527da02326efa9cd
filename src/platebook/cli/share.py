"""`platebook share FOLDER`: exchange logbooks through any folder."""

import dataclasses
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platebook.cli.options import (
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
from platebook.cli.progress_bar import Work, long_work, make_ready

if TYPE_CHECKING:
    from platebook.services.sharing.share_folder import Received

NOBODY_IN_USE = "setter"
"""Signs what was done before anyone was in use, such as adding the first person."""


@click.command("share")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--all", "everyone", is_flag=True, help="Take in everyone, not one setter only.")
@click.option("--anonymous", is_flag=True, help="Without names, notes, tools and dates.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(
    ctx: click.Context,
    *,
    folder: Path,
    everyone: bool,
    anonymous: bool,
    setter: str | None,
    as_json: bool,
) -> None:
    """Write your bundle into FOLDER and take in what others left there.

    Any folder will do: on a stick, on a network share, one that a program keeps alike on several
    machines. With a setter in use only what concerns them is taken in, unless you say --all.
    Whoever can open the folder can read what is in it.
    """
    from platebook.reports.text.figures import count_of
    from platebook.services.sharing.share_folder import share

    with in_session(ctx, setter=setter) as session, long_work("Sharing", taken_so_far) as work:
        done = share(session, folder, everyone=everyone, anonymous=anonymous, watch=work)
    for left in done.unread:
        say(wrapped(left.sentence))
    for notice in done.notices:
        say(wrapped(f"note: {notice}"))
    if as_json:
        print_json(
            {
                "file": str(done.file),
                "revisions": done.revisions,
                "received": [received_keys(received) for received in done.received],
                "unread": [dataclasses.asdict(received) for received in done.unread],
                "clashes": clash_keys(done.clashes),
                "notices": list(done.notices),
            }
        )
    else:
        lines = [f"{done.file}: {count_of(done.revisions, 'revision')} for others to take in."]
        for received in done.received:
            lines += received_lines(received)
        if not done.received and not done.unread:
            lines.append("Nobody else's bundle is in the folder yet.")
        lines += [f"Two versions stand: {kind} {record_id}." for kind, record_id in done.clashes]
        if done.clashes:
            lines.append("platebook show ID has both; amending it settles it for everybody.")
        tell("\n".join(map(wrapped, lines)))
    if done.received:
        make_ready(session)
    if done.unread:
        sys.exit(DATA_SAYS_NO)


def taken_so_far(work: Work) -> str:
    """What is left where sharing is stopped: every bundle came in whole or not at all."""
    again = "sharing again goes on from there"
    if not work.of:
        return f"nothing of others came in, and no file in the folder is half written; {again}."
    return (
        f"of {work.of} bundles of others {work.done} were gone through before, the one after that "
        f"came in whole or not at all, the rest not; {again}."
    )


def received_lines(received: "Received", *, rehearsal: bool = False) -> list[str]:
    """What came of one bundle, for people."""
    from platebook.reports.text.figures import count_of

    whose = ", ".join(name for name in received.authors if name != NOBODY_IN_USE) or "unsigned"
    would = "would come" if rehearsal else "came"
    if received.revisions:
        counts = ", ".join(count_of(n, kind) for kind, n in received.records)
        lines = [f"{received.file} ({whose}): {would} in, new or changed: {counts}."]
    else:
        lines = [f"{received.file} ({whose}): nothing new."]
    gone = "would be" if rehearsal else "is"
    lines += [
        f"  {name} was erased there and {gone} erased here too." for name in received.people_erased
    ]
    lines += [f"  Two versions now: {kind} {record_id}." for kind, record_id in received.clashes]
    lines += [f"  The course {course} cannot be read here." for course in received.courses_left]
    return lines


def received_keys(received: "Received") -> dict[str, object]:
    """The same as JSON has it."""
    return {
        **dataclasses.asdict(received),
        "records": [{"kind": kind, "count": count} for kind, count in received.records],
        "clashes": clash_keys(received.clashes),
    }


def clash_keys(clashes: tuple[tuple[str, str], ...]) -> list[dict[str, str]]:
    """Records of which two versions stand, as JSON has them."""
    return [{"kind": kind, "record_id": record_id} for kind, record_id in clashes]
