"""Taking back and putting back, alone and against a model that does nothing else."""

import tempfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from tests.builders import an_attempt
from tests.logbook.books import AUTHOR, ME, NOW, a_book_with_setter, log, signed, some_attempts
from tests.logbook.handed_on import revisions_by

from platebook.logbook import Logbook, records, setter_records
from platebook.logbook.attempts.attempt_queries import (
    attempt_by_id,
    count_attempts,
    select_attempts,
)
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file import integrity
from platebook.logbook.history import undo_redo
from platebook.logbook.history.revisions import history_of
from platebook.logbook.history.undo_redo import UndoOutcome
from platebook.logbook.records import (
    add_attempts,
    add_inspections,
    add_plate,
    add_setter,
    add_tool_check,
    add_tools,
)
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection, Plate, Setter, ToolCheckRecord
from platebook.trade.records import Tool

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
            "adding my [b]caliper[/b]",
        ),
        (
            lambda b: b.tell(add_tools, ME, [Tool(kind="pin", size_mm=2)], signed(b, "add")),
            "adding 1 tool",
        ),
        (_tools, "adding 2 tools"),
        (_taken_out, "taking out my [b]caliper[/b]"),
        (_checked, "the check of my [b]caliper[/b]"),
        (
            lambda b: b.tell(add_setter, "Bram Osk", signed(b, "add")),
            "adding Bram Osk",
        ),
        (
            lambda b: b.tell(add_plate, Plate(setter_id=ME, name="C7"), signed(b, "add")),
            "adding plate C7",
        ),
        (_inspected, "the look at one of Ottoline Marsh's, good"),
        (
            lambda b: b.tell(add_attempts, [an_attempt(setter_id=ME)], signed(b, "record")),
            "1.98 mm, good",
        ),
    ],
)
def test_one_thing_is_told_by_its_name(
    change: Callable[[Logbook], object], words: str, tmp_path: Path
) -> None:
    """The same for taking back and for putting back."""
    with a_book_with_setter(tmp_path) as book:
        change(book)
        undone = book.tell(undo_redo.undo, signed(book, "undo")).words
        assert undone.startswith(f"Taken back: {words}")
        assert book.tell(undo_redo.redo, signed(book, "redo")).words == undone.replace(
            "Taken", "Put", 1
        )


@pytest.mark.parametrize(("day_only", "when"), [(False, ", at 18:30"), (True, ", on 3 February")])
def test_an_attempt_is_told_by_its_time(when: str, tmp_path: Path, *, day_only: bool) -> None:
    """By the day alone where no more was noted, and by nothing where no time was."""
    with a_book_with_setter(tmp_path) as book:
        for began, told in ((NOW, when), (None, "")):
            made = an_attempt(setter_id=ME, began=began, day_only=day_only and began is not None)
            book.tell(add_attempts, [made], signed(book, "record"))
            step = book.tell(undo_redo.undo, signed(book, "undo"))
            assert step.words == f"Taken back: 1.98 mm, good{told}."


OTHER = "Ansel Reed"


def undo(book: Logbook, author: str = AUTHOR) -> UndoOutcome:
    """Take the author's last change back."""
    return book.tell(undo_redo.undo, book.stamp(author, NOW, "undo"))


def redo(book: Logbook, author: str = AUTHOR) -> UndoOutcome:
    """Put it back."""
    return book.tell(undo_redo.redo, book.stamp(author, NOW, "redo"))


def test_with_nothing_done_there_is_nothing_to_take_back(tmp_path: Path) -> None:
    """It is said, and no change is made of it."""
    with a_book_with_setter(tmp_path) as book:
        assert undo(book, OTHER) == UndoOutcome(done=False, words="There is nothing to take back.")
        assert redo(book) == UndoOutcome(done=False, words="There is nothing to put back.")
        assert len(book.ask(revisions_by)) == 1


def test_an_import_is_taken_back_as_one(tmp_path: Path) -> None:
    """64 rows came as one change and go as one; putting them back brings the same ids."""
    with a_book_with_setter(tmp_path) as book:
        ids = log(book, 64, what="import")
        taken = undo(book)
        assert (taken.done, taken.words) == (True, "Taken back: import of 64 attempts.")
        assert (book.ask(select_attempts), book.ask(count_attempts)) == ((), 0)
        put = redo(book)
        assert (put.done, put.words) == (True, "Put back: import of 64 attempts.")
        assert tuple(a.attempt_id for a in book.ask(select_attempts)) == ids
        assert book.ask(integrity.problems_in) == ()


def test_what_was_taken_back_is_still_in_the_past(tmp_path: Path) -> None:
    """Taking back is a new change: three versions of the record, none of them gone."""
    with a_book_with_setter(tmp_path) as book:
        (record_id,) = log(book, 1)
        undo(book)
        redo(book)
        past = book.ask(history_of, "attempt", record_id)
        assert [v.revision.change.what for v in past.versions] == ["record", "undo", "redo"]
        assert [v.revision.hidden for v in past.versions] == [False, True, False]
        assert [v.stands for v in past.versions] == [False, False, True]


def test_each_author_takes_back_their_own(tmp_path: Path) -> None:
    """An instructor's change at the same logbook is not taken back by the setter."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
        book.tell(add_setter, OTHER, book.stamp(OTHER, NOW, "add"))
        assert undo(book).words == "Taken back: 2 attempts."
        assert [setter.name for setter in book.ask(setter_records.setters)] == [AUTHOR, OTHER]


def test_who_is_called_otherwise_now_takes_back_what_they_did_before(tmp_path: Path) -> None:
    """The correction of their name, and what came before it; not what a bearer of it did."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
        for name, author in ((OTHER, AUTHOR), ("Orla Reed", OTHER)):
            renamed = Setter(setter_id=ME, name=name)
            book.tell(records.amend, "setter", ME, renamed, book.stamp(author, NOW, "amend"))
        book.tell(add_setter, OTHER, book.stamp(OTHER, NOW, "add"))
        assert undo(book, "Orla Reed").words.startswith("The setter was changed since, by Ansel")
        assert undo(book, OTHER).words == f"Taken back: adding {OTHER}."
        words = [undo(book, "Orla Reed").words for _ in range(3)]
        assert words == [
            "Taken back: the correction of Orla Reed.",
            f"Taken back: the correction of {OTHER}.",
            "Taken back: 2 attempts.",
        ]
        assert redo(book, AUTHOR).words == "Put back: 2 attempts."


def test_a_record_that_moved_on_is_not_taken_back(tmp_path: Path) -> None:
    """It says who changed it and when, and leaves everything as it is."""
    with a_book_with_setter(tmp_path) as book:
        ids = log(book, 3)
        attempt = book.ask(attempt_by_id, ids[1])
        assert attempt is not None
        later = NOW + timedelta(hours=2)
        corrected = attempt.with_values(note="clear burr")
        book.tell(records.amend, "attempt", ids[1], corrected, book.stamp(OTHER, later, "amend"))
        before = book.ask(revisions_by)
        step = undo(book)
        assert not step.done
        assert step.words == (
            "The attempt was changed since, by Ansel Reed on 3 February 2026 at 20:30. "
            "Nothing was changed."
        )
        assert book.ask(revisions_by) == before


def test_a_setter_with_attempts_of_others_stays(tmp_path: Path) -> None:
    """Taking back the setter would leave the attempts to nobody."""
    with a_book_with_setter(tmp_path) as book:
        book.tell(add_attempts, some_attempts(1), book.stamp(OTHER, NOW, "record"))
        step = undo(book)
        assert not step.done
        assert "has 1 attempt that stands" in step.words
        assert [setter.name for setter in book.ask(setter_records.setters)] == [AUTHOR]


def test_something_new_ends_what_can_be_put_back(tmp_path: Path) -> None:
    """As in every editor: after a new change there is nothing to put back."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 1)
        undo(book)
        log(book, 2)
        assert redo(book).words == "There is nothing to put back."
        assert book.ask(count_attempts) == 2


class Done(NamedTuple):
    """A change of the model: each record's note before and after; None where it is hidden."""

    notes: dict[str, tuple[str | None, str | None]]


class Bench(RuleBasedStateMachine):
    """Two authors at one logbook, beside lists of what each did and took back."""

    @initialize()
    def start(self) -> None:
        """An empty logbook and an empty model."""
        self.folder = tempfile.TemporaryDirectory()
        self.book = a_book_with_setter(Path(self.folder.name))
        self.notes: dict[str, str | None] = {}
        self.done: dict[str, list[Done]] = {OTHER: [], "Third": []}
        self.undone: dict[str, list[Done]] = {OTHER: [], "Third": []}

    def teardown(self) -> None:
        """Close the logbook and look whether it is whole."""
        assert self.book.ask(integrity.problems_in) == ()
        self.book.close()
        self.folder.cleanup()

    def did(self, author: str, notes: dict[str, tuple[str | None, str | None]]) -> None:
        """Keep a new change in the model."""
        self.done[author].append(Done(notes))
        self.undone[author].clear()
        self.notes |= {record_id: after for record_id, (_, after) in notes.items()}

    @rule(author=st.sampled_from([OTHER, "Third"]), notes=st.lists(st.text(), min_size=1))
    def add(self, author: str, notes: list[str]) -> None:
        """Several attempts as one change."""
        attempts = [Attempt(setter_id=ME, began=NOW, note=note) for note in notes]
        ids = self.book.tell(add_attempts, attempts, self.book.stamp(author, NOW, "record"))
        self.did(author, {i: (None, note) for i, note in zip(ids, notes, strict=True)})

    @precondition(lambda self: any(note is not None for note in self.notes.values()))
    @rule(author=st.sampled_from([OTHER, "Third"]), note=st.text(), data=st.data())
    def amend(self, author: str, note: str, data: st.DataObject) -> None:
        """Another note, or the same one again, which is no change."""
        record_id = data.draw(st.sampled_from([i for i, n in self.notes.items() if n is not None]))
        before = self.notes[record_id]
        attempt = Attempt(attempt_id=record_id, setter_id=ME, began=NOW, note=note)
        change = self.book.tell(
            records.amend, "attempt", record_id, attempt, self.book.stamp(author, NOW, "amend")
        )
        assert (change is None) == (before == note)
        if change is not None:
            self.did(author, {record_id: (before, note)})

    @precondition(lambda self: any(note is not None for note in self.notes.values()))
    @rule(author=st.sampled_from([OTHER, "Third"]), data=st.data())
    def hide(self, author: str, data: st.DataObject) -> None:
        """An attempt is taken out."""
        record_id = data.draw(st.sampled_from([i for i, n in self.notes.items() if n is not None]))
        self.book.tell(records.hide, "attempt", [record_id], self.book.stamp(author, NOW, "hide"))
        self.did(author, {record_id: (self.notes[record_id], None)})

    @rule(author=st.sampled_from([OTHER, "Third"]))
    def undo(self, author: str) -> None:
        """The author's last change, unless a record of it has moved on."""
        self.turn(undo(self.book, author), self.done[author], self.undone[author], now=1, then=0)

    @rule(author=st.sampled_from([OTHER, "Third"]))
    def redo(self, author: str) -> None:
        """The last one taken back, unless a record of it has moved on."""
        self.turn(redo(self.book, author), self.undone[author], self.done[author], now=0, then=1)

    def turn(
        self, step: UndoOutcome, source: list[Done], goal: list[Done], *, now: int, then: int
    ) -> None:
        """What the model does on taking back or putting back."""
        possible = bool(source) and all(
            self.notes[record_id] == notes[now] for record_id, notes in source[-1].notes.items()
        )
        assert step.done == possible
        if possible:
            change = source.pop()
            goal.append(change)
            self.notes |= {record_id: notes[then] for record_id, notes in change.notes.items()}

    @invariant()
    def the_logbook_is_what_the_model_says(self) -> None:
        """The same attempts stand, with the same notes, and are counted right."""
        expected = {i: note for i, note in self.notes.items() if note is not None}
        assert {a.attempt_id: a.note for a in self.book.ask(select_attempts)} == expected
        assert self.book.ask(count_attempts, Wanted(setter_id=ME)) == len(expected)


TestBench = pytest.mark.slow(Bench.TestCase)
TestBench.settings = settings(
    max_examples=20, stateful_step_count=20, deadline=None, derandomize=True
)
