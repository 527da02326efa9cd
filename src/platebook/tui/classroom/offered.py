"""What the key lines of the class, its queue and a plate leave out, as it stands now."""

from platebook.tui.classroom.words import Looking

OF_ATTEMPTS = frozenset({"queue", "order", "plate", "sign_off", "shared", "compare", "register"})
"""What nothing can be done with as long as nobody has logged anything."""
OF_VERDICTS = frozenset({"comment", "write", "undo"})
"""What nothing can be done with before something of a plate is judged."""
IN_QUEUE = {"queue": "class"}
"""What a key is called in the queue, where it leads back."""


def unfit_in_class(*, begun: bool, undoable: bool) -> set[str]:
    """In the class; `begun` once somebody has logged something."""
    return {*({"order"} if begun else OF_ATTEMPTS), *_undo(undoable)}


def unfit_in_queue(looking: Looking, *, undoable: bool) -> set[str]:
    """In the queue: words go with a verdict."""
    return {*(() if looking.waits_for == "comment" else ("write",)), *_undo(undoable)}


def _undo(undoable: bool) -> tuple[str, ...]:  # noqa: FBT001 - two callers
    return () if undoable else ("undo",)
