"""Taking back says what was taken back: one thing by its name, several by their number."""

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.builders import an_attempt
from tests.logbook.books import AUTHOR, ME, NOW, a_book_with_setter, log

from platebook.logbook import Logbook
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool

CALIPER = Tool(kind="measuring", name="my [b]caliper[/b]")


def _checked(book: Logbook) -> None:
    tool = book.add_tool(ME, CALIPER, author=AUTHOR, now=NOW)
    check = ToolCheckRecord(
        setter_id=ME, tool_id=tool.tool_id or "", known_mm=2.0, readings_mm=(2.0,)
    )
    book.add_tool_check(check, author=AUTHOR, now=NOW)


def _tools(book: Logbook) -> None:
    book.add_tools(ME, [CALIPER, Tool(kind="pin", size_mm=2)], author=AUTHOR, now=NOW)


def _taken_out(book: Logbook) -> None:
    tool = book.add_tool(ME, CALIPER, author=AUTHOR, now=NOW)
    book.hide("tool", tool.tool_id or "", author=AUTHOR, now=NOW, what="take out")


def _inspected(book: Logbook) -> None:
    (one,) = log(book, 1)
    look = Inspection(attempt_id=one, inspector=ME, result=("good",))
    book.add_inspections([look], author=AUTHOR, now=NOW)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda b: b.add_tool(ME, CALIPER, author=AUTHOR, now=NOW), "add of my [b]caliper[/b]"),
        (
            lambda b: b.add_tool(ME, Tool(kind="pin", size_mm=2), author=AUTHOR, now=NOW),
            "add of 1 tool",
        ),
        (_tools, "add of 2 tools"),
        (_taken_out, "take out of my [b]caliper[/b]"),
        (_checked, "check of my [b]caliper[/b]"),
        (lambda b: b.add_setter("Bram Osk", author=AUTHOR, now=NOW), "add of Bram Osk"),
        (
            lambda b: b.add_plate(Plate(setter_id=ME, name="C7"), author=AUTHOR, now=NOW),
            "add of plate C7",
        ),
        (_inspected, "inspect of 1 inspection"),
        (
            lambda b: b.add_attempts([an_attempt(setter_id=ME)], author=AUTHOR, now=NOW),
            "record of 1 attempt",
        ),
    ],
)
def test_one_thing_is_told_by_its_name(
    change: Callable[[Logbook], object], words: str, tmp_path: Path
) -> None:
    """The same for taking back and for putting back."""
    with a_book_with_setter(tmp_path) as book:
        change(book)
        undone = book.undo(author=AUTHOR, now=NOW).words
        assert undone.startswith(f"Taken back: {words}")
        assert book.redo(author=AUTHOR, now=NOW).words == undone.replace("Taken", "Put", 1)


@pytest.mark.parametrize(
    ("day_only", "when"), [(False, " (2026-02-03 18:30)"), (True, " (2026-02-03)")]
)
def test_an_attempt_is_told_by_its_time(when: str, tmp_path: Path, *, day_only: bool) -> None:
    """By the day alone where no more was noted, and by nothing where no time was."""
    with a_book_with_setter(tmp_path) as book:
        for began, told in ((NOW, when), (None, "")):
            made = an_attempt(setter_id=ME, began=began, day_only=day_only and began is not None)
            book.add_attempts([made], author=AUTHOR, now=NOW)
            step = book.undo(author=AUTHOR, now=NOW)
            assert step.words == f"Taken back: record of 1 attempt{told}."
