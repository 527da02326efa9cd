"""What of a draft was not saved yet: the program may have died before its draft was cleared."""

from collections.abc import Collection, Mapping

from platebook.tui.entry.entry import from_draft as entry_from_draft
from platebook.tui.entry.keys_behind import KEYS, TYPED_AT
from platebook.tui.plate.sheet import from_draft as sheet_from_draft
from platebook.tui.plate.sheet import left_over, to_draft

Draft = Mapping[str, object]


def ids_to_save(draft: Draft) -> tuple[str, ...]:
    """The ids under which what is judged in a draft is saved; none for a correction."""
    sheet = sheet_from_draft(draft)
    if sheet is not None:
        return tuple(sheet.ids[row] for row in sheet.judged())
    entry = entry_from_draft(draft)
    if entry is None or entry.attempt_id is not None or not entry.value("attempt_id"):
        return ()
    return (entry.value("attempt_id"),)


def unsaved_part(draft: Draft, standing: Collection[str]) -> Draft | None:
    """What of a draft is not among the attempts that stand in the logbook; None for nothing.

    The program may have died after saving and before its draft was cleared.
    """
    if not any(key in standing for key in ids_to_save(draft)):
        return draft
    sheet = sheet_from_draft(draft)
    rest = left_over(sheet) if sheet is not None else None
    if rest is not None:
        return to_draft(rest)
    return {name: draft.get(name) for name in (KEYS, TYPED_AT)} if KEYS in draft else None
