"""What is exchanged through a folder, drawn: whose files lie in it, and who takes in what."""

from textual.content import Content

from platebook.tui.parts.text import stack

FOLDER = (
    "  your logbook          the folder             their logbooks",
    " ╭────────────╮    ╭────────────────────╮    ╭────────────────╮",
    " │ your work  │ ─▸ │ your file          │ ─▸ │ their work     │",
    " │ and theirs │ ◂─ │ and their files    │ ◂─ │ and yours      │",
    " ╰────────────╯    ╰────────────────────╯    ╰────────────────╯",
)
"""Each logbook writes one file, its own, and reads those of the others."""

READERS = (
    ("a student", "takes in the looks at their work, and their course"),
    ("who teaches", "takes in their class's work; others wait to be let in"),
    ("who has the folder", "can read every file in it, names and notes too"),
)
"""Who reads, and what; each line fits 80 columns."""


def folder_drawn() -> Content:
    """The drawing; a narrow window has no room for it."""
    return stack(*(_drawn(row) for row in FOLDER))


def who_reads_what() -> Content:
    """A line a reader."""
    names = max(len(who) for who, _ in READERS)
    rows = [Content.assemble((f"{who:<{names}}  ", "bold"), what) for who, what in READERS]
    return stack(*rows)


def _drawn(row: str) -> Content:
    """A line of the drawing with the blanks that it begins with."""
    return Content.assemble((row, "$muted"))
