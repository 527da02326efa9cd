"""A report as its reader meets it: written by the command, opened in a browser, printed."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.browser import Browser, missing

pytestmark = [pytest.mark.slow, pytest.mark.skipif(bool(missing()), reason=missing())]

PROGRAM = (sys.executable, "-m", "platebook")
A4 = (21.0, 29.7)
LETTER = (21.59, 27.94)


@pytest.mark.parametrize(
    ("options", "says"),
    [((), "Where the grades stand"), (("--class",), "A line each")],
    ids=["setter", "class"],
)
def test_a_page_prints_on_one_side(
    options: tuple[str, ...], says: str, invented_class: Path, tmp_path: Path
) -> None:
    """Nothing is asked for, nothing goes wrong, its text can be taken out, one sheet is enough."""
    file = tmp_path / "page.html"
    subprocess.run(
        [*PROGRAM, "report", str(file), *options, "--logbook", str(invented_class)],
        env={**os.environ, "HOME": str(tmp_path)},
        check=True,
    )
    browser = Browser(tmp_path)
    try:
        browser.show(file)
        assert browser.complaints() == []
        assert [browser.pages_in_print(*paper) for paper in (A4, LETTER)] == [1, 1]
        text = browser.selected_text()
    finally:
        browser.close()
    assert [a for a in browser.asked if a.startswith(("http", "ws"))] == []
    assert says in text
    assert "INVENTED" in text
