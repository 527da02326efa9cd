"""Keys typed behind a save that is under way: kept in the draft file till they are taken.

A disk may take longer than a window that is closed waits for it. So what is typed while something
is saved is written with the draft, key by key. At the next start the save is asked for again, or
is known to have been done, and then the keys go where they were meant to.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from textual import events

OF_A_PLATE = "plate_sheet"
"""The name in a draft file under which a whole plate stands."""

KEYS = "typed_behind"
TYPED_AT = "typed_behind_at"
SAVING = "was_saving"
"""The names in a draft file; one with nothing else holds only what was typed after a save."""

Draft = Mapping[str, object]


def with_keys(
    draft: Draft, keys: Sequence[events.Key], at: str, *, saving: bool = False
) -> dict[str, object]:
    """The draft with what was typed behind its save, and since when (`at`, ISO 8601).

    `saving` says whether that save is still under way.
    """
    if not keys:
        return dict(draft)
    first = keys[0].time
    plain = [[key.key, key.character, round(key.time - first, 3)] for key in keys]
    return {**draft, KEYS: plain, TYPED_AT: at, **({SAVING: True} if saving else {})}


def keys_behind(draft: Mapping[str, Any]) -> list[events.Key]:
    """What was typed behind the save of a draft, each key as long after the one before as then.

    Empty where nothing was, or where the file holds something else.
    """
    try:
        return [_key(str(name), sign, float(after)) for name, sign, after in draft.get(KEYS, ())]
    except (TypeError, ValueError):
        return []


def typed_at(draft: Draft) -> str:
    """When the first of them was typed; empty where nothing was."""
    return str(draft.get(TYPED_AT) or "")


def was_saving(draft: Draft) -> bool:
    """Whether a draft was being saved when its program ended."""
    return draft.get(SAVING) is True


def is_only_keys(draft: Draft) -> bool:
    """Whether a draft holds nothing but what was typed after a save."""
    return KEYS in draft and not draft.keys() - {KEYS, TYPED_AT, SAVING}


def _key(name: str, sign: object, after_s: float) -> events.Key:
    key = events.Key(name, sign if isinstance(sign, str) else None)
    key.time += after_s
    return key
