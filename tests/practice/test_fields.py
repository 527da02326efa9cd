"""The table of part exercises: each with its cautions and readings."""

from platebook.practice.fields import (
    choices,
    fields,
    parts,
    parts_without,
    steps_done,
    tools_not_of,
)
from platebook.trade.cautions import step_cautions


def test_a_part_names_a_step_that_has_cautions_and_fields_that_can_be_read() -> None:
    """Neither is a word that nothing stands behind."""
    assert {part.name for part in parts().values() if step_cautions(part.cautions) is None} == set()
    asked = {name for part in parts().values() for name in part.readings}
    assert {fields()[name].group for name in asked} == {"reading"}


def test_the_parts_are_the_choices_of_the_field() -> None:
    """With their other spellings, in the order of the table."""
    listed = [(choice.value, choice.aliases) for choice in choices()["part"]]
    assert listed == [(part.name, part.aliases) for part in parts().values()]


def test_a_part_does_steps_that_have_tools_or_cautions() -> None:
    """A step that is misspelt would take all of its tools out of the set-up."""
    known = {*steps_done("whole", None), "clean"}
    assert {step for part in parts().values() for step in part.does} <= known
    assert {name for part in parts() for name in tools_not_of(part)} <= fields().keys()


def test_a_prepared_seat_leaves_drills_and_burs_to_who_cut_it() -> None:
    """Burnishing keeps the burnisher; a whole setting has every tool."""
    foreign = tools_not_of("burnishing")
    assert {"pilot_mm", "opening_bur_mm", "seat_bur", "seat_bur_mm", "speed_step"} <= foreign
    assert "burnisher_tip_mm" not in foreign
    assert tools_not_of(None) == frozenset()
    assert {"burnishing", "levelling"} <= set(parts_without("seat"))
    assert {"width", "depth", "burnishing no stone"}.isdisjoint(parts_without("seat"))
