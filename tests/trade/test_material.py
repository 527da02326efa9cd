"""Stone materials."""

import csv
from pathlib import Path

import pytest

from platebook.practice.fields import choices
from platebook.trade.stones import all_stones, stone_facts

TABLE = Path(__file__).parents[1] / "reference" / "stones.csv"


def test_the_facts_agree_with_the_table() -> None:
    """Published gem tables where marked so, in the order of the table."""
    with TABLE.open(encoding="utf-8") as file:
        for row, found in zip(csv.DictReader(file), all_stones(), strict=True):
            assert found.stone == row["stone"]
            assert found.specific_gravity == float(row["specific_gravity"])
            assert found.mohs == float(row["mohs"])
            assert found.toughness == row["toughness"]
            assert found.under_burnishing_pressure == row["under_burnishing_pressure"]
            assert found.status == row["status"]


def test_every_material_of_the_record_but_glass_has_facts() -> None:
    """The listed values and their aliases are found; glass is in no gem table."""
    for choice in choices()["stone_material"]:
        for name in (choice.value, *choice.aliases):
            assert (stone_facts(name) is None) == (name == "glass"), name


@pytest.mark.parametrize(
    ("material", "pressure"),
    [
        ("cubic zirconia", "takes it"),
        ("diamond", "takes it"),
        ("Sapphire", "takes it"),
        ("ruby", "takes it"),
        ("spinel", "takes it"),
        ("emerald", "caution"),
        ("garnet (rhodolite)", "caution"),
    ],
)
def test_what_takes_the_pressure(material: str, pressure: str) -> None:
    """Common practice: zirconia, diamond, sapphire, ruby and spinel do, emerald does not."""
    facts = stone_facts(material)
    assert facts is not None
    assert facts.pressure == pressure
