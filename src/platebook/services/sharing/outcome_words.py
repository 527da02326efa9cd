"""What came of sharing, in sentences: the same by command and on the screen."""

from platebook.logbook.record_kinds import count_of_kind, kind_words
from platebook.logbook.signing.left_out import LeftOut
from platebook.practice.text import in_a_command
from platebook.services.session import NOBODYS
from platebook.services.sharing.share_folder import ShareOutcome
from platebook.services.sharing.taking_in import Received
from platebook.services.sharing.unsigned import how_to_answer, left_out_words
from platebook.services.sharing.who_is_mine import Waiting
from platebook.trade.phrases import count_of

NOBODY_IN_USE = "setter"
"""Signs what was done before anyone was in use, such as adding the first person."""


MOST_NAMED = 8
"""More files than this that did not change are counted and not named."""


def outcome_lines(done: ShareOutcome, *, by_key: bool = False) -> list[str]:
    """What came of sharing, for people; who waits is let in by a command, or by a key.

    With `by_key`, on a screen, bundles are told by who wrote in them, and not by their files.
    """
    waits: dict[str, list[str]] = {}
    for waiting in done.waiting:
        waits.setdefault(waiting.file, []).append(waiting.name)
    yours = f"{done.file}: {count_of(done.revisions, 'revision')}"
    if by_key:
        yours = f"Your bundle there holds {count_of(done.revisions, 'entry', 'entries')}"
    lines = [f"{yours} for others to take in."]
    unchanged = [received for received in done.received if received.unchanged]
    named = len(unchanged) <= MOST_NAMED
    for received in done.received:
        if not received.revisions and received.file in waits:
            lines += _waiting_there(received, waits[received.file], by_key=by_key)
        elif named or not received.unchanged:
            lines += received_lines(received, again=False, by_key=by_key)
    lines += _told_before(done, by_key=by_key)
    if not named:
        lines.append(f"{len(unchanged)} bundles are as they were: nothing new.")
    if not done.received and not done.unread:
        lines.append("Nobody else's bundle is in the folder yet.")
    lines += [
        f"Two versions stand: {kind_words(kind)} {record_id}." for kind, record_id in done.clashes
    ]
    if done.clashes:
        lines.append("platebook show ID has both; amending it settles it for everybody.")
    return [*lines, *waiting_lines(done.waiting, by_key=by_key)]


def _waiting_there(received: Received, names: list[str], *, by_key: bool) -> list[str]:
    """Who waits of one bundle, and what of it was refused.

    On a screen the line about everybody who waits names them, so that nothing may be left to say.
    """
    left = _left_out_lines(received, rehearsal=False, again=False)
    if by_key and not left:
        return []
    file = "" if by_key else f"{received.file}: "
    wait = "waits" if len(names) == 1 else "wait"
    return [f"{file}{', '.join(names)} {wait} to be let in.", *(f"  {one}" for one in left)]


def _told_before(done: ShareOutcome, *, by_key: bool) -> list[str]:
    """How much stays left out of which it was said before, and where it is said why."""
    lines: list[str] = []
    told_before = sum(one.stays_out for one in done.received)
    told_before += sum(
        left.records for one in done.received for left in one.left_out if _is_old_news(left)
    )
    erasings = sum(len(one.erasings_told) for one in done.received)
    if told_before:
        stay = "stays" if told_before == 1 else "stay"
        where = "b, on the person's row, says" if by_key else "platebook key waiting says"
        lines.append(
            f"{count_of(told_before, 'record')} {stay} left out, as was said before: {where} why."
        )
    if erasings:
        lines.append(
            f"{count_of(erasings, 'wish', 'wishes')} to erase somebody, which nobody signed, "
            f"{'stays' if erasings == 1 else 'stay'} left out, as was said before."
        )
    return lines


def came_words(done: ShareOutcome) -> str:
    """What came of sharing in short: how much came in from others, and whose wait for an answer."""
    people = {left.name for left in done.left_out} | {each.name for each in done.waiting}
    people |= {asked.name for asked in done.erasings}
    verb = "waits" if len(people) == 1 else "wait"
    answer = f" {count_of(len(people), 'person', 'people')} {verb} for your answer: b."
    rest = f"what is yours has gone out.{answer if people else ''}"
    news = [received for received in done.received if received.revisions]
    if not news:
        return f"Nothing new came in; {rest}"
    attempts = sum(n for one in news for kind, n in one.records if kind == "attempt")
    came = count_of(attempts, "attempt") if attempts else "Something new"
    return f"{came} came in from {count_of(len(news), 'other')}; {rest}"


MOST_NAMED = 20
"""People who wait and are named; a crowd would push all else that is said off the screen."""


def waiting_lines(waiting: tuple[Waiting, ...], *, by_key: bool) -> list[str]:
    """Who waits to be let in, and how that is done by a command or by a key of the app."""
    if not waiting:
        return []
    named = [f"{w.name} ({count_of(w.attempts, 'attempt')})" for w in waiting[:MOST_NAMED]]
    more = len(waiting) - len(named)
    who = ", ".join(named) + (f" and {more:,} more" if more else "")
    one = len(waiting) == 1
    head = "1 person who is" if one else f"{len(waiting)} people who are"
    how = (
        f"Let {'them' if one else 'one'} in with --let-in {in_a_command(waiting[0].name)} (and "
        f"--class CLASS)"
        f"{'' if one else ', or all with --all'}."
    )
    if by_key:
        how = "Let them in with b, who is at the bench."
    return [f"{head} not in this logbook {'waits' if one else 'wait'}: {who}. {how}"]


def received_lines(
    received: Received, *, rehearsal: bool = False, again: bool = True, by_key: bool = False
) -> list[str]:
    """What came of one bundle, for people; without `again` what was refused before is not told.

    With `by_key` it is told by who wrote in it, where anybody did.
    """
    file = ", ".join(_people(received)) if by_key and _people(received) else _named(received)
    would = "would come" if rehearsal else "came"
    if received.revisions:
        counts = ", ".join(count_of_kind(n, kind) for kind, n in received.records)
        signed = "" if _people(received) else " (unsigned)"
        lines = [f"{file}{signed}: {would} in, new or changed: {counts}."]
    else:
        lines = [f"{file}: nothing new."]
    lines += [
        f"  It asks to erase {asked.name}, who stays here until somebody answers."
        for asked in received.asks_to_erase
    ]
    left = _left_out_lines(received, rehearsal=rehearsal, again=again)
    lines += [f"  {sentence}" for sentence in left]
    lines += [
        f"  Two versions now: {kind_words(kind)} {record_id}."
        for kind, record_id in received.clashes
    ]
    lines += [f"  The course {course} cannot be read here." for course in received.courses_left]
    return lines


def _people(received: Received) -> list[str]:
    return [name for name in received.authors if name not in {NOBODY_IN_USE, NOBODYS}]


def _named(received: Received) -> str:
    """A bundle's file with who wrote in it."""
    people = _people(received)
    return f"{received.file} ({', '.join(people)})" if people else received.file


def _is_old_news(left: LeftOut) -> bool:
    """Whether it was refused before, and nothing is to be done about it."""
    return left.refused and left.told_before


def _left_out_lines(received: Received, *, rehearsal: bool, again: bool) -> list[str]:
    """What of a bundle was refused for want of a signature; in a rehearsal what is asked too."""
    lines = [
        f"{left_out_words(left)} {how_to_answer(left) if left.refused else 'You would be asked.'}"
        for left in received.left_out
        if (left.refused or (rehearsal and not left.answer)) and (again or not _is_old_news(left))
    ]
    lines += [
        f"It asks to erase {name}, which neither {name} nor anybody else signed: left out."
        for name in received.refused_erasings
        if again or name not in received.erasings_told
    ]
    return lines
