"""People and their tools: adding, choosing, making two one, erasing."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, COURSE, SEAT_BUR, a_row, ada_at, logged, new_desk

from platebook.services.desk import Desk
from platebook.services.desks import seated as at_book
from platebook.services.faults import LogbookUnusable, Refused, opened
from platebook.services.keeping import backup, restore
from platebook.services.log import attempts_of, log_page
from platebook.services.recording import redo, undo
from platebook.services.roster import (
    add_setter,
    add_tool,
    erase_setter,
    listed,
    merge_setters,
    seat,
    seat_new,
    tools,
    use_setter,
)


def test_nobody_is_listed_before_there_is_a_logbook(tmp_path: Path) -> None:
    """Listing makes no file."""
    desk = new_desk(tmp_path)
    assert (listed(desk), desk.path.exists()) == ((), False)


def test_the_first_person_added_is_in_use(tmp_path: Path) -> None:
    """The second one is not, until chosen."""
    desk = new_desk(tmp_path)
    add_setter(desk, f"  {ADA} ", course=COURSE)
    add_setter(desk, BRAM)
    assert [(x.setter.name, x.setter.course, x.in_use) for x in listed(desk)] == [
        (ADA, COURSE, True),
        (BRAM, None, False),
    ]
    use_setter(desk, BRAM)
    assert [x.in_use for x in listed(desk)] == [False, True]


def test_whoever_sits_down_is_in_use_and_signs(tmp_path: Path) -> None:
    """A person of the logbook, or one who is added on the way."""
    ada = ada_at(tmp_path)
    bram = seat_new(ada, f" {BRAM} ")
    assert (bram.setter_name, bram.author) == (BRAM, BRAM)
    assert [x.in_use for x in listed(bram)] == [False, True]
    assert seat(bram, ADA).setter_id == ada.setter_id
    assert [x.in_use for x in listed(bram)] == [True, False]


@pytest.mark.parametrize(
    ("name", "course", "sentence"),
    [
        ("  ", None, "name: read nothing, expected the setter's name"),
        ("ada quill", None, "name: 'ada quill' is in the logbook already; give --group"),
        ("Cleo", "backwards", "course: read 'backwards', expected one of: small-to-large"),
    ],
)
def test_what_cannot_be_added_is_refused_in_words(
    name: str, course: str | None, sentence: str, tmp_path: Path
) -> None:
    """Nothing is added."""
    desk = ada_at(tmp_path)
    with pytest.raises(Refused, match=sentence):
        add_setter(desk, name, course=course)
    assert [x.setter.name for x in listed(desk)] == [ADA]


def test_attempts_are_counted_by_setter(tmp_path: Path) -> None:
    """Each has their own."""
    desk = ada_at(tmp_path)
    logged(desk, a_row(), a_row(), a_row(setter=BRAM))
    assert [(x.setter.name, x.attempts) for x in listed(desk)] == [(ADA, 2), (BRAM, 1)]


def test_two_entries_of_one_person_become_one_and_part_again(tmp_path: Path) -> None:
    """All attempts are the kept one's, who is in use; undo takes it all back."""
    desk = ada_at(tmp_path)
    logged(desk, a_row(setter="A. Quill"), a_row())
    use_setter(desk, "A. Quill")
    assert merge_setters(desk, ADA, "A. Quill") == (
        f"A. Quill is now {ADA}; undo parts them again."
    )
    assert [(x.setter.name, x.attempts, x.in_use) for x in listed(desk)] == [(ADA, 2, True)]
    undo(desk)
    assert [(x.setter.name, x.attempts) for x in listed(desk)] == [(ADA, 1), ("A. Quill", 1)]
    assert [x.setter.name for x in listed(desk) if x.in_use] == ["A. Quill"]


def seated(desk: Desk) -> Desk:
    """The desk of whoever is in use now, as the next command finds it."""
    with opened(desk) as book:
        return at_book(Desk(desk.path, desk.clock, desk.zone), book)


def test_a_merge_of_the_one_in_use_is_taken_back_under_the_other_name(tmp_path: Path) -> None:
    """Whoever sits down next is the kept entry; undo and redo are theirs all the same."""
    start = ada_at(tmp_path)
    logged(start, a_row(setter="A. Quill"))
    use_setter(start, "A. Quill")
    merge_setters(seated(start), ADA, "A. Quill")
    desk = seated(start)
    assert desk.setter_name == ADA
    assert undo(desk).startswith("Taken back: merge of")
    back = seated(start)
    assert back.setter_name == "A. Quill"
    assert redo(back).startswith("Put back: merge of")
    assert seated(start).setter_name == ADA


def test_one_entry_is_not_merged_with_itself(tmp_path: Path) -> None:
    """The sentence says so."""
    with pytest.raises(Refused, match="are the same entry already"):
        merge_setters(ada_at(tmp_path), ADA, "ada quill")


def test_an_erased_person_is_gone_and_nobody_is_in_use(tmp_path: Path) -> None:
    """Person and attempts are out, others stay, and the sentence counts."""
    desk = ada_at(tmp_path)
    logged(desk, a_row(), a_row(), a_row(setter=BRAM))
    assert erase_setter(desk, ADA) == f"{ADA} and 2 attempts are erased for good."
    assert [(x.setter.name, x.in_use) for x in listed(desk)] == [(BRAM, False)]
    assert [a.setter for a in attempts_of(desk, everyone=True)] == [BRAM]
    assert log_page(desk).rows == ()


def test_erasing_names_the_copies_that_may_still_hold_a_person(tmp_path: Path) -> None:
    """What was kept beside the logbook is for people to throw away."""
    desk = ada_at(tmp_path)
    backup(desk, tmp_path / "copy.sqlite")
    kept = restore(desk, tmp_path / "copy.sqlite")
    logged(desk, a_row())
    assert kept is not None
    told = erase_setter(desk, ADA)
    assert told.startswith(f"{ADA} and 1 attempt are erased for good. Copies beside the logbook")
    assert kept.name in told


def test_the_drawer_is_the_setters_in_use(tmp_path: Path) -> None:
    """Tools come back as they were put in, each to its owner."""
    desk = ada_at(tmp_path)
    added = add_tool(desk, SEAT_BUR)
    bram = add_setter(desk, BRAM)
    assert tools(desk) == (added,)
    assert added == SEAT_BUR.model_copy(update={"tool_id": added.tool_id})
    assert tools(desk.for_setter(bram.setter_id or "", BRAM)) == ()


def test_a_drawer_needs_an_owner(tmp_path: Path) -> None:
    """With nobody in use the sentence says what to do; without a logbook that there is none."""
    desk = new_desk(tmp_path)
    with pytest.raises(LogbookUnusable):
        tools(desk)
    add_setter(desk, ADA)
    with pytest.raises(Refused, match="setter: nobody is in use"):
        add_tool(desk, SEAT_BUR)
