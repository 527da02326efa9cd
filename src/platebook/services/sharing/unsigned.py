"""What was left out of bundles because its person's key did not sign it, and the answers to that.

| function | gives |
|---|---|
| `left_out_here` | what waits for an answer here, and what was refused |
| `left_out_words`, `how_to_answer` | one of them in a sentence, and how it is answered by command |
| `take_left_out`, `leave_left_out` | the answers |
"""

from platebook.logbook.record_kinds import count_of_kind
from platebook.logbook.signing import left_out
from platebook.logbook.signing.known_keys import hand_over
from platebook.logbook.signing.left_out import LeftOut
from platebook.logbook.signing.private_keys import fingerprint, key_of
from platebook.practice.records import name_key
from platebook.practice.text import in_a_command
from platebook.services.session import Refused, Session, opened
from platebook.trade.phrases import count_of, several

_ENTRIES = frozenset({"setter", "teacher"})
"""What is left out of these is not the person but what the logbook says of them."""


def left_out_here(session: Session) -> tuple[LeftOut, ...]:
    """What waits for an answer in this logbook, and after it what was refused."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        return book.ask(left_out.left_out)


def left_out_words(left: LeftOut) -> str:
    """What was left out and why, in a sentence."""
    what, are, them = _records(left)
    if not left.signer:
        known = ", though their key is known here" if left.refused else ""
        return f"{what} in the name of {left.name} {are} not signed{known}."
    key = fingerprint(left.signer)
    if left.by_itself or left.card is None:
        return f"{what} in the name of {left.name} {are} signed with another key, {key}."
    who = left.card.name
    if left.refused:
        return f"{what} in the name of {left.name} {are} signed by {who} (key {key})."
    return f"{who} (key {key}) wants to change {what} of {left.name}, who did not sign {them}."


def _records(left: LeftOut) -> tuple[str, str, str]:
    """How much it is, with the verb and the pronoun that go with it."""
    counts = []
    for kind, n in left.kinds:
        entries = f"{count_of(n, 'entry', 'entries')} as a {kind}"
        counts.append(entries if kind in _ENTRIES else count_of_kind(n, kind))
    one = left.records == 1
    return several(counts), "is" if one else "are", "it" if one else "them"


def how_to_answer(left: LeftOut) -> str:
    """How it is answered by command, or what can be done about what was refused."""
    name = in_a_command(left.name)
    trust = f"platebook key trust {name} {fingerprint(left.signer)}" if left.signer else ""
    if left.refused and left.by_itself:
        return (
            f"Left out. If {left.name} has another machine, let them hand over with platebook key "
            f"hand-over there, or compare the key with them and say {trust}."
        )
    if left.refused:
        return "Left out."
    command = f"platebook key waiting {name}"
    always = "; always: --take --always" if left.signer else ""
    return f"Take in: {command} --take{always}; leave out: {command} --leave; or ask first."


def meant_by(session: Session, wanted: str) -> tuple[LeftOut, ...]:
    """What waits in this person's name, by name or id; Refused where nothing does."""
    waiting = [one for one in left_out_here(session) if not one.refused]
    meant = [one for one in waiting if one.person_id == wanted]
    meant = meant or [one for one in waiting if name_key(one.name) == name_key(wanted)]
    if not meant:
        names = several(sorted({one.name for one in waiting})) or "nothing waits"
        raise Refused(f"name: read {wanted!r}, expected whose records wait: {names}")
    return tuple(meant)


def take_left_out(session: Session, left: LeftOut, *, always: bool = False) -> str:
    """Answer that it comes in; with `always` what the same key signs comes in from now on.

    A key that the person in use has at another machine is handed over to, so that others know it.
    """
    with opened(session, make=False) as book:
        now = session.clock()
        own = key_of(book.path, left.person_id)
        works_here = left.person_id in {session.setter_id, session.teacher_id}
        if always and left.by_itself and left.card is not None:
            if own is not None and works_here:
                book.tell(hand_over, own, left.card, now)
            else:
                raise Refused(f"name: only {left.name} can say that this key is theirs too")
        book.tell(left_out.answer, left, "take", now=now, always=always and not left.by_itself)
    what, are, _ = _records(left)
    come = "comes" if are == "is" else "come"
    kept = f"{come} in{'' if left.signer else ', as unsigned'}"
    more = ""
    if always and left.by_itself:
        more = " That key is yours too from now on, and others hear of it at the next share."
    elif always and left.card is not None:
        more = f" {left.card.name} may change records here from now on."
    return f"{what} of {left.name} {kept}, with the next share or import.{more}"


def leave_left_out(session: Session, left: LeftOut) -> str:
    """Answer that it stays out, and is not asked about again."""
    with opened(session, make=False) as book:
        book.tell(left_out.answer, left, "leave", now=session.clock())
    what, are, _ = _records(left)
    stays = "stays" if are == "is" else "stay"
    return f"{what} in the name of {left.name} {stays} out; you are not asked about it again."
