"""The SQLite file: migrations, one repository for every kind of record, revisions, backup.

`open_logbook` gives a `Logbook`; what cannot be done with one is a
`LogbookError`. `restore` puts a backup in a logbook's place.
"""

from typing import TYPE_CHECKING

from platebook.lazy_names import lazy_names

if TYPE_CHECKING:
    from platebook.logbook.errors import LogbookError
    from platebook.logbook.file.opening import open_logbook
    from platebook.logbook.file.place import logbook_path
    from platebook.logbook.file.restoring import restore
    from platebook.logbook.logbook import Logbook

__all__ = ["Logbook", "LogbookError", "logbook_path", "open_logbook", "restore"]

_ROOMS = {
    "Logbook": "logbook",
    "LogbookError": "errors",
    "logbook_path": "file.place",
    "open_logbook": "file.opening",
    "restore": "file.restoring",
}

__getattr__ = lazy_names(__name__, _ROOMS)
