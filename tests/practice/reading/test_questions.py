"""What is asked for a field, and how an answer to it is read."""

import pytest

from platebook.practice.fields import choices, fields
from platebook.practice.reading.questions import Question, label_of, question_for, questions_for


def test_every_digit_stands_for_one_value() -> None:
    """No question has a digit twice, or a value without one."""
    for name in fields():
        question = question_for(name)
        keys = [key for key, _ in question.keys]
        assert len(keys) == len(set(keys))
        if question.keys and name in choices():
            assert {value for _, value in question.keys} == {c.value for c in choices()[name]}


@pytest.mark.parametrize(
    ("name", "key", "value"),
    [
        ("fit", "3", "enters tilted and snaps"),
        ("fit_checks", "0", "0"),
        ("fit_checks", "2", "1-2"),
        ("fit_checks", "4", "3-5"),
        ("fit_checks", "9", "6+"),
        ("burnish_passes", "7", "3+"),
        ("trial_height", "2", "flush"),
        ("first_seen", "0", "clean-up"),
        ("burnisher_polished", "1", "yes"),
    ],
)
def test_digits_follow_the_contract(name: str, key: str, value: str) -> None:
    """A count is pressed as it is; else it is the rank that tests/reference/choices.csv gives."""
    assert question_for(name).value_for(key) == value


def test_a_count_is_shown_by_its_spans_and_never_beside_another_digit() -> None:
    """What is pressed is how many times; every digit from the first one on answers."""
    checks, passes = question_for("fit_checks"), question_for("burnish_passes")
    assert checks.answers == (("0", "times"), ("1-2", "times"), ("3-5", "times"), ("6+", "times"))
    assert passes.answers[0] == ("1", "time")
    assert (checks.digits[0], checks.digits[-1], passes.digits[0]) == ("0", "9", "1")
    assert passes.value_for("0") is None
    assert (checks.in_words("3-5"), passes.in_words("1")) == ("3-5 times", "1 time")
    assert question_for("fit").in_words("drops in") == "drops in"
    cups = Question("coffee", "coffee", (("1", "1 cup"), ("2", "2 cups")))
    assert not cups.counts
    assert not question_for("fit").counts
    assert question_for("fit").answers == question_for("fit").keys


def test_ranked_answers_stand_in_the_order_of_their_digits() -> None:
    """So that they run one way wherever they are listed."""
    for name in fields():
        ranks = [choice.rank for choice in choices().get(name, ())]
        keys = [key for key, _ in question_for(name).keys]
        known = [rank for rank in ranks if rank is not None and rank < 10]
        if ranks and len(known) == len(ranks) == len(set(ranks)):
            assert keys == sorted(keys)


def test_sizes_are_typed() -> None:
    """A length and a long list of stones have no digits."""
    assert question_for("seat_diameter_mm").keys == ()
    assert question_for("stone_material").keys == ()


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("1.95", "inside"), ("1,95", "inside"), ("1.99", "outside"), ("", ""), ("wide", "")],
)
def test_a_size_is_inside_or_outside(value: str, verdict: str) -> None:
    """The verdict compares with the limits wanted; what is no size has none."""
    question = Question("seat_diameter_mm", "pin", low=1.93, high=1.97)
    assert question.verdict(value) == verdict


def test_a_choice_is_inside_where_it_is_wanted() -> None:
    """A value of the list of wanted ones is inside, any other outside."""
    question = Question("fit", "fit", wanted=("enters tilted and snaps",))
    assert question.verdict("enters tilted and snaps") == "inside"
    assert question.verdict("drops in and moves") == "outside"


def test_names_become_words() -> None:
    """Units and underscores are no words."""
    assert label_of("seat_bur_mm") == "seat bur"
    assert label_of("first_seen") == "first seen"
    assert label_of("mm") == "mm"


def test_a_field_the_contract_does_not_know_is_typed() -> None:
    """A course's own field can be asked as well."""
    (question,) = questions_for(["wheel_grit"])
    assert (question.label, question.keys) == ("wheel grit", ())
