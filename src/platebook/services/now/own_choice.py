"""What a setter chose instead of the suggestion, kept beside the records, one for each setter.

| function | does |
|---|---|
| `choice_in`, `choice_mark` | what is chosen; what an answer that rests on it is found by |
| `block_begun` | the block laid out last, done or not |
| `keep_choice` | keeps another choice, and remembers the one before |
| `last_choice`, `forget_last` | the choice after which nothing was changed yet; takes it back |
"""

from typing import TypeVar

from msgspec import json

from platebook.advice.exercise import BlockAtWork, Choice
from platebook.logbook import Logbook, defaults
from platebook.values import Value

Kind = TypeVar("Kind", bound=Value)

CHOICE = "choice"
BLOCK = "block"


class KeptChoice(Value):
    """A choice as it is kept: the one it took the place of, and the log's digest at that time."""

    choice: Choice | None
    before: Choice | None = None
    digest: str = ""


def choice_in(book: Logbook, setter_id: str) -> Choice | None:
    """What this setter chose instead of the suggestion; None for nothing."""
    kept = _kept(book, setter_id)
    return kept.choice if kept is not None else None


def choice_mark(book: Logbook, setter_id: str) -> str:
    """Another text for another choice; empty where none was ever made."""
    return book.ask(defaults.default, defaults.own_name(CHOICE, setter_id)) or ""


def block_begun(book: Logbook, setter_id: str) -> BlockAtWork | None:
    """The block laid out last for this setter; None for none."""
    return _read(BlockAtWork, book.ask(defaults.default, defaults.own_name(BLOCK, setter_id)))


def keep_choice(book: Logbook, setter_id: str, choice: Choice | None) -> None:
    """Keep this choice, or that nothing is chosen."""
    kept = KeptChoice(
        choice=choice,
        before=choice_in(book, setter_id),
        digest=book.ask(defaults.digest, setter_id),
    )
    _write(book, CHOICE, setter_id, kept)
    if choice is not None and choice.block is not None:
        _write(book, BLOCK, setter_id, choice.block)


def last_choice(book: Logbook, setter_id: str) -> KeptChoice | None:
    """The last choice, where nothing of the setter's was changed after it; None otherwise."""
    kept = _kept(book, setter_id)
    if kept is None or kept.digest != book.ask(defaults.digest, setter_id):
        return None
    return kept


def forget_last(book: Logbook, setter_id: str, kept: KeptChoice) -> None:
    """The choice before this one stands again."""
    before = KeptChoice(choice=kept.before) if kept.before is not None else None
    _write(book, CHOICE, setter_id, before)


def _kept(book: Logbook, setter_id: str) -> KeptChoice | None:
    return _read(KeptChoice, choice_mark(book, setter_id))


def _read(kind: type[Kind], text: str | None) -> Kind | None:
    """What was kept; None for nothing, and for a text that holds no such thing."""
    try:
        return json.decode(text, type=kind) if text else None
    except (ValueError, RecursionError):
        return None


def _write(book: Logbook, what: str, setter_id: str, value: Value | None) -> None:
    text = json.encode(value).decode() if value is not None else None
    book.tell(defaults.set_default, defaults.own_name(what, setter_id), text)
