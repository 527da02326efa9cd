"""What a sharing would bring, before it is begun: what others left, and what has not gone out."""

from dataclasses import dataclass

from platebook.logbook import defaults
from platebook.logbook.bundles.anonymous import anonymous_replicas
from platebook.logbook.revisions import changes_here_after, replica_of
from platebook.services.session import Refused, Session, opened
from platebook.services.sharing.places.folder import Folder
from platebook.services.sharing.places.place import is_address
from platebook.services.sharing.read_before import ReadBefore
from platebook.services.sharing.share_folder import GONE_OUT
from platebook.services.sharing.start_files import kept_folder


@dataclass(frozen=True)
class ShareAhead:
    """What is known before: the `place` of last time ("" for none yet), and what would be new.

    `others` is how many bundles of others lie there and `new` how many of them may hold something
    new, both None where the place is far away or not there now. `to_go` is how many changes made
    here have not gone out; None where nothing has yet.
    """

    place: str = ""
    others: int | None = None
    new: int | None = None
    to_go: int | None = None


def share_ahead(session: Session) -> ShareAhead:
    """Where is shared and what a sharing would bring; a far place is not asked for it."""
    try:
        place = kept_folder(session)
    except Refused:
        return ShareAhead()
    with opened(session, make=False) as book:
        upto = book.ask(defaults.default, GONE_OUT)
        to_go = None if upto is None else book.ask(changes_here_after, int(upto))
        named = ShareAhead(str(place), to_go=to_go)
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
    new = sum(before.same(one) is None for one in others)
    return ShareAhead(str(place), len(others), new, to_go)
