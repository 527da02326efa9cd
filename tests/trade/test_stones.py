"""A stone's profile by its cut, and what is known of its material."""

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.practice.fields import choices
from platebook.trade.records import Stone
from platebook.trade.rules import RuleBook
from platebook.trade.stones import all_stones, metal_facts, named_cuts, profile, stone_facts
from platebook.trade.validation import TradeError
from platebook.values import as_dict

CUTS = Path(__file__).parents[1] / "reference" / "round-brilliant-proportions.csv"


def test_the_named_cuts_agree_with_the_table() -> None:
    """Each row of the reference table is carried unchanged."""
    with CUTS.open(encoding="utf-8") as file:
        for row, cut in zip(csv.DictReader(file), named_cuts().values(), strict=True):
            assert {name: str(value) for name, value in as_dict(cut).items()} == row


def test_tolkowsky() -> None:
    """Tolkowsky 1919: crown (1-0.53)/2·tan 34.5° = 16.15 %, pavilion tan 40.75°/2 = 43.08 %."""
    cut = named_cuts()[RuleBook().cut]
    crown = (100 - cut.table_pct) / 2 * math.tan(math.radians(cut.crown_angle_deg))
    pavilion = 50 * math.tan(math.radians(cut.pavilion_angle_deg))
    assert crown == pytest.approx(cut.crown_height_pct, abs=0.06)
    assert pavilion == pytest.approx(cut.pavilion_depth_pct, abs=0.06)


def test_a_bare_diameter_takes_the_named_cut() -> None:
    """Crown 16.2, girdle 3, pavilion 43.1 percent; the pavilion lies near 41° (geometry)."""
    stone = profile(Stone(diameter_mm=2.0))
    assert stone.depth_mm == pytest.approx(0.623 * 2.0)
    assert stone.carried_mm == pytest.approx(0.192 * 2.0)
    assert stone.pavilion_angle_deg == pytest.approx(40.76, abs=0.01)
    assert stone.under_mm(1.0) == pytest.approx(0)
    assert stone.under_mm(0) == pytest.approx(stone.pavilion_mm)


@given(st.floats(0.7, 10), st.floats(0.35, 1), st.sampled_from([None, "thin", "medium", "thick"]))
def test_a_measured_depth_is_kept_whole(
    diameter_mm: float, ratio: float, girdle: str | None
) -> None:
    """Crown, girdle and pavilion add up to the depth that was measured."""
    depth = ratio * diameter_mm
    stone = profile(Stone(diameter_mm=diameter_mm, depth_mm=depth, girdle=girdle))
    assert stone.crown_mm + stone.girdle_mm + stone.pavilion_mm == pytest.approx(depth)
    assert stone.depth_mm == pytest.approx(depth)
    assert ("girdle" in stone.assumed) == (girdle is None)


def test_a_crown_that_leaves_no_pavilion_is_refused() -> None:
    """A crown of 1.15 in a depth of 1.2 mm leaves nothing under the girdle."""
    with pytest.raises(TradeError, match="more than crown and girdle together"):
        profile(Stone(diameter_mm=2.0, depth_mm=1.2, crown_mm=1.15))


def test_another_named_cut_may_be_chosen() -> None:
    """Eppler's practical fine cut (1939): crown 14.4, pavilion 43.2 percent."""
    stone = profile(Stone(diameter_mm=2.0), RuleBook(cut="Practical fine cut (Eppler)"))
    assert stone.crown_mm == pytest.approx(0.288)
    assert stone.pavilion_mm == pytest.approx(0.864)
    assert stone.cut == "Practical fine cut (Eppler)"


MATERIALS = Path(__file__).parents[1] / "reference" / "stones.csv"


def test_the_facts_agree_with_the_table() -> None:
    """Published gem tables where marked so, in the order of the table."""
    with MATERIALS.open(encoding="utf-8") as file:
        for row, found in zip(csv.DictReader(file), all_stones(), strict=False):
            assert found.stone == row["stone"]
            assert found.specific_gravity == float(row["specific_gravity"])
            assert found.mohs == float(row["mohs"])
            assert found.toughness == row["toughness"]
            assert found.status.startswith(row["status"])
            said = row["under_burnishing_pressure"]
            assert said == "caution" or found.under_burnishing_pressure.startswith(said)


def test_every_material_and_metal_of_the_record_has_facts() -> None:
    """The listed values and their aliases are found, glass (memory) among them."""
    for field, facts in (("stone_material", stone_facts), ("metal", metal_facts)):
        for choice in choices()[field]:
            for name in (choice.value, *choice.aliases):
                assert facts(name) is not None, name
    assert metal_facts("titanium") is None


def test_every_caution_has_its_reason() -> None:
    """Nobody is told to be careful without being told why."""
    for facts in all_stones():
        if facts.pressure == "caution":
            assert len(facts.under_burnishing_pressure.split()) > 3, facts.stone


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
