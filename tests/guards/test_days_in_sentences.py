"""No sentence for a person holds "2026-11-05": days have one wording, `trade.phrases`.

ISO days stay where they are typed, in tables and names of files, and in what programs read.
"""

import re
from pathlib import Path

HOUSE = Path(__file__).parents[2]
SOURCE = HOUSE / "src" / "platebook"
PICTURES = HOUSE / "tests" / "tui" / "pictures"

ISO = r"20\d\d-\d\d-\d\d"
IN_A_SENTENCE = re.compile(rf"[A-Za-z,(] {ISO}|{ISO}[ T][\d:.]*[,:.;)]? ?[A-Za-z]{{2,}}|\+00:00")
"""A day with words of a person before or after it, or the offset of a moment."""

TYPED = ("such as 2026-01-08", "and 2026-11-05 in tables", "in tables.")
"""Examples of what is typed or shown in a table, said to be such."""

WRITTEN = re.compile(r"%Y-%m-%d|%-d|\.day\} \{[a-z_.]+:%B")
"""A day formatted by hand; %-d is unknown to one system that this runs on."""

BY_HAND = {
    "cli/terminal/options.py": "a day that is typed",
    "logbook/attempts/wanted_attempts.py": "the column of the Log",
    "logbook/file/copies.py": "a file's name",
    "logbook/file/views.py": "what other programs read",
    "services/from_others.py": "a value of JSON, worded where it is shown",
    "trade/phrases.py": "the one place",
    "tui/log/screen.py": "a file's name",
    "tui/running/trouble.py": "a line of the report of a fault",
}


def test_no_picture_has_a_day_of_the_file_format_in_a_sentence() -> None:
    """Only the Log's table has such a column."""
    found = [
        f"{file.name}: {line.strip()}"
        for file in sorted(PICTURES.glob("*.txt"))
        if not file.name.startswith("log-")
        for line in file.read_text(encoding="utf-8").splitlines()
        if IN_A_SENTENCE.search(line) and not any(known in line for known in TYPED)
    ]
    assert found == []


def test_no_command_prints_such_a_day_in_a_sentence() -> None:
    """What the pages of docs show of commands is what they print."""
    found = [
        f"{page.name}: {line.strip()}"
        for page in [HOUSE / "README.md", *sorted((HOUSE / "docs").glob("*.md"))]
        if page.name != "measured.md"
        for line in _printed(page.read_text(encoding="utf-8"))
        if IN_A_SENTENCE.search(line)
    ]
    assert found == []


def _printed(text: str) -> list[str]:
    """The lines of code blocks but for what is typed there."""
    blocks = re.findall(r"^ *```.*?\n(.*?)^ *```", text, re.MULTILINE | re.DOTALL)
    typed = re.compile(r"^ *(\$|--|#)|--(begins|ends|on|since)|^[\d-]+ [\d:]+,")
    return [line for block in blocks for line in block.splitlines() if not typed.search(line)]


def test_days_are_worded_in_one_place() -> None:
    """Who formats a day by hand stands in the list, with the reason, and not in vain."""
    found = {
        path.relative_to(SOURCE).as_posix()
        for path in SOURCE.rglob("*.py")
        if WRITTEN.search(path.read_text(encoding="utf-8"))
    }
    assert found == set(BY_HAND)
