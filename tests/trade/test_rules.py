"""Rules of thumb as data."""

import pytest

from platebook.trade.rules import (
    RuleBook,
    choosable,
    chosen_over,
    conflicts,
    rules,
    rules_for,
)


def test_each_purpose_and_method_has_one_default() -> None:
    """Nothing is chosen by the order of the file."""
    for purpose, method in {(rule.purpose, rule.method) for rule in rules().values()}:
        defaults = [r for r in rules_for(purpose, method) if r.default]
        assert len(defaults) == (0 if purpose == "seat bur" and method is None else 1), purpose


def test_published_rules_have_a_source_and_all_have_a_sentence() -> None:
    """A rule says what kind it is; only a published one may do so without doubt."""
    for rule in rules().values():
        assert rule.source or rule.kind != "published"
        assert rule.say.endswith(".")
        assert rule.cited.startswith(rule.kind)


def test_a_book_knows_what_was_chosen() -> None:
    """A chosen id takes its purpose's place; an unknown one is told."""
    book = RuleBook(chosen=("pilot-two-fifths", "nonsense"))
    assert book.rule("pilot").size_mm(2.0) == pytest.approx(0.8)
    assert book.rule("opening bur").id == "opening-0.20-under"
    assert book.unknown() == ("nonsense",)
    with pytest.raises(KeyError, match="no rule for 'colour'"):
        book.rule("colour")


def test_customs_overcut_lies_within_the_drilled_holes_limits() -> None:
    """AND10387: drills of 0.0135 to 0.125 in make holes of +0.102 / -0.025 mm."""
    rule = rules()["overcut-custom"]
    assert rule.low_mm == -0.025
    assert rule.high_mm == 0.102
    assert rule.low_mm < rule.plus_mm < rule.high_mm


def test_only_rules_that_have_another_beside_them_can_be_chosen() -> None:
    """And each of them answers one question with that other one."""
    for name in choosable():
        assert any(conflicts((name, other)) for other in rules() if other != name)
    assert "overcut-custom" not in choosable()
    assert "seat-95-percent" in choosable()


def test_two_rules_for_one_question_conflict() -> None:
    """A rule for all seat methods conflicts with one for a single method; unknown ids with none."""
    assert conflicts(("pilot-third", "pilot-two-fifths")) == (("pilot-third", "pilot-two-fifths"),)
    assert conflicts(("seat-95-percent", "seat-stone-size")) != ()
    assert conflicts(("seat-stone-size", "seat-0.10-under")) == ()
    assert conflicts(("pilot-third", "pilot-third", "nonsense", "opening-0.15-under")) == ()


def test_the_first_choice_goes_before_the_second() -> None:
    """A setter's rule for a question leaves out the course's; others of the course stay."""
    course = ("pilot-third", "opening-0.15-under")
    assert chosen_over(("pilot-two-fifths",), course) == ("pilot-two-fifths", "opening-0.15-under")
