"""Taking back says what was taken back: one thing by its name, several by their number."""

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.builders import an_attempt
from tests.logbook.books import ME, NOW, a_book_with_setter, log, signed

from platebook.logbook import Logbook, records, undoing
from platebook.logbook.adding import (
    add_attempts,
    add_inspections,
    add_plate,
    add_setter,
    add_tool_check,
    add_tools,
)
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool

CALIPER = Tool(kind="measuring", name="my [b]caliper[/b]")


def _checked(book: Logbook) -> None:
    tool = book.tell(add_tools, ME, [CALIPER], signed(book, "add"))[0]
    check = ToolCheckRecord(
        setter_id=ME, tool_id=tool.tool_id or "", known_mm=2.0, readings_mm=(2.0,)
    )
    book.tell(add_tool_check, check, signed(book, "check"))


def _tools(book: Logbook) -> None:
    book.tell(add_tools, ME, [CALIPER, Tool(kind="pin", size_mm=2)], signed(book, "add"))


def _taken_out(book: Logbook) -> None:
    tool = book.tell(add_tools, ME, [CALIPER], signed(book, "add"))[0]
    book.tell(records.hide, "tool", [tool.tool_id or ""], signed(book, "take out"))


def _inspected(book: Logbook) -> None:
    (one,) = log(book, 1)
    look = Inspection(attempt_id=one, inspector=ME, result=("good",))
    book.tell(add_inspections, [look], signed(book, "inspect"))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            lambda b: b.tell(add_tools, ME, [CALIPER], signed(b, "add")),
            "add of my [b]caliper[/b]",
        ),
        (
            lambda b: b.tell(add_tools, ME, [Tool(kind="pin", size_mm=2)], signed(b, "add")),
            "add of 1 tool",
        ),
        (_tools, "add of 2 tools"),
        (_taken_out, "take out of my [b]caliper[/b]"),
        (_checked, "check of my [b]caliper[/b]"),
        (
            lambda b: b.tell(add_setter, "Bram Osk", signed(b, "add")),
            "add of Bram Osk",
        ),
        (
            lambda b: b.tell(add_plate, Plate(setter_id=ME, name="C7"), signed(b, "add")),
            "add of plate C7",
        ),
        (_inspected, "inspect of 1 inspection"),
        (
            lambda b: b.tell(add_attempts, [an_attempt(setter_id=ME)], signed(b, "record")),
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
        undone = book.tell(undoing.undo, signed(book, "undo")).words
        assert undone.startswith(f"Taken back: {words}")
        assert book.tell(undoing.redo, signed(book, "redo")).words == undone.replace(
            "Taken", "Put", 1
        )


@pytest.mark.parametrize(
    ("day_only", "when"), [(False, " (2026-02-03 18:30)"), (True, " (2026-02-03)")]
)
def test_an_attempt_is_told_by_its_time(when: str, tmp_path: Path, *, day_only: bool) -> None:
    """By the day alone where no more was noted, and by nothing where no time was."""
    with a_book_with_setter(tmp_path) as book:
        for began, told in ((NOW, when), (None, "")):
            made = an_attempt(setter_id=ME, began=began, day_only=day_only and began is not None)
            book.tell(add_attempts, [made], signed(book, "record"))
            step = book.tell(undoing.undo, signed(book, "undo"))
            assert step.words == f"Taken back: record of 1 attempt{told}."
