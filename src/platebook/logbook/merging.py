"""Two entries of one person made one."""

from platebook.logbook.belongings import ids_of, require_setter
from platebook.logbook.connecting import Database, writing
from platebook.logbook.errors import LogbookError
from platebook.logbook.in_use import move_all
from platebook.logbook.kinds import kinds
from platebook.logbook.revisions import json_row, revisions_of
from platebook.logbook.writing import Entry, Stamp, write
from platebook.practice.revision import Change


def merge_setters(db: Database, keep: str, gone: str, stamp: Stamp) -> Change:
    """Give `keep` all that is `gone`'s and hide `gone`, as one change that can be taken back.

    A default that named `gone`, such as the setter in use, names `keep` until it is taken back.
    """
    if keep == gone:
        raise LogbookError("refused", "These are one entry already. Nothing was changed.")
    with writing(db):
        require_setter(db, keep)
        require_setter(db, gone)
        entries = []
        for kind in kinds().values():
            if kind.owner == "attempt":
                continue
            for revisions in revisions_of(db, kind.name, ids_of(db, kind, gone)).values():
                last = revisions[-1]
                the_person = kind.owner == "self"
                entries.append(
                    Entry.again(last, hidden=True)
                    if the_person
                    else Entry.of(
                        kind.name,
                        last.record_id,
                        json_row(last) | {"setter_id": keep},
                        hidden=last.hidden,
                    )
                )
        change = write(db, entries, stamp)
        move_all(db, gone, keep, change.change_id)
        return change
