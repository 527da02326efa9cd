"""Findings with the values behind them, for the setter in use."""

from pathlib import Path

import pytest
from tests.services.bench import a_row, ada_at, logged, minutes_on, new_desk

from platebook.services.answers import findings
from platebook.services.faults import Refused
from platebook.services.finding_values import findings_with_values


def test_each_finding_has_its_values(tmp_path: Path) -> None:
    """Wide seats that came out loose: the findings are the same ones, each with values or none."""
    desk = ada_at(tmp_path)
    rows = [
        a_row(
            seat_diameter_mm=f"{1.90 + i % 12 / 100:.2f}",
            result="loose" if i % 12 > 7 else "good",
            began=minutes_on(i),
        )
        for i in range(48)
    ]
    logged(desk, *rows)
    both = findings_with_values(desk)
    assert both.found == findings(desk)
    assert len(both.values) == len(both.found.findings)
    wide = next(v for v in both.values if v is not None and v.variable == "clearance_mm")
    assert min(wide.showed) > max(wide.others)


def test_nobody_in_use_is_refused(tmp_path: Path) -> None:
    """As for the findings themselves."""
    with pytest.raises(Refused, match="nobody is in use"):
        findings_with_values(new_desk(tmp_path))
