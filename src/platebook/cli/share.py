"""`platebook share FOLDER`: exchange logbooks through any folder or far address."""

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from platebook.cli.course import course_waiting_lines, waiting_keys
from platebook.cli.terminal.completion import classes
from platebook.cli.terminal.options import (
    DATA_SAYS_NO,
    can_ask,
    in_session,
    json_option,
    logbook_option,
    look_after_copies,
    print_json,
    say,
    setter_option,
    tell,
    wrapped,
)
from platebook.cli.terminal.progress_bar import Work, long_work, make_ready
from platebook.trade.phrases import count_of
from platebook.values import as_dict

if TYPE_CHECKING:
    from platebook.logbook.erasures.held_back import ErasingAsked
    from platebook.logbook.signing.left_out import LeftOut
    from platebook.services.courses.waiting import CourseWaiting
    from platebook.services.session import Session
    from platebook.services.sharing.taking_in import Received


@click.command("share")
@click.argument("folder", type=click.Path(readable=False), required=False)
@click.option("--all", "everyone", is_flag=True, help="Take in everyone, not one setter only.")
@click.option(
    "--let-in",
    multiple=True,
    metavar="NAME",
    help="Take this person in, who waits to be let in (name or id).",
)
@click.option(
    "--class",
    "into",
    metavar="CLASS",
    shell_complete=classes,
    help="Put those let in into this class.",
)
@click.option("--anonymous", is_flag=True, help="Without names, notes, tools and dates.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    folder: str | None,
    everyone: bool,
    let_in: tuple[str, ...],
    into: str | None,
    anonymous: bool,
    setter: str | None,
    as_json: bool,
) -> None:
    """Write your bundle into FOLDER and take in what others left there; the last one if not named.

    Any folder will do: on a stick, on a network share, one that a program keeps alike on several
    machines; or an address such as s3://school/thursday, https://cloud.school/thursday (WebDAV) or
    sftp://host/thursday. Files that did not change are not read again. With a setter in use only
    what concerns them is taken in, else everyone who is in this logbook or in a class of yours;
    strangers wait to be let in, unless you say --all.
    Whoever can open the folder can read what is in it.
    Keys and passwords stand where the libraries look for them, never in the address.
    """
    from platebook.services.sharing.let_in import let_into
    from platebook.services.sharing.share_folder import share
    from platebook.services.sharing.share_progress import ShareProgress
    from platebook.services.sharing.start_files import kept_folder, remember_folder

    if into is not None and not let_in:
        raise click.UsageError("--class says where those of --let-in go: name somebody")
    with in_session(ctx, setter=setter) as session, long_work("Sharing", taken_so_far) as work:
        place = kept_folder(session) if folder is None else folder
        progress = ShareProgress(work, work.begins)
        done = share(
            session, place, everyone=everyone, anonymous=anonymous, let_in=let_in, progress=progress
        )
        joined = let_into(session, into, let_in) if into is not None else ""
        if folder is not None and not anonymous:
            remember_folder(session, folder)
    look_after_copies(ctx, session)
    for left in done.unread:
        say(wrapped(left.sentence))
    for notice in done.notices:
        say(wrapped(f"note: {notice}"))
    if as_json:
        print_json(
            {
                "file": done.file,
                "revisions": done.revisions,
                "received": [received_keys(received) for received in done.received],
                "unread": [as_dict(received) for received in done.unread],
                "clashes": clash_keys(done.clashes),
                "notices": list(done.notices),
                "erasings": [erasing_keys(one) for one in done.erasings],
                "courses": [waiting_keys(one) for one in done.courses],
                "waiting": [as_dict(each) for each in done.waiting],
                "left_out": [left_out_keys(one) for one in done.left_out],
            }
        )
    else:
        from platebook.services.sharing.outcome_words import outcome_lines, received_lines

        lines = [*outcome_lines(done), *([joined] if joined else [])]
        tell("\n".join(map(wrapped, lines)))
        answer_what_waits(session, done.erasings, done.courses)
        if answer_left_out(session, done.left_out):
            # What was left out is in the folder still, and comes in now that it was answered.
            again = share(session, place, everyone=everyone)
            tell("\n".join(wrapped(line) for one in again.received for line in received_lines(one)))
    if done.received:
        make_ready(session)
    if done.unread:
        sys.exit(DATA_SAYS_NO)


def answer_what_waits(
    session: "Session",
    erasings: "Sequence[ErasingAsked]",
    courses: "Sequence[CourseWaiting]",
) -> None:
    """Ask on a terminal about each thing that waits; say elsewhere how it is answered."""
    from platebook.services.courses.waiting import refuse_course, take_course
    from platebook.services.sharing.erasings import (
        answer_words,
        asked_words,
        keep_erasing,
        obey_erasing,
        takes_most,
    )

    asking = can_ask()
    for asked in erasings:
        say(wrapped(asked_words(asked)))
        # What would take most of a logbook is not done by one key among others.
        if not asking or takes_most(session, asked):
            say(wrapped(answer_words(asked)))
            continue
        who = " and ".join(asked.asked_by) or "its sender"
        answer = _one_of(f"o obeys, k keeps, Enter waits until you asked {who}: ", "ok")
        if answer == "o":
            tell(wrapped(obey_erasing(session, asked.person_id)))
        elif answer == "k":
            tell(wrapped(keep_erasing(session, asked.person_id)))
    if not asking:
        for line in course_waiting_lines(courses):
            say(line)
        return
    for course in courses:
        say(wrapped(course.sentence))
        answer = _one_of("t takes it in, r refuses it, Enter leaves it waiting: ", "tr")
        if answer == "t":
            tell(wrapped(take_course(session, course.key)))
        elif answer == "r":
            tell(wrapped(refuse_course(session, course.key)))


def answer_left_out(session: "Session", left_out: "Sequence[LeftOut]") -> bool:
    """Ask on a terminal about what nobody signed; say elsewhere how it is answered.

    Gives whether something is to come in now.
    """
    from platebook.services.sharing.outcome_words import MOST_PEOPLE
    from platebook.services.sharing.unsigned import (
        how_to_answer,
        leave_left_out,
        left_out_words,
        take_left_out,
    )

    taken = False
    for left in left_out[:MOST_PEOPLE]:
        say(wrapped(left_out_words(left)))
        if not can_ask():
            say(wrapped(how_to_answer(left)))
            continue
        always = "a does so from now on too, " if left.signer else ""
        answer = _one_of(
            f"t takes it in, {always}l leaves it out, Enter waits: ",
            "tal" if left.signer else "tl",
        )
        if answer in {"t", "a"}:
            tell(wrapped(take_left_out(session, left, always=answer == "a")))
            taken = True
        elif answer == "l":
            tell(wrapped(leave_left_out(session, left)))
    if (more := len(left_out) - MOST_PEOPLE) > 0:
        say(f"And {more:,} more wait: platebook key waiting lists them.")
    return taken


def left_out_keys(left: "LeftOut") -> dict[str, object]:
    """What was left out, as JSON has it."""
    from platebook.logbook.signing.private_keys import fingerprint
    from platebook.services.sharing.unsigned import left_out_words

    return {
        "person_id": left.person_id,
        "name": left.name,
        "key": fingerprint(left.signer) if left.signer else None,
        "signed_by": left.card.name if left.card is not None else None,
        "replica": left.replica,
        "records": [{"kind": kind, "count": n} for kind, n in left.kinds],
        "refused": left.refused,
        "answer": left.answer or None,
        "told_before": left.told_before,
        "sentence": left_out_words(left),
    }


def _one_of(question: str, keys: str) -> str:
    """One of these keys, or nothing."""
    while True:
        say(question)
        typed = sys.stdin.readline().strip().casefold()
        if typed in {"", *keys}:
            return typed


def erasing_keys(asked: "ErasingAsked") -> dict[str, object]:
    """Whom others ask to erase, as JSON has it."""
    from platebook.services.sharing.erasings import asked_words

    return {
        "person_id": asked.person_id,
        "name": asked.name,
        "attempts": asked.attempts,
        "asked_by": list(asked.asked_by),
        "by_themselves": asked.by_themselves,
        "kept": asked.kept,
        "sentence": asked_words(asked),
    }


def taken_so_far(work: Work) -> str:
    """What is left where sharing is stopped: every bundle came in whole or not at all."""
    again = "sharing again goes on from there"
    from platebook.services.sharing.share_progress import OTHERS, SUMS

    if work.label not in {OTHERS, SUMS}:
        return f"nothing of others came in, and no file in the folder is half written; {again}."
    if work.label == SUMS or work.done >= work.of:
        return f"everything of others came in, and your own file is there; {again}."
    return (
        f"of {count_of(work.of, 'bundle')} of others {work.done} were gone through before, the one "
        f"after that came in whole or not at all, the rest not; {again}."
    )


def received_keys(received: "Received") -> dict[str, object]:
    """The same as JSON has it."""
    return {
        **as_dict(received),
        "records": [{"kind": kind, "count": count} for kind, count in received.records],
        "clashes": clash_keys(received.clashes),
        "asks_to_erase": [erasing_keys(asked) for asked in received.asks_to_erase],
        "left_out": [left_out_keys(left) for left in received.left_out],
    }


def clash_keys(clashes: tuple[tuple[str, str], ...]) -> list[dict[str, str]]:
    """Records of which two versions stand, as JSON has them."""
    return [{"kind": kind, "record_id": record_id} for kind, record_id in clashes]
