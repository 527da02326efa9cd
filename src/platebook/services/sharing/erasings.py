"""Erasing people across logbooks: what others ask for, the answers, and what goes along.

Whom a bundle asks to erase stays until somebody here obeys. An erasing that is obeyed leaves a copy
of the logbook for thirty days, unless the person asked for it themselves.

| function | gives |
|---|---|
| `erasings` | whom others ask to erase here |
| `asked_words` | one of them in a sentence, with the ways to answer |
| `obey_erasing`, `keep_erasing` | the answers |
| `reach_of` | who will be asked to erase somebody too, before one does it |
| `take_along` | drafts, kept answers and the program's own copies of somebody who was erased |
"""

import contextlib
import glob
import re
from collections.abc import Iterable
from datetime import date, timedelta
from pathlib import Path

from platebook.logbook import defaults
from platebook.logbook.attempts.attempt_queries import attempt_counts
from platebook.logbook.erasures import held_back
from platebook.logbook.erasures.held_back import ErasingAsked
from platebook.logbook.file.copying import copy_into
from platebook.logbook.file.place import free_name
from platebook.logbook.history.revisions import authors_elsewhere
from platebook.practice.records import name_key
from platebook.practice.text import in_a_command
from platebook.services.attempts.drafts import forget_drafts
from platebook.services.backups import reach_copies
from platebook.services.cache import OF_A_CLASS, forget
from platebook.services.session import Refused, Session, opened, today_at
from platebook.trade.phrases import count_of, several

COPY_DAYS = 30
"""How long the copy from before an erasing that others asked for is kept."""

OWN_COPIES = ("before-schema", "before-mending", "before-erasing")
"""Copies that the program makes by itself: whoever is erased goes from them too."""

_COPY = "before-erasing"
_DATED = re.compile(rf"\.{_COPY}-(\d{{4}}-\d\d-\d\d)-\d+")
_MOST_NAMED = 4


def erasings(session: Session) -> tuple[ErasingAsked, ...]:
    """Whom others ask to erase of those in this logbook, the answered ones last."""
    if not session.path.exists():
        return ()
    forget_old_copies(session)
    with opened(session) as book:
        asked = book.ask(held_back.erasings_asked, session.setter_id)
    return tuple(sorted(asked, key=lambda one: one.kept))


def asked_words(asked: ErasingAsked) -> str:
    """What is asked, in a sentence."""
    what = f"one setter with {count_of(asked.attempts, 'attempt')}: {asked.name}"
    if asked.kind == "teacher":
        what = f"one teacher: {asked.name}"
    if not asked.whole:
        what = f"{count_of(asked.records, 'record')} of {asked.name}"
    elif asked.by_themselves:
        return f"{asked.name} asks to be erased, with {count_of(asked.attempts, 'attempt')}."
    who = several(asked.asked_by) if asked.asked_by else "A bundle"
    verb = "ask" if len(asked.asked_by) > 1 else "asks"
    return f"{who} {verb} to erase {what}."


def answer_words(asked: ErasingAsked) -> str:
    """How it is answered by command."""
    command = f"platebook setter erasures {in_a_command(asked.name)}"
    who = several(asked.asked_by) if asked.asked_by else "its sender"
    return f"Obey: {command} --obey --yes; keep: {command} --keep; or ask {who} first, it waits."


def takes_most(session: Session, asked: ErasingAsked) -> bool:
    """Whether obeying would take more than half of all attempts in the logbook."""
    with opened(session, make=False) as book:
        total = sum(book.ask(attempt_counts).values())
    return 2 * asked.attempts > total > 0


def obey_erasing(session: Session, wanted: str) -> str:
    """Erase one person as others asked; it cannot be taken back, but for the copy."""
    asked = _meant(session, wanted)
    kept: Path | None = None
    with opened(session, make=False) as book:
        if not asked.by_themselves:
            day = today_at(session).isoformat()
            kept = free_name(book.path, f"{_COPY}-{day}")
            book.ask(copy_into, kept)
        attempts = book.tell(held_back.obey, book.path, asked.person_id)
        if book.ask(defaults.default, defaults.IN_USE) == asked.person_id:
            book.tell(defaults.set_default, defaults.IN_USE, None)
    gone = f"{count_of(asked.records, 'record')} of {asked.name} are erased here"
    if asked.whole:
        gone = f"{asked.name} and {count_of(attempts, 'attempt')} are erased here"
        take_along(session, asked.person_id, [asked.name], copies=kept is None)
    reach_copies(session)
    forget(session.path, asked.person_id)
    forget(session.path, OF_A_CLASS)
    if kept is None:
        return f"{gone}, and no copy is kept, as it was their own wish."
    return f"{gone}. A copy from before is kept for {COPY_DAYS} days: {kept.name}"


def keep_erasing(session: Session, wanted: str) -> str:
    """Answer that one person stays in this logbook."""
    asked = _meant(session, wanted)
    with opened(session, make=False) as book:
        book.tell(held_back.keep, asked.person_id)
    return f"{asked.name} stays in this logbook; you are not asked about it again."


def _meant(session: Session, wanted: str) -> ErasingAsked:
    asked = erasings(session)
    meant = [one for one in asked if one.person_id == wanted]
    meant = meant or [one for one in asked if name_key(one.name) == name_key(wanted)]
    if len(meant) == 1:
        return meant[0]
    if meant:
        ids = "; ".join(f"{one.name} ({one.person_id})" for one in meant)
        raise Refused(f"name: read {wanted!r}, which is {ids}. Say which by id.")
    names = ", ".join(one.name for one in asked) or "nobody is asked about"
    raise Refused(f"name: read {wanted!r}, expected one whom others ask to erase: {names}")


def reach_of(session: Session) -> str:
    """A sentence: whose logbooks will be asked to erase somebody who is erased here."""
    with opened(session, make=False) as book:
        names = sorted(set(book.ask(authors_elsewhere)) - held_back.UNSIGNED)
    if not names:
        return "It travels with your bundle: whoever takes it in later is asked to erase them too."
    shown = names[:_MOST_NAMED]
    more = len(names) - len(shown)
    whose = several([*shown, f"{more} more"] if more else shown)
    return (
        f"It travels: at your next share the logbooks of {whose} are asked to erase them too, and "
        "whoever takes your bundle in later."
    )


def take_along(session: Session, person_id: str, names: Iterable[str], *, copies: bool) -> int:
    """Let go what else holds somebody who was erased; gives how many of the own copies went.

    Drafts that speak of them go, and all drafts where they are in use; answers kept about them too.
    The copies that the program made beside the logbook go, without `copies` all but those from
    before an erasing, which have their time.
    """
    words = (person_id, *names)
    forget_drafts(session.path, words, every=session.setter_id == person_id)
    forget(session.path, person_id)
    with opened(session, make=False) as book:
        book.tell(defaults.forget_read)
    gone = [c for c in own_copies(session.path) if copies or not _DATED.search(c.name)]
    for copy in gone:
        with contextlib.suppress(OSError):
            copy.unlink()
    return len(gone)


def own_copies(logbook: Path) -> tuple[Path, ...]:
    """The copies beside a logbook that the program made by itself."""
    stem, suffix = glob.escape(logbook.stem), logbook.suffix
    found = (
        copy
        for word in OWN_COPIES
        for copy in logbook.parent.glob(f"{stem}.{word}-*{glob.escape(suffix)}")
    )
    return tuple(sorted(found))


def forget_old_copies(session: Session) -> None:
    """Remove the copies from before an erasing once their time is over."""
    today = today_at(session)
    for copy in own_copies(session.path):
        dated = _DATED.search(copy.name)
        if dated and date.fromisoformat(dated[1]) + timedelta(days=COPY_DAYS) < today:
            with contextlib.suppress(OSError):
                copy.unlink()
