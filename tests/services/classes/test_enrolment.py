"""Classes: made from a list, joined, left, ended; a group of before is a class without dates."""

from datetime import date
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, ada_at, new_session

from platebook.services.attempts.recording import undo
from platebook.services.classes.class_roll import roster_of
from platebook.services.classes.enrolment import (
    Details,
    Enrolled,
    change_class,
    end_class,
    join_class,
    leave_class,
    list_classes,
    new_class,
)
from platebook.services.classes.listed_names import SOMEBODY_NEW, read_names
from platebook.services.classes.terms import day_in, find_term, roll_of
from platebook.services.people.setters import add_setter, list_setters
from platebook.services.people.teachers import add_teacher, switch_teacher
from platebook.services.session import Refused, Session, opened, today_at

TODAY = NOW.date()
TERM = Details(begins=date(2026, 1, 8), ends=date(2026, 3, 26), evening="thursday")


def names_at(session: Session, wanted: str, day: date | None = None) -> list[str]:
    """Who is in a class on a day, by name; without one today, or its last day once it ended."""
    with opened(session) as book:
        today = today_at(session)
        roll = roll_of(book, today)
    term = find_term(roll, wanted, today)
    return [person.name for person in roll.members_on(term, day or day_in(term, today))]


def made(session: Session, *names: str, details: Details = TERM) -> Enrolled:
    """Thursday, with these people."""
    return new_class(session, "Thursday", read_names(session, names, {}), details)


def test_sixty_people_are_a_class_in_one_change(tmp_path: Path) -> None:
    """Who is there already is that person; one undo takes the class and the new people back."""
    session = ada_at(tmp_path)
    done = made(session, ADA, *(f"Student {number}" for number in range(59)))
    assert (len(done.members), len(done.new)) == (60, 59)
    assert "60 people, 59 of them new" in done.sentence
    (listed,) = list_classes(session)
    assert (listed.term, listed.members, listed.runs) == (done.term, 60, True)
    assert undo(session) == "Taken back: new class of 60 people in Thursday."
    assert (list_classes(session), len(list_setters(session))) == ((), 1)


def test_a_class_of_which_no_first_day_is_said_begins_today(tmp_path: Path) -> None:
    """And that is said; one that has ended before has none."""
    session = ada_at(tmp_path)
    done = made(session, ADA, details=Details())
    assert done.term.begins == TODAY
    assert done.sentence.startswith("No first day was said, so today is the first. Thursday: from ")
    before = made(session, ADA, details=Details(ends=date(2025, 12, 4)))
    assert (before.term.begins, before.sentence[:9]) == (None, "Thursday:")


@pytest.mark.parametrize(
    ("answers", "expected"),
    [({"Ada Quil": ADA}, [ADA]), ({"ada quil": SOMEBODY_NEW}, [ADA, "Ada Quil"])],
    ids=["same", "new"],
)
def test_a_name_one_letter_off_is_asked_about(
    answers: dict[str, str], expected: list[str], tmp_path: Path
) -> None:
    """Nothing is written before it is said whose it is."""
    session = ada_at(tmp_path)
    asked = read_names(session, ["Ada Quil"], {})
    assert [double.sentence for double in asked.doubles] == [
        "Ada Quil: is this Ada Quill (0 attempts)?"
    ]
    with pytest.raises(Refused, match="Nothing was changed"):
        new_class(session, "Thursday", asked, TERM)
    new_class(session, "Thursday", read_names(session, ["Ada Quil"], answers), TERM)
    assert [listed.setter.name for listed in list_setters(session)] == expected


def test_a_name_that_stands_twice_in_the_list_is_taken_once(tmp_path: Path) -> None:
    """And said."""
    listed = read_names(new_session(tmp_path), ["Cleo Vane", "cleo  vane"], {})
    assert (listed.new, listed.twice) == (("Cleo Vane",), ("cleo vane",))


def test_terms_of_one_name_do_not_overlap_and_today_decides(tmp_path: Path) -> None:
    """The one that runs is meant; another by the month it begins."""
    session = ada_at(tmp_path)
    made(session, ADA)
    with pytest.raises(Refused, match="is a class already, 8 January to 26 March 2026"):
        made(session, BRAM, details=Details(begins=date(2026, 3, 1)))
    made(session, BRAM, details=Details(begins=date(2026, 4, 9), ends=date(2026, 6, 25)))
    assert names_at(session, "thursday") == [ADA]
    assert names_at(session, "Thursday 2026-04") == [BRAM]
    assert [p.setter.name for p in roster_of(session, "Thursday 2026-04")] == [BRAM]


def test_who_left_is_known_by_the_class_they_left(tmp_path: Path) -> None:
    """Not who comes again, nor who was in none; the end of all terms is a pause."""
    session = ada_at(tmp_path)
    made(session, ADA, BRAM, "Cleo Vane", details=Details(begins=date(2026, 1, 8)))
    leave_class(session, "Thursday", [BRAM, "Cleo Vane"], on=date(2026, 1, 20))
    add_setter(session, "Dora Lin")
    new_class(session, "Friday", read_names(session, ["Cleo Vane"], {}), Details())
    left = {p.setter.name: p.where for p in list_setters(session)}
    assert left == {ADA: "Thursday", BRAM: "left Thursday", "Cleo Vane": "Friday", "Dora Lin": ""}
    with opened(session) as book:
        roll = roll_of(book, today_at(session))
    for term in ("Thursday", "Friday"):
        end_class(session, term)
    with opened(session) as book:
        ended = roll_of(book, today_at(session))
    bram = next(p.setter.setter_id for p in list_setters(session) if p.setter.name == BRAM)
    a_year_on = date(2027, 6, 1)
    assert ended.left_by(a_year_on) == roll.left_by(a_year_on) == {bram: "Thursday"}


def test_members_come_and_go_by_the_day(tmp_path: Path) -> None:
    """Somebody may be in several classes; who left is in the log and on the days before."""
    session = ada_at(tmp_path)
    made(session, ADA)
    join_class(session, "Thursday", read_names(session, [BRAM], {}))
    new_class(session, "Saturday", read_names(session, [BRAM], {}), Details())
    assert names_at(session, "Thursday") == [ADA, BRAM]
    assert [p.classes for p in list_setters(session)] == [("Thursday",), ("Thursday", "Saturday")]
    leave_class(session, "Thursday", [ADA])
    assert names_at(session, "Thursday") == [BRAM]
    assert names_at(session, "Thursday", date(2026, 1, 15)) == [ADA]
    assert len(list_setters(session)) == 2
    with pytest.raises(Refused, match=r"Did you mean Bram Osk\?"):
        leave_class(session, "Thursday", ["Bram Oks"])


def test_of_a_class_that_ended_its_last_day_is_told(tmp_path: Path) -> None:
    """Who was in it stays known, and nobody joins it any more."""
    session = ada_at(tmp_path)
    made(session, ADA)
    end_class(session, "Thursday", on=date(2026, 1, 22))
    assert names_at(session, "Thursday") == [ADA]
    assert [(c.runs, c.members) for c in list_classes(session)] == [(False, 1)]
    with pytest.raises(Refused, match="Say a day in it"):
        join_class(session, "Thursday", read_names(session, [BRAM], {}))


def test_a_group_of_before_is_a_class_and_loses_nothing_when_it_is_changed(
    tmp_path: Path,
) -> None:
    """Its people stay in it, and the group as it was typed stays with them."""
    session = ada_at(tmp_path)
    add_setter(session, BRAM, group="Friday")
    add_setter(session, "Cleo Vane", group="friday")
    (listed,) = list_classes(session)
    assert (listed.term.name, listed.members, listed.recorded) == ("Friday", 2, False)
    change_class(session, "friday", Details(begins=date(2026, 1, 9)))
    (listed,) = list_classes(session)
    assert (listed.members, listed.recorded, listed.term.begins) == (2, True, date(2026, 1, 9))
    leave_class(session, "Friday", ["Cleo Vane"])
    assert names_at(session, "Friday") == [BRAM]
    add_setter(session, "Dora Lin", group="Friday")
    assert names_at(session, "Friday") == [BRAM, "Dora Lin"]
    assert [p.setter.group for p in list_setters(session)] == ["", "Friday", "friday", "Friday"]
    for _ in range(3):
        undo(session)
    (listed,) = list_classes(session)
    assert (listed.members, listed.recorded) == (2, False)


def test_a_class_is_taught_by_whoever_makes_it(tmp_path: Path) -> None:
    """The teacher in use, unless others are named."""
    session = new_session(tmp_path)
    add_teacher(session, "Isolde Crane")
    teaching = switch_teacher(session, "Isolde Crane")
    made(teaching, ADA)
    assert [listed.teachers for listed in list_classes(teaching)] == [("Isolde Crane",)]
    with pytest.raises(Refused, match=r"Did you mean Isolde Crane\?"):
        change_class(teaching, "Thursday", Details(teachers=("Isolde Krane",)))


def test_a_class_ends_after_it_begins(tmp_path: Path) -> None:
    """Dates the wrong way round are refused."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused, match="expected a day from 1 March 2026 on"):
        made(session, ADA, details=Details(begins=date(2026, 3, 1), ends=TODAY))
