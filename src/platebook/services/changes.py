"""Whether anything came in since: asked of the logbook itself, after work that was stopped."""

from collections.abc import Callable

from platebook.services.desk import Desk
from platebook.services.faults import opened


def whether_changed(desk: Desk) -> Callable[[], bool]:
    """Takes down how the records stand; gives what says whether they stand otherwise by now."""
    before = _digests(desk)
    return lambda: _digests(desk) != before


def _digests(desk: Desk) -> dict[str, str]:
    from platebook.logbook import keeping

    if not desk.path.exists():
        return {}
    with opened(desk, make=False) as book:
        return book.ask(keeping.digests)
