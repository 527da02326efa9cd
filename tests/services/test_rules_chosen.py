"""Rules of thumb in use: custom's, the course's, the setter's own before both."""

from pathlib import Path

import pytest
from tests.services.bench import ada_at

from platebook.practice.course_file import load_course, read_course, shipped_course
from platebook.services.answers import next_with_sizes, rules_at
from platebook.services.attempts.recording import undo
from platebook.services.session import Refused, Session
from platebook.services.setters import follow_course
from platebook.services.sizes import choose_rules, rule_choices

OWN = shipped_course("small-to-large").replace(
    'id = "small-to-large"', 'id = "evenings"\nrules = ["pilot-two-fifths", "seat-95-percent"]', 1
)


def _in_use(session: Session) -> dict[str, str]:
    return {one.rule.id: one.chosen_by for one in rule_choices(session) if one.in_use}


def test_custom_speaks_until_somebody_chooses(tmp_path: Path) -> None:
    """One rule a question; the one for all seat methods is not in use beside theirs."""
    found = _in_use(ada_at(tmp_path))
    assert set(found.values()) == {"custom"}
    assert {"pilot-third", "seat-0.10-under", "seat-stone-size"} <= set(found)
    assert "seat-95-percent" not in found


def test_a_setters_rule_goes_before_the_courses_and_custom(tmp_path: Path) -> None:
    """The sizes of the next exercise come from it, and undo takes the choice back."""
    session = ada_at(tmp_path)
    follow_course(session, "evenings", OWN)
    assert _in_use(session)["pilot-two-fifths"] == "the course"
    choose_rules(session, ["pilot-third"])
    assert rules_at(session) == ("pilot-third", "seat-95-percent")
    sizes = next_with_sizes(session)[1]
    assert sizes is not None
    assert (sizes.pilot_drill.rule, sizes.seat_bur.rule) == ("pilot-third", "seat-95-percent")
    undo(session)
    assert _in_use(session)["pilot-two-fifths"] == "the course"


def test_what_cannot_be_chosen_is_refused(tmp_path: Path) -> None:
    """Unknown ids and two for one question, all at once; nothing is changed."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused) as caught:
        choose_rules(session, ["thumb", "pilot-third", "pilot-two-fifths"])
    assert "read 'thumb'" in caught.value.sentence
    assert "read 'pilot-two-fifths', expected one rule for pilot" in caught.value.sentence
    assert rules_at(session) == ()


def test_a_courses_rules_are_checked_with_their_lines() -> None:
    """A course with sound rules loads; a wrong one is named where it stands."""
    assert load_course(OWN).rules == ("pilot-two-fifths", "seat-95-percent")
    wrong = OWN.replace('"seat-95-percent"', '"thumb", "pilot-third"')
    problems = read_course(wrong)[1]
    line = wrong.split("\n").index(next(x for x in wrong.split("\n") if x.startswith("rules"))) + 1
    assert [(p.read, p.line) for p in problems if p.level == "problem"] == [
        ("thumb", line),
        ("pilot-third", line),
    ]
