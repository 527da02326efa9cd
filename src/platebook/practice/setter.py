"""A setter: the person practising, as the logbook knows them."""

import unicodedata
from collections.abc import Iterable

from pydantic import Field

from platebook.trade.value import Value


class Setter(Value):
    """One person. Names may repeat between people, ids may not.

    `group` is the evening class or other group; `active` says that they still come. `course` is
    the id of the course they follow and `track` one of its tracks; None where not chosen yet.
    `rules` are the ids of rules of thumb that they take instead of the course's.
    """

    setter_id: str | None = None
    name: str = Field(min_length=1)
    group: str = ""
    active: bool = True
    course: str | None = None
    track: str | None = None
    rules: tuple[str, ...] = ()
    note: str = ""


def name_key(name: str) -> str:
    """What two spellings of one name share, without case, form and number of blanks.

    It is Unicode's compatibility caseless matching (The Unicode Standard, section 3.13).
    """
    form = unicodedata.normalize("NFD", name)
    for _ in range(2):
        form = unicodedata.normalize("NFKD", form.casefold())
    return " ".join(form.split())


def named(setters: Iterable[Setter], name: str) -> tuple[Setter, ...]:
    """All setters that bear this name, in the order given; empty for none or a blank name."""
    wanted = name_key(name)
    return tuple(s for s in setters if wanted and name_key(s.name) == wanted)
