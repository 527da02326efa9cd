"""Sheet gauges against the standard's formula and the handbook's table."""

import csv
from pathlib import Path

import pytest
from fluids.piping import t_from_gauge

from platebook.trade.lengths import gauge_mm

REFERENCE = Path(__file__).parents[1] / "reference" / "gauge-brown-sharpe.csv"


def test_gauges_agree_with_the_reference_table() -> None:
    """ASTM B258: d = 0.127 mm * 92^((36 - n) / 39), printed to four decimals."""
    with REFERENCE.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            assert gauge_mm(int(row["gauge"])) == pytest.approx(float(row["mm"]), abs=0.00005)


@pytest.mark.parametrize("gauge", range(10, 31))
def test_gauges_agree_with_the_handbook(gauge: int) -> None:
    """Machinery's Handbook as carried by `fluids`, printed to 0.0001 in: 0.0013 mm allowed."""
    handbook = t_from_gauge(gauge, SI=True, schedule="AWG") * 1000
    assert gauge_mm(gauge) == pytest.approx(handbook, abs=0.0013)


@pytest.mark.parametrize(("gauge", "mm"), [(18, 1.0237), (20, 0.8118), (22, 0.6438), (24, 0.5106)])
def test_customary_sheet(gauge: int, mm: float) -> None:
    """The four gauges setters use most (ASTM B258)."""
    assert gauge_mm(gauge) == pytest.approx(mm, abs=0.00005)


@pytest.mark.parametrize("gauge", [-1, 0, 41, 1000])
def test_an_unknown_gauge_is_refused(gauge: int) -> None:
    """A number outside the range says which numbers there are."""
    with pytest.raises(ValueError, match="a gauge from 1 to 40"):
        gauge_mm(gauge)
