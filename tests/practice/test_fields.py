"""The table of part exercises: each with its cautions and readings."""

from platebook.practice.fields import choices, fields, parts
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
