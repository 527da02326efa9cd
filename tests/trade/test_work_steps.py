"""The steps of one setting: the order of the work, each with its cautions."""

from platebook.trade.cautions import step_cautions
from platebook.trade.work_steps import work_steps

ORDER = (
    "measure, look at the stone, mark, drill, back of hole, open, seat, check, clean, tip in, "
    "level, four points, push test, burnish, clean up"
)
"""Common practice: the order in which flush setting is taught; teachers differ in it."""


def test_the_steps_are_in_the_order_of_the_work() -> None:
    """From the stone in the hand to the clean sheet."""
    assert ", ".join(step.name for step in work_steps()) == ORDER


def test_each_step_has_cautions() -> None:
    """What a step names is there."""
    assert all(step_cautions(step.caution) is not None for step in work_steps())
