"""What a sharing would bring, before it is begun: what others left, and what has not gone out."""

from collections.abc import Iterator
from datetime import date

from platebook.logbook import Logbook, class_records, defaults, setter_records
from platebook.logbook.bundles.anonymous import anonymous_replicas
from platebook.logbook.history.revisions import changes_here_after, newest_elsewhere, replica_of
from platebook.services.session import Refused, Session, opened, today_at
from platebook.services.sharing.places.folder import Folder
from platebook.services.sharing.places.place import is_address
from platebook.services.sharing.read_before import ReadBefore
from platebook.services.sharing.share_folder import GONE_OUT
from platebook.services.sharing.start_files import kept_folder
from platebook.values import Value, replace


class Heard(Value):
    """Somebody whose work came from another logbook: the day of their newest, and how old that is.

    `days` is None for a day that lies ahead here, as after a clock that was off. `more` says that a
    bundle of theirs lies there and has changed since it was read.
    """

    name: str
    newest: date
    days: int | None
    more: bool = False


class ShareAhead(Value):
    """What is known before: the `place` of last time ("" for none yet), and what would be new.

    `others` is how many bundles of others lie there and `new` how many of them may hold something
    new, both None where the place is far away or not there now. `to_go` is how many changes made
    here have not gone out; None where nothing has yet. `heard` is everyone of whom something came
    in by now, longest silent first.
    """

    place: str = ""
    others: int | None = None
    new: int | None = None
    to_go: int | None = None
    heard: tuple[Heard, ...] = ()


def share_ahead(session: Session) -> ShareAhead:
    """Where is shared and what a sharing would bring; a far place is not asked for it."""
    try:
        place = kept_folder(session)
    except Refused:
        return ShareAhead()
    with opened(session, make=False) as book:
        upto = book.ask(defaults.default, GONE_OUT)
        to_go = None if upto is None else book.ask(changes_here_after, int(upto))
        named = ShareAhead(str(place), to_go=to_go, heard=tuple(_heard(book, today_at(session))))
        if isinstance(place, str) and is_address(place):
            return named
        own = {book.ask(replica_of), *book.ask(defaults.former_replicas)}
        own |= book.ask(anonymous_replicas)
        try:
            folder = Folder(place) if not isinstance(place, str) else None
            lying = folder.files() if folder is not None else ()
        except Refused:
            return named
        before = ReadBefore.at(book, folder.address if folder is not None else "")
    others = [one for one in lying if one.replica not in own]
    changed = [one.name for one in others if before.same(one) is None]
    authors = {
        who for name in changed if name in before.files for who in before.files[name].authors
    }
    heard = tuple(replace(each, more=each.name in authors) for each in named.heard)
    return replace(named, others=len(others), new=len(changed), heard=heard)


def _heard(book: Logbook, today: date) -> Iterator[Heard]:
    here = {setter.name for setter in book.ask(setter_records.setters)}
    here |= {teacher.name for teacher in book.ask(class_records.teachers)}
    for name, moment in book.ask(newest_elsewhere):
        if name in here:
            days = (today - moment.date()).days
            yield Heard(name, moment.date(), days if days >= 0 else None)
