"""Letting somebody in who waits: into the logbook, and into a class at once."""

from collections.abc import Sequence
from pathlib import Path

from platebook.logbook import setter_records
from platebook.services.classes.enrolment import join_class
from platebook.services.classes.listed_names import Listed
from platebook.services.session import Refused, Session, find_setter, opened
from platebook.services.sharing.places.place import is_address
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.who_is_mine import Waiting, who_waits
from platebook.trade.phrases import count_of


def let_into(session: Session, wanted: str, names: Sequence[str]) -> str:
    """Put people who were let in into a class, and say so."""
    with opened(session, make=False) as book:
        setters = book.ask(setter_records.setters)
        people = [find_setter(setters, name) for name in names]
    listed = Listed(known=tuple(person.setter_id or "" for person in people))
    return join_class(session, wanted, listed).sentence


def waiting_people(session: Session) -> tuple[Waiting, ...]:
    """Who waited to be let in when was shared last."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        return who_waits(book)


def let_in_from_folder(session: Session, waiting: Waiting, wanted: str = "") -> str:
    """Take somebody in from the folder they were found in, and put them into a class if named."""
    folder = waiting.folder
    if not is_address(folder) and not Path(folder).is_dir():
        raise Refused(f"{folder}: is not there now. Connect it, then let {waiting.name} in")
    share(session, folder, let_in=[waiting.setter_id])
    if wanted:
        return let_into(session, wanted, [waiting.setter_id])
    return f"{waiting.name} is let in, with {count_of(waiting.attempts, 'attempt')}."
