"""What is a setter's: tools, plates, inspections, and a digest that follows every change."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from tests.logbook.books import AUTHOR, ME, NOW, a_book, a_book_with_setter, log, some_attempts

from platebook.logbook import LogbookError
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
        assert book.add_setter(setter, author=AUTHOR, now=NOW) == setter
        assert book.add_tool("s", tool, author=AUTHOR, now=NOW) == tool
        assert book.add_plate(plate, author=AUTHOR, now=NOW) == plate
        (attempt_id,) = book.add_attempts([Attempt(setter_id="s")], author=AUTHOR, now=NOW)
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
        assert book.add_inspections([look], author=AUTHOR, now=NOW) == (look,)
    with a_book(tmp_path) as book:
        assert book.setters()[-1] == setter
        assert (book.tools("s"), book.plates("s")) == ((tool,), (plate,))
        assert (book.inspections("s"), book.inspections(ME)) == ((look,), ())
        assert book.inspections() == (look,)
        assert book.check() == ()


def test_a_tool_stays_its_setters_when_it_is_corrected(tmp_path: Path) -> None:
    """The value itself has no word of whose it is."""
    with a_book_with_setter(tmp_path) as book:
        (tool,) = book.add_tools(ME, [Tool(kind="bur", size_mm=1.9)], author=AUTHOR, now=NOW)
        assert tool.tool_id is not None
        worn = tool.model_copy(update={"size_mm": 1.88})
        book.amend("tool", tool.tool_id, worn, author=AUTHOR, now=LATER)
        assert book.tools(ME) == (worn,)


def test_what_hangs_on_something_unknown_is_refused(tmp_path: Path) -> None:
    """A tool or plate of nobody, an inspection of no attempt."""
    with a_book_with_setter(tmp_path) as book:
        additions: tuple[Callable[[], object], ...] = (
            lambda: book.add_tool("x", Tool(kind="bur"), author=AUTHOR, now=NOW),
            lambda: book.add_plate(Plate(name="plate"), author=AUTHOR, now=NOW),
            lambda: book.add_inspections(
                [Inspection(attempt_id="x", inspector=ME)], author=AUTHOR, now=NOW
            ),
        )
        for add in additions:
            with pytest.raises(LogbookError) as caught:
                add()
            assert caught.value.cause == "unknown"
        assert len(book.revisions()) == 1


def test_every_change_gives_the_setters_concerned_a_new_digest(tmp_path: Path) -> None:
    """So a result kept under the old digest is never shown for the new record."""
    with a_book_with_setter(tmp_path) as book:
        other = book.add_setter("Ansel Reed", author=AUTHOR, now=NOW)
        assert other.setter_id is not None
        untouched = book.digest(other.setter_id)
        seen = {book.digest(ME)}
        (record_id,) = log(book, 1)
        seen.add(book.digest(ME))
        look = Inspection(attempt_id=record_id, inspector="Ansel Reed", result=("good",))
        book.add_inspections([look], author="Ansel Reed", now=NOW)
        seen.add(book.digest(ME))
        book.hide("attempt", record_id, author=AUTHOR, now=NOW)
        seen.add(book.digest(ME))
        book.undo(author=AUTHOR, now=NOW)
        seen.add(book.digest(ME))
        assert len(seen) == 5
        assert book.digest(other.setter_id) == untouched
        moved = some_attempts(1)[0].with_values(setter_id=other.setter_id)
        book.amend("attempt", record_id, moved, author=AUTHOR, now=NOW)
        assert book.digests() == {
            ME: book.digest(ME),
            other.setter_id: book.digest(other.setter_id),
        }
        assert book.digest(ME) not in seen
        assert book.digest(other.setter_id) != untouched
        assert book.digest("unknown") == ""
        assert (book.count_attempts(ME), book.count_attempts(other.setter_id)) == (0, 1)
        assert book.check() == ()
