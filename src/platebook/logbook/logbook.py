"""The logbook as one object: it remembers the file and hands every task to the room beside it."""

from platebook.logbook.asking import Asking
from platebook.logbook.telling import Telling


class Logbook(Asking, Telling):
    """An open logbook. Get one from `open_logbook`; close it, or use it in a `with`.

    Whatever fails raises LogbookError with what to do, and what stood before stands.
    """
