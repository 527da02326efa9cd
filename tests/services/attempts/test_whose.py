"""Whose attempt it is."""

from itertools import count

from platebook.practice.attempt import Attempt
from platebook.practice.records import Setter
from platebook.services.attempts.recording import Assigned, assign_setters

ADA = Setter(setter_id="a", name="Ada Quill")
BRAM = Setter(setter_id="b", name="Bram Osk")
OTHER_BRAM = Setter(setter_id="c", name="bram  osk", group="Tuesday")


def _placed(*attempts: Attempt, in_use: str | None = None) -> Assigned:
    ids = (f"new-{n}" for n in count(1))
    return assign_setters(attempts, (ADA, BRAM), in_use=in_use, new_id=ids)


def test_a_name_in_other_spelling_is_the_same_setter() -> None:
    """Case and blanks do not make a new person."""
    found = _placed(Attempt(setter="  ada QUILL "))
    assert [(a.setter_id, a.setter) for a in found.attempts] == [("a", "Ada Quill")]


def test_a_row_without_a_name_is_the_setters_in_use() -> None:
    """Nobody writes their own name on every line."""
    found = _placed(Attempt(), in_use="b")
    assert found.attempts[0].setter_id == "b"


def test_without_anyone_in_use_the_row_is_a_problem_that_names_the_way_out() -> None:
    """Nothing is guessed."""
    found = _placed(Attempt())
    assert (found.attempts, found.problems[0].level) == ((), "problem")


def test_a_new_name_is_added_once_and_said() -> None:
    """Two rows of one new person make one setter and one notice."""
    found = _placed(Attempt(setter="Cleo Vanter"), Attempt(setter="cleo vanter"))
    assert [s.name for s in found.new_setters] == ["Cleo Vanter"]
    assert [p.level for p in found.problems] == ["notice"]
    assert {a.setter_id for a in found.attempts} == {"new-1"}


def test_a_shared_name_lists_the_people() -> None:
    """Several of one name: told apart by group and id, none chosen."""
    found = assign_setters(
        (Attempt(setter="Bram Osk"),), (BRAM, OTHER_BRAM), in_use=None, new_id=iter(())
    )
    assert found.attempts == ()
    assert "of Tuesday (c)" in found.problems[0].expected


def test_an_unknown_id_keeps_its_id_and_name() -> None:
    """An exported file brings the same people back into an empty logbook."""
    found = assign_setters(
        (Attempt(setter_id="z", setter="Dov Ferrin"),), (), in_use=None, new_id=iter(())
    )
    assert [(s.setter_id, s.name) for s in found.new_setters] == [("z", "Dov Ferrin")]
