"""Stone materials and weights."""

import csv
from pathlib import Path

import pytest

from platebook.practice.fields import choices
from platebook.trade.material import (
    all_stones,
    carats,
    coloured_carats,
    diamond_carats,
    stone_facts,
)

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


@pytest.mark.parametrize(
    ("diameter_mm", "depth_mm", "weight"), [((6.05 + 6.11) / 2, 3.63, 0.8185), (7.10, 4.47, 1.3745)]
)
def test_diamond_weight(diameter_mm: float, depth_mm: float, weight: float) -> None:
    """Published weight formula for round brilliants: d²·h·0.0061."""
    assert diamond_carats(diameter_mm, depth_mm) == pytest.approx(weight, abs=0.00006)
    assert carats(diameter_mm, depth_mm, "diamond") == diamond_carats(diameter_mm, depth_mm)


def test_the_two_weight_rules_are_kept_apart() -> None:
    """With a diamond's density the coloured rule gives 3.9 % more (published formulas)."""
    ratio = coloured_carats(2, 1.2, 3.52) / diamond_carats(2, 1.2)
    assert ratio == pytest.approx(1.039, abs=0.0005)
    assert carats(2, 1.2, "cz") == coloured_carats(2, 1.2, 5.8)
    assert carats(2, 1.2, "moon dust") is None
