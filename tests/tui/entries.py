"""An attempt begun from Now, and keys typed into it."""

from hypothesis import strategies as st
from tests.tui.bench import a_view

from platebook.tui.entry.entry import (
    Entry,
)
from platebook.tui.entry.moves import another_defect, back, go_on, press, rub_out, visit
from platebook.tui.entry.start import entry_for

BEGAN = "2026-03-04T18:42:00+00:00"


def started(**changes: object) -> Entry:
    """A new attempt at the view with these changes."""
    return entry_for(a_view(**changes), attempt_id="a1", began=BEGAN)


def typed(entry: Entry, keys: str) -> Entry:
    """The entry after these keys: signs, > go on, < back, ~ rub out, + another defect."""
    for key in keys:
        match key:
            case ">":
                entry = go_on(entry)
            case "<":
                entry = back(entry) or entry
            case "~":
                entry = rub_out(entry)
            case "+":
                entry = another_defect(entry)
            case _:
                entry = press(entry, key)
    return entry


KEYS = st.text(alphabet="0123456789.><~+x", max_size=40)


def at_the_seat(**changes: object) -> Entry:
    """A good attempt whose seat's diameter is being typed, from the list of more."""
    entry = typed(started(**changes), "32109")
    return visit(entry, "seat_diameter_mm")
