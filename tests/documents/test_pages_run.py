"""Every command in README and docs runs, in the order a reader meets it, and prints what they say.

`PLATEBOOK_PICTURES=write` writes what was printed into the pages; look at the difference then.
"""

import re
from pathlib import Path

import pytest
from tests.documents.page import MARKS, ROOT, pages, steps_of
from tests.documents.running import WRITES, Reader, written_anew

PAGES = [page for page in pages() if steps_of(page.read_text("utf-8"))]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_the_page_does_what_it_says(
    page: Path, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """From an empty logbook, one command after the other."""
    text = page.read_text("utf-8")
    asks_for_class = "demo --keep" in text
    reader = Reader(tmp_path, request.getfixturevalue("kept_class") if asks_for_class else None)
    problems = [problem for step in steps_of(text) for problem in reader.takes(step)]
    if WRITES and reader.written:
        page.write_text(written_anew(text, reader.written), encoding="utf-8")
    assert problems == [], "\n\n".join(["", *problems])


@pytest.mark.parametrize("page", pages(), ids=lambda page: str(page.relative_to(ROOT)))
def test_blocks_say_what_they_are(page: Path) -> None:
    """A block with a command in it is `console` or `sh`, and its words are known ones."""
    text = page.read_text("utf-8")
    blocks = re.findall(r"^```([^\n]*)\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
    unmarked = [
        body
        for info, body in blocks
        if info.split()[:1] not in (["console"], ["sh"])
        and re.search(r"^(?:\$ )?platebook\b", body, re.MULTILINE)
    ]
    words = {
        word
        for info, _ in blocks
        if info.startswith(("console", "sh"))
        for word in info.split()[1:]
    }
    assert (unmarked, words - MARKS) == ([], set())
