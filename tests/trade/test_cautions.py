"""Cautions by step and remedies by defect."""

import pytest

from platebook.trade.cautions import (
    AT_THE_END,
    BEFORE_A_PLATE,
    cautions,
    cautions_beside,
    step_cautions,
    work_steps,
)

STEPS = tuple(dict.fromkeys(step.caution for step in work_steps()))


def test_whose_rules_come_first_stands_first() -> None:
    """Every list begins with the workshop, the law and the teacher, also for an unknown step."""
    for step in (*STEPS, "no such step"):
        first = cautions(step)[0]
        assert first == "Your workshop's own rules, local law and a qualified teacher come first."
    assert len(cautions("no such step")) == 1
    assert step_cautions("no such step") is None


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("start", "Hair"),
        ("start", "no gloves"),
        ("start", "Eye protection"),
        ("start", "rest"),
        ("mount", "Never hold a small plate in the fingers"),
        ("anneal", "cadmium"),
        ("pickle", "acid goes into water"),
        ("drill", "snatches"),
        ("back of hole", "knife"),
        ("seat", "do not blow"),
        ("check fit", "Spindle stopped"),
        ("level", "hang free"),
        ("burnish", "slips"),
        ("push test", "wood"),
        ("clean", "ultrasonic"),
        ("end", "Tingling"),
    ],
)
def test_the_dangers_of_each_step_are_named(step: str, words: str) -> None:
    """Common practice and published rules, at the step where they matter."""
    assert any(words in line for line in cautions(step))


def test_published_rules_name_their_source() -> None:
    """OSHA 29 CFR 1910.1027 on cadmium, HSE INDG175 on hand-arm vibration."""
    for step in STEPS:
        found = step_cautions(step)
        assert found is not None
        assert found.source or found.kind == "common practice"


ORDER = (
    "measure, look at the stone, anneal, pickle, mark, drill, back of hole, open, seat, check, "
    "clean, tip in, "
    "level, four points, push test, burnish, clean up, put away"
)
"""Common practice: the order in which flush setting is taught; teachers differ in it."""


def test_the_steps_are_in_the_order_of_the_work() -> None:
    """From the stone in the hand to the clean sheet."""
    assert ", ".join(step.name for step in work_steps()) == ORDER


def test_what_lies_beside_a_setting_says_what_it_is_about() -> None:
    """Flame and acid before a plate, hands and scraps at an evening's end."""
    anneal, pickle = cautions_beside(*BEFORE_A_PLATE)
    (end,) = cautions_beside(*AT_THE_END)
    assert anneal.startswith("Annealing: Hair, wax and paper away from the flame")
    assert "acid goes into water" in pickle
    assert end.startswith("When you stop: Wash hands before food")


def test_each_step_has_cautions() -> None:
    """What a step names is there."""
    assert all(step_cautions(step.caution) is not None for step in work_steps())
