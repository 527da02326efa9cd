"""People and their tools: adding, choosing, making two one, erasing."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, COURSE, SEAT_BUR, a_row, ada_at, logged, new_session

from platebook.services.attempts.log import attempts_of, log_page
from platebook.services.attempts.recording import redo, undo
from platebook.services.files import backup, restore
from platebook.services.people.at_the_bench import seat_new
from platebook.services.people.setters import (
    NAMELESS,
    add_setter,
    add_tool,
    begin,
    erase_setter,
    first_offers,
    is_new,
    list_setters,
    merge_setters,
    offered_courses,
    offered_tools,
    switch_setter,
    tools,
    use_setter,
)
from platebook.services.session import LogbookUnusable, Refused, Session, opened, with_setter_of


def test_nobody_is_listed_before_there_is_a_logbook(tmp_path: Path) -> None:
    """Listing makes no file."""
    session = new_session(tmp_path)
    assert (list_setters(session), session.path.exists()) == ((), False)


def test_the_first_person_added_is_in_use(tmp_path: Path) -> None:
    """The second one is not, until chosen."""
    session = new_session(tmp_path)
    add_setter(session, f"  {ADA} ", course=COURSE)
    add_setter(session, BRAM)
    assert [(x.setter.name, x.setter.course, x.in_use) for x in list_setters(session)] == [
        (ADA, COURSE, True),
        (BRAM, None, False),
    ]
    use_setter(session, BRAM)
    assert [x.in_use for x in list_setters(session)] == [False, True]


def test_whoever_sits_down_is_in_use_and_signs(tmp_path: Path) -> None:
    """A person of the logbook, or one who is added on the way."""
    ada = ada_at(tmp_path)
    bram = seat_new(ada, f" {BRAM} ")
    assert (bram.setter_name, bram.author) == (BRAM, BRAM)
    assert [x.in_use for x in list_setters(bram)] == [False, True]
    assert switch_setter(bram, ADA).setter_id == ada.setter_id
    assert [x.in_use for x in list_setters(bram)] == [True, False]


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
    session = ada_at(tmp_path)
    with pytest.raises(Refused, match=sentence):
        add_setter(session, name, course=course)
    assert [x.setter.name for x in list_setters(session)] == [ADA]


def test_attempts_are_counted_by_setter(tmp_path: Path) -> None:
    """Each has their own."""
    session = ada_at(tmp_path)
    logged(session, a_row(), a_row(), a_row(setter=BRAM))
    assert [(x.setter.name, x.attempts) for x in list_setters(session)] == [(ADA, 2), (BRAM, 1)]


def test_two_entries_of_one_person_become_one_and_part_again(tmp_path: Path) -> None:
    """All attempts are the kept one's, who is in use; undo takes it all back."""
    session = ada_at(tmp_path)
    logged(session, a_row(setter="A. Quill"), a_row())
    use_setter(session, "A. Quill")
    assert merge_setters(session, ADA, "A. Quill").sentence == (
        f"A. Quill is now {ADA}; undo parts them again."
    )
    assert [(x.setter.name, x.attempts, x.in_use) for x in list_setters(session)] == [
        (ADA, 2, True)
    ]
    undo(session)
    assert [(x.setter.name, x.attempts) for x in list_setters(session)] == [
        (ADA, 1),
        ("A. Quill", 1),
    ]
    assert [x.setter.name for x in list_setters(session) if x.in_use] == ["A. Quill"]


def session_now(session: Session) -> Session:
    """The session of whoever is in use now, as the next command finds it."""
    with opened(session) as book:
        return with_setter_of(Session(session.path, session.clock, session.zone), book)


def test_a_merge_of_the_one_in_use_is_taken_back_under_the_other_name(tmp_path: Path) -> None:
    """Whoever sits down next is the kept entry; undo and redo are theirs all the same."""
    start = ada_at(tmp_path)
    logged(start, a_row(setter="A. Quill"))
    use_setter(start, "A. Quill")
    merge_setters(session_now(start), ADA, "A. Quill")
    session = session_now(start)
    assert session.setter_name == ADA
    assert undo(session).startswith("Taken back: merge of")
    back = session_now(start)
    assert back.setter_name == "A. Quill"
    assert redo(back).startswith("Put back: merge of")
    assert session_now(start).setter_name == ADA


def test_one_entry_is_not_merged_with_itself(tmp_path: Path) -> None:
    """The sentence says so."""
    with pytest.raises(Refused, match="are the same entry already"):
        merge_setters(ada_at(tmp_path), ADA, "ada quill")


def test_an_erased_person_is_gone_and_nobody_is_in_use(tmp_path: Path) -> None:
    """Person and attempts are out, others stay, and the sentence counts."""
    session = ada_at(tmp_path)
    logged(session, a_row(), a_row(), a_row(setter=BRAM))
    assert erase_setter(session, ADA).sentence == f"{ADA} and 2 attempts are erased for good."
    assert [(x.setter.name, x.in_use) for x in list_setters(session)] == [(BRAM, False)]
    assert [a.setter for a in attempts_of(session, everyone=True)] == [BRAM]
    assert log_page(session).rows == ()


def test_erasing_names_the_copies_that_may_still_hold_a_person(tmp_path: Path) -> None:
    """What was kept beside the logbook and cannot be read is for people to throw away."""
    session = ada_at(tmp_path)
    backup(session, tmp_path / "copy.sqlite")
    kept = restore(session, tmp_path / "copy.sqlite").kept
    logged(session, a_row())
    assert kept is not None
    kept.write_bytes(kept.read_bytes()[:9000])
    told = erase_setter(session, ADA).sentence
    assert told.startswith(f"{ADA} and 1 attempt are erased for good. Copies beside the logbook")
    assert kept.name in told


def test_the_drawer_is_the_setters_in_use(tmp_path: Path) -> None:
    """Tools come back as they were put in, each to its owner."""
    session = ada_at(tmp_path)
    added = add_tool(session, SEAT_BUR)
    bram = add_setter(session, BRAM)
    assert tools(session) == (added,)
    assert added == SEAT_BUR.model_copy(update={"tool_id": added.tool_id})
    assert tools(session.for_setter(bram.setter_id or "", BRAM)) == ()


def test_a_drawer_needs_an_owner(tmp_path: Path) -> None:
    """With nobody in use the sentence says what to do; without a logbook that there is none."""
    session = new_session(tmp_path)
    with pytest.raises(LogbookUnusable):
        tools(session)
    add_setter(session, ADA)
    with pytest.raises(Refused, match="setter: nobody is in use"):
        add_tool(session, SEAT_BUR)


def test_a_logbook_is_new_until_somebody_is_set_up(tmp_path: Path) -> None:
    """Asking makes no file."""
    session = new_session(tmp_path)
    assert (is_new(session), session.path.exists()) == (True, False)
    begin(session, name=ADA, course_id=None)
    assert not is_new(session)


def test_a_first_start_is_offered_courses_and_tools_once(tmp_path: Path) -> None:
    """Whoever has been set up is asked nothing more."""
    session = new_session(tmp_path)
    offers = first_offers(session)
    assert offers is not None
    assert (offers.courses, offers.tools) == (offered_courses(), offered_tools())
    begin(session, name=ADA, course_id=None)
    assert first_offers(session) is None


def test_what_was_answered_stands(tmp_path: Path) -> None:
    """Name, course and tools; the session is in the setter's name and the setter in use."""
    session = begin(new_session(tmp_path), name=f" {ADA} ", course_id=COURSE, tools=(SEAT_BUR,))
    (entry,) = list_setters(session)
    assert (entry.setter.name, entry.setter.course, entry.in_use) == (ADA, COURSE, True)
    assert (session.setter_name, session.author, session.setter_id) == (
        ADA,
        ADA,
        entry.setter.setter_id,
    )
    assert [t.name for t in tools(session)] == [SEAT_BUR.name]


def test_all_of_it_can_be_skipped(tmp_path: Path) -> None:
    """A blank name is "me", the course is the one offered first, the drawer is empty."""
    session = begin(new_session(tmp_path), name="", course_id=None)
    (entry,) = list_setters(session)
    assert (entry.setter.name, entry.setter.course) == (NAMELESS, offered_courses()[0].id)
    assert tools(session) == ()


def test_both_orders_are_offered_first() -> None:
    """From small to large and from large to small; then curved metal and hand-cut stones."""
    offered = [c.id for c in offered_courses()]
    assert offered == [COURSE, "large-to-small", "curved-metal", "hand-cut-stones"]
    assert all(c.title and c.about for c in offered_courses())


def test_the_offered_tools_are_what_the_first_stones_need(tmp_path: Path) -> None:
    """Each once, with a size; they go into the drawer as they are (common practice sizes)."""
    offered = offered_tools()
    assert len({(t.kind, t.shape, t.size_mm) for t in offered}) == len(offered)
    burs = {t.size_mm for t in offered if t.kind == "bur"}
    assert {1.4, 1.9, 2.4, 2.9} <= burs
    assert {t.kind for t in offered} == {"twist drill", "bur", "burnisher", "measuring"}
    session = begin(new_session(tmp_path), name=ADA, course_id=None, tools=offered)
    assert [t.model_copy(update={"tool_id": None}) for t in tools(session)] == list(offered)
