"""The invented class: what is planted in whom rests on a habit that only they have."""

from collections import Counter

import pytest

from platebook.analysis.variables.columns import known_variables
from platebook.demo.people import COMMON, PEOPLE, TOWN, Habits, Person
from platebook.demo.simulated_setter import SimulatedHand
from platebook.practice.defects import defects
from platebook.values import as_dict, replace

USUAL, USUAL_HAND = Habits(), SimulatedHand()
PLANTED = [planted for person in PEOPLE for planted in person.planted]
HABIT_BEHIND = {
    "fit_checks": "hasty",
    "ledge": "unsupported",
    "lubricant": "dry",
    "punch": "steel",
    "seat_bur_uses": "bur_lasts",
    "metal_state": "worked",
    "speed_step": "fast",
    "undersize_mm": "large",
}
"""The habit that each planted variable is made of, by the words of `Habits`."""


def _who(variable: str) -> Person:
    (person,) = [p for p in PEOPLE if any(planted.variable == variable for planted in p.planted)]
    return person


def test_no_two_people_share_a_name() -> None:
    """A class of a dozen, each by a name of their own."""
    assert max(Counter(person.name for person in PEOPLE).values()) == 1
    assert len(PEOPLE) == 12
    assert TOWN


def test_what_is_planted_is_asked_about_and_judged() -> None:
    """A variable that the analysis knows goes with a defect of the record, in a whole sentence."""
    for planted in (COMMON, *PLANTED):
        assert planted.variable in known_variables()
        assert planted.defect in defects()
        assert planted.sentence.endswith(".")


def test_what_is_planted_in_somebody_bears_their_name() -> None:
    """And what the class has in common bears nobody's."""
    for person in PEOPLE:
        assert {planted.setter for planted in person.planted} <= {person.name}
    assert COMMON.setter is None


def test_nothing_is_planted_twice() -> None:
    """Each variable speaks of one person, so whoever finds it knows whose it is."""
    assert len({planted.variable for planted in PLANTED}) == len(PLANTED)
    assert {planted.variable for planted in PLANTED} == set(HABIT_BEHIND)


@pytest.mark.parametrize(("variable", "habit"), HABIT_BEHIND.items())
def test_who_has_it_planted_has_the_habit_most_of_all(variable: str, habit: str) -> None:
    """More than the usual, and more than everybody else in the class."""
    person = _who(variable)
    own = as_dict(person.habits)[habit]
    assert own > as_dict(USUAL)[habit]
    assert own > max(as_dict(p.habits)[habit] for p in PEOPLE if p is not person)


@pytest.mark.parametrize(
    ("variable", "number"), [("fit_checks", "shallow_mm"), ("ledge", "lean_unsupported_deg")]
)
def test_what_the_habit_does_is_in_the_hand(variable: str, number: str) -> None:
    """Cutting shallow unchecked, or leaning unsupported: more than any other hand does."""
    person = _who(variable)
    others = [as_dict(p.hand)[number] for p in PEOPLE if p is not person]
    assert as_dict(person.hand)[number] > max(others)


def test_habits_are_chances_and_burs_last_some_seats() -> None:
    """From 0 to 1 each, and a bur cuts one seat at least; everybody comes now and then."""
    for person in PEOPLE:
        chances = as_dict(person.habits)
        assert chances.pop("bur_lasts") >= 1
        assert all(0 <= chance <= 1 for chance in chances.values())
        assert 0 < person.comes <= 1


def test_someone_has_nothing_planted_and_somebody_the_usual_hand() -> None:
    """What is found must be told from people of whom nothing is to be found."""
    plain = [person for person in PEOPLE if not person.planted]
    assert plain
    assert any(p.hand == USUAL_HAND and p.habits == USUAL for p in plain)


def test_a_person_by_name_alone_has_the_usual_habits() -> None:
    """Nothing planted, no pins; two of one name and one habit are one value."""
    person = Person("Ottoline Marsh")
    assert (person.hand, person.habits, person.pins) == (USUAL_HAND, USUAL, False)
    assert person.planted == ()
    assert person == replace(person)
