"""The card at the bench: what stands on it, and that it stands on the paper."""

import re
from xml.etree import ElementTree as ET

import pytest

from platebook.reports.drawings.bench_card import A4_MM, card_svg, cards_svg
from platebook.trade import Sheet, Stone, size
from platebook.trade.records import Curve
from platebook.trade.setup_sheet import SetUpSheet

TEXT = "{http://www.w3.org/2000/svg}text"
SHEET = Sheet(sheet_mm=0.812, metal="copper")


def _sizes(stone_mm: float = 2.0, sheet: Sheet = SHEET) -> SetUpSheet:
    return size(Stone(diameter_mm=stone_mm, material="amethyst"), sheet)


def _drawn(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 - what the test itself has made


def test_ways_out_and_cautions_stand_on_it_too() -> None:
    """Whole, folded to the card's width."""
    words = " ".join(node.text or "" for node in _drawn(card_svg(_sizes())).iter(TEXT))
    for said in ("teacher come first", "Amethyst and citrine:", "- One sheet of 15 ga"):
        assert said in words


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_everything_lies_on_the_page(count: int) -> None:
    """Letters at least 2.4 mm high, none beginning beside the paper; A4 in width."""
    root = _drawn(cards_svg([(f"card {n}", _sizes(1.5 + n / 2)) for n in range(count)]))
    assert root.get("width") == f"{A4_MM[0]:g}mm"
    high = float((root.get("height") or "").removesuffix("mm"))
    for node in root.iter(TEXT):
        assert float(node.get("font-size") or 0) >= 2
        assert 0 < float(node.get("x") or -1) < A4_MM[0]
        assert 0 < float(node.get("y") or -1) < high


def test_curved_metal_is_cut_twice() -> None:
    """Along the ring and across it, with the wall at the sides among the sizes."""
    ring = Sheet(sheet_mm=1.8, curve=Curve(kind="ring", radius_mm=10))
    sizes = _sizes(2.0, ring)
    svg = card_svg(sizes)
    assert set(re.findall(r'id="card-0-0-(along|across)"', svg)) == {"along", "across"}
    assert "at the sides, 0.32 at most" in svg
