"""A stone's diameter counts as the tool that read it is worth."""

from pathlib import Path

import pytest
from tests.services.bench import SEAT_BUR, ada_at, new_desk

from platebook.services.drawer.tool_checks import check_tool
from platebook.services.session import Refused, Session
from platebook.services.setters import add_tool
from platebook.services.sizes import sizes_for, stone_tool
from platebook.trade.records import Drawer, Tool
from platebook.trade.setup_sheet import SetUpSheet

CALIPER = Tool(kind="measuring", name="my caliper", measuring_kind="caliper", mpe_mm=0.02)
READINGS = ("1.984", "1.986", "1.985", "1.983", "1.987")


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada with a caliper that reads 0.015 mm small, checked with five readings."""
    found = ada_at(tmp_path)
    add_tool(found, CALIPER)
    check_tool(found, "my caliper", known="2.000", readings=READINGS)
    return found


def _sizes(session: Session, diameter: str, named: str | None = None) -> SetUpSheet:
    found = sizes_for(
        {"diameter": diameter},
        drawer=Drawer(tools=(SEAT_BUR,)),
        read_with=stone_tool(session, named),
    )
    assert found.sizes is not None, found.problems
    return found.sizes


def test_a_stone_is_corrected_by_the_check_of_what_read_it(session: Session) -> None:
    """1.98 + 0.015; s = 0.00158, u = s·√1.2, k(4) = 2.87 (JCGM 100, G.4.1, table G.2)."""
    stone = _sizes(session, "1.98").stone
    assert stone.diameter_mm == pytest.approx(1.995)
    assert stone.diameter_u_mm == pytest.approx(0.001732, abs=1e-6)
    assert stone.measured == (
        "Read as 1.98 mm with my caliper, which reads 0.015 mm less (checked 2026-02-03): "
        "the stone lies between 1.990 and 2.000 mm (about 95 %)."
    )


def test_an_uneven_stone_is_corrected_at_both_ends(session: Session) -> None:
    """Its ovality stays, and the sentence has both ends."""
    stone = _sizes(session, "1.95-2.01").stone
    assert stone.diameter_mm == pytest.approx(1.995)
    assert stone.ovality_mm == pytest.approx(0.06)
    assert (stone.measured or "").startswith("Read as 1.95 to 2.01 mm with my caliper")
    assert "between 1.960 and 2.030 mm" in (stone.measured or "")


def test_a_doubtful_stone_makes_a_fit_less_sure(tmp_path: Path) -> None:
    """The tool's stated error widens the chance that a bur's seat lies in the wanted window.

    The stone is such that the bur's expected seat lies in the middle of its window.
    """
    session = ada_at(tmp_path)
    add_tool(session, CALIPER.model_copy(update={"mpe_mm": 0.06}))
    plain, doubtful = _sizes(session, "2.0"), _sizes(session, "2.0", "my caliper")
    assert plain.stone.diameter_mm == doubtful.stone.diameter_mm
    assert "which is taken by its stated error" in (doubtful.stone.measured or "")
    assert doubtful.hand.chance_of_fit < plain.hand.chance_of_fit


def test_without_a_check_nothing_is_taken_for_granted(tmp_path: Path) -> None:
    """No correction is made that nobody asked for: not by a stated error, not by one reading."""
    session = ada_at(tmp_path)
    assert stone_tool(session, None) is None
    add_tool(session, CALIPER)
    check_tool(session, "my caliper", known="2.000", readings=["1.985"])
    assert stone_tool(session, None) is None
    assert stone_tool(new_desk(tmp_path / "elsewhere"), None) is None


def test_of_several_none_is_guessed_and_none_can_be_asked_for(session: Session) -> None:
    """A bore gauge takes no stone, so it does not make them several."""
    add_tool(session, Tool(kind="measuring", name="bore", measuring_kind="bore gauge"))
    check_tool(session, "bore", known="2.000", readings=READINGS)
    assert stone_tool(session, None) is not None
    assert stone_tool(session, "none") is None
    add_tool(session, Tool(kind="measuring", name="mike", measuring_kind="micrometer"))
    check_tool(session, "mike", known="2.000", readings=["2.000", "2.001"])
    assert stone_tool(session, None) is None
    assert (_sizes(session, "1.98", "MY CALIPER").stone.measured or "").startswith("Read as 1.98")


@pytest.mark.parametrize(
    ("named", "says"),
    [
        ("ruler", "read 'ruler', expected one measuring tool of the drawer that closes on a stone"),
        ("bore", "that closes on a stone, as bore does not: my caliper, old one"),
        ("old one", "expected a tool that was checked"),
    ],
)
def test_a_tool_that_cannot_have_read_a_stone_is_refused(
    session: Session, named: str, says: str
) -> None:
    """With what was read and what was expected."""
    add_tool(
        session, Tool(kind="measuring", name="bore", measuring_kind="bore gauge", mpe_mm=0.004)
    )
    add_tool(session, Tool(kind="measuring", name="old one"))
    with pytest.raises(Refused) as caught:
        stone_tool(session, named)
    assert says in caught.value.sentence


def test_what_is_wrong_is_told_as_it_was_typed(session: Session) -> None:
    """An impossible size is not corrected first."""
    found = sizes_for({"diameter": "40"}, read_with=stone_tool(session, None))
    assert [p.read for p in found.problems] == ["40 mm"]
