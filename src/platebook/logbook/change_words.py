"""A change in words for a person: what it was about, by name where it is one thing."""

import json
from collections import Counter
from collections.abc import Mapping
from typing import Any

from platebook.logbook.connecting import Database
from platebook.logbook.rows import time_of
from platebook.practice.revision import Revision


def in_words(db: Database, revisions: tuple[Revision, ...]) -> str:
    """What a change is about: "my caliper", "64 attempts and 1 setter"."""
    if len(revisions) == 1:
        return _one(db, revisions[0])
    counts = Counter(revision.kind for revision in revisions)
    told = [_counted(kind, n) for kind, n in sorted(counts.items())]
    return " and ".join(part for part in (", ".join(told[:-1]), told[-1]) if part) if told else ""


def _counted(kind: str, number: int) -> str:
    return f"{number} {_noun(kind)}{'' if number == 1 else 's'}"


def _noun(kind: str) -> str:
    return {"sign_off": "sign-off"}.get(kind, kind.replace("_", " "))


def _one(db: Database, revision: Revision) -> str:
    """One record by its name, an attempt by its time; as a count where it has neither."""
    record = _read(revision.record)
    counted = _counted(revision.kind, 1)
    match revision.kind:
        case "tool" | "setter":
            return _text(record, "name") or counted
        case "plate":
            name = _text(record, "name")
            return f"plate {name}" if name else counted
        case "tool_check":
            return _tool_name(db, _text(record, "tool_id")) or counted
        case "attempt":
            return f"{counted}{_when(record)}"
        case "sign_off":
            return f"{counted} (grade {_text(record, 'grade')})"
        case _:
            return counted


def _read(record: str) -> Mapping[str, Any]:
    try:
        found = json.loads(record)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _text(record: Mapping[str, Any], name: str) -> str:
    value = record.get(name)
    return value if isinstance(value, str) else ""


def _tool_name(db: Database, tool_id: str) -> str:
    # A tool that was taken out since has its row all the same.
    row = db.execute("SELECT name FROM tool WHERE tool_id = ?", [tool_id]).fetchone()
    return str(row[0]) if row is not None and row[0] else ""


def _when(record: Mapping[str, Any]) -> str:
    """The day and time of an attempt in the zone it was made in, in brackets."""
    us, offset = record.get("began_us"), record.get("began_offset_min")
    if not isinstance(us, int) or not isinstance(offset, int):
        return ""
    try:
        began = time_of(us, offset)
    except (OverflowError, ValueError):
        return ""
    shown = f"{began:%Y-%m-%d}" if record.get("day_only") else f"{began:%Y-%m-%d %H:%M}"
    return f" ({shown})"
