"""The SQLite file: migrations, one repository for every kind of record, revisions, backup.

`open_logbook` gives a `Logbook`; what cannot be done with one is a
`LogbookError`. `restore` puts a backup in a logbook's place.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from platebook.logbook.errors import LogbookError
    from platebook.logbook.file.integrity import restore
    from platebook.logbook.file.opening import open_logbook
    from platebook.logbook.file.place import logbook_path
    from platebook.logbook.logbook import Logbook

__all__ = ["Logbook", "LogbookError", "logbook_path", "open_logbook", "restore"]

_ROOMS = {
    "Logbook": "logbook",
    "LogbookError": "errors",
    "logbook_path": "file.place",
    "open_logbook": "file.opening",
    "restore": "file.integrity",
}


def __getattr__(name: str) -> Any:
    """Loads a public name from its room when it is first asked for."""
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = globals()[name] = getattr(import_module(f"{__name__}.{_ROOMS[name]}"), name)
    return value
