"""What is a setter's: tools, plates, inspections, and a digest that follows every change."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from tests.logbook.books import (
    AUTHOR,
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    signed,
    some_attempts,
)

from platebook.logbook import LogbookError, belongings, checking, keeping, records, undoing
from platebook.logbook.adding import add_attempts, add_inspections, add_plate, add_setter, add_tools
from platebook.logbook.attempts import count_attempts
from platebook.logbook.revisions import revisions_by
from platebook.logbook.wanted import Wanted
from platebook.practice.attempt import Attempt
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.setter import Setter
from platebook.trade.drawer import Tool

LATER = NOW + timedelta(hours=1)


def test_every_kind_comes_back_as_it_was(tmp_path: Path) -> None:
    """Setter, tool, plate and inspection, with nothing of them empty."""
    setter = Setter(
        setter_id="s",
        name="Ansel Reed",
        group="Tuesday",
        active=False,
        course="small to large",
        track="sterling",
        note="left-handed",
    )
    tool = Tool(
        tool_id="t",
        kind="bur",
        name="old hart",
        shape="hart",
        size_mm=1.903,
        angle_deg=90.5,
        seats_cut=7,
        resolution_mm=0.01,
        mpe_mm=0.02,
        note="chipped tooth",
    )
    plate = Plate(
        plate_id="p",
        setter_id="s",
        name="plate 1",
        metal="copper",
        metal_state="annealed today",
        sheet_mm=0.812,
        layers=2,
        backing="none",
        support="pitch",
        positions=("1", "2", "10"),
        across=2,
        pitch_mm=6.5,
        width_mm=50.8,
        height_mm=25.4,
        stones_mm=(1.5, 2.0),
        note="notch filed",
    )
    with a_book_with_setter(tmp_path) as book:
        assert book.tell(add_setter, setter, signed(book, "add")) == setter
        assert book.tell(add_tools, "s", [tool], signed(book, "add"))[0] == tool
        assert book.tell(add_plate, plate, signed(book, "add")) == plate
        (attempt_id,) = book.tell(add_attempts, [Attempt(setter_id="s")], signed(book, "record"))
        look = Inspection(
            inspection_id="i",
            attempt_id=attempt_id,
            inspector="s",
            result=("gap",),
            severity=(1,),
            clock=4,
            comment="burnish toward it",
            drawn_at_random=True,
            looked=NOW,
        )
        assert book.tell(add_inspections, [look], signed(book, "inspect")) == (look,)
    with a_book(tmp_path) as book:
        assert book.ask(belongings.setters)[-1] == setter
        assert (book.ask(belongings.tools, "s"), book.ask(belongings.plates, "s")) == (
            (tool,),
            (plate,),
        )
        assert (book.ask(belongings.inspections, "s"), book.ask(belongings.inspections, ME)) == (
            (look,),
            (),
        )
        assert book.ask(belongings.inspections) == (look,)
        assert book.ask(checking.findings) == ()


def test_a_tool_stays_its_setters_when_it_is_corrected(tmp_path: Path) -> None:
    """The value itself has no word of whose it is."""
    with a_book_with_setter(tmp_path) as book:
        (tool,) = book.tell(add_tools, ME, [Tool(kind="bur", size_mm=1.9)], signed(book, "add"))
        assert tool.tool_id is not None
        worn = tool.model_copy(update={"size_mm": 1.88})
        book.tell(records.amend, "tool", tool.tool_id, worn, book.stamp(AUTHOR, LATER, "amend"))
        assert book.ask(belongings.tools, ME) == (worn,)


def test_what_hangs_on_something_unknown_is_refused(tmp_path: Path) -> None:
    """A tool or plate of nobody, an inspection of no attempt."""
    with a_book_with_setter(tmp_path) as book:
        additions: tuple[Callable[[], object], ...] = (
            lambda: book.tell(add_tools, "x", [Tool(kind="bur")], signed(book, "add"))[0],
            lambda: book.tell(add_plate, Plate(name="plate"), signed(book, "add")),
            lambda: book.tell(
                add_inspections,
                [Inspection(attempt_id="x", inspector=ME)],
                signed(book, "inspect"),
            ),
        )
        for add in additions:
            with pytest.raises(LogbookError) as caught:
                add()
            assert caught.value.cause == "unknown"
        assert len(book.ask(revisions_by)) == 1


def test_every_change_gives_the_setters_concerned_a_new_digest(tmp_path: Path) -> None:
    """So a result kept under the old digest is never shown for the new record."""
    with a_book_with_setter(tmp_path) as book:
        other = book.tell(add_setter, "Ansel Reed", signed(book, "add"))
        assert other.setter_id is not None
        untouched = book.ask(keeping.digest, other.setter_id)
        seen = {book.ask(keeping.digest, ME)}
        (record_id,) = log(book, 1)
        seen.add(book.ask(keeping.digest, ME))
        look = Inspection(attempt_id=record_id, inspector="Ansel Reed", result=("good",))
        book.tell(add_inspections, [look], book.stamp("Ansel Reed", NOW, "inspect"))
        seen.add(book.ask(keeping.digest, ME))
        book.tell(records.hide, "attempt", [record_id], signed(book, "hide"))
        seen.add(book.ask(keeping.digest, ME))
        book.tell(undoing.undo, signed(book, "undo"))
        seen.add(book.ask(keeping.digest, ME))
        assert len(seen) == 5
        assert book.ask(keeping.digest, other.setter_id) == untouched
        moved = some_attempts(1)[0].with_values(setter_id=other.setter_id)
        book.tell(records.amend, "attempt", record_id, moved, signed(book, "amend"))
        assert book.ask(keeping.digests) == {
            ME: book.ask(keeping.digest, ME),
            other.setter_id: book.ask(keeping.digest, other.setter_id),
        }
        assert book.ask(keeping.digest, ME) not in seen
        assert book.ask(keeping.digest, other.setter_id) != untouched
        assert book.ask(keeping.digest, "unknown") == ""
        assert (
            book.ask(count_attempts, Wanted(setter_id=ME)),
            book.ask(count_attempts, Wanted(setter_id=other.setter_id)),
        ) == (0, 1)
        assert book.ask(checking.findings) == ()
