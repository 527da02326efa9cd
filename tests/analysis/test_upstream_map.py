"""The upstream map: only what comes before the seat, each pair once, with the signs it states."""

from collections import Counter

import numpy as np
import pytest

from platebook.analysis.candidates import Candidate
from platebook.analysis.columns import Column, Kind
from platebook.analysis.measured import DEPTH, OVERCUT
from platebook.analysis.trade_map import Form
from platebook.analysis.upstream_map import upstream_cell, upstream_map
from platebook.analysis.variables import known_variables

AFTER_THE_SEAT = {
    "clearance_mm",
    "fit",
    "seat_diameter_mm",
    "depth_error_mm",
    "trial_height",
    "ledge",
    "undersize_mm",
    "seat_bur_mm",
    "levelled_by",
    "punch",
    "hammer_g",
    "burnisher_tip_mm",
    "burnisher_polished",
    "burnish_passes",
    "effort",
    "point_order",
    "minutes",
}
"""Read of the finished seat, part of what is measured, or done after it (design.md's groups)."""


def _candidate(name: str, kind: Kind = "number", form: Form = "linear") -> Candidate:
    return Candidate(Column(name, kind, process=False, values=np.array([0.0, 1.0])), form, 1.0)


def test_nothing_after_the_seat_is_asked_about() -> None:
    """Burnishing cannot have made a seat wide."""
    assert {name for name, _ in upstream_map()} & AFTER_THE_SEAT == set()
    assert all(upstream_cell("overcut", _candidate(name)) is None for name in AFTER_THE_SEAT)


def test_every_row_names_a_known_variable_and_response_and_says_of_what_kind() -> None:
    """A typing error in the table would silently ask nothing."""
    assert {name for name, _ in upstream_map()} <= set(known_variables())
    assert {response for _, response in upstream_map()} == {OVERCUT.name, DEPTH.name}
    kinds = Counter(row.kind for row in upstream_map().values())
    assert set(kinds) == {"geometry", "common practice", "judgement"}
    assert all(row.reason for row in upstream_map().values() if row.weight != "open")


@pytest.mark.parametrize(
    ("name", "response", "sign"),
    [("runout", "overcut", 1), ("speed_step", "depth error", 1), ("seat_bur_uses", "overcut", 0)],
)
def test_the_expected_sign(name: str, response: str, sign: int) -> None:
    """Run-out cuts wider than the bur (geometry); of wear the data must say (judgement)."""
    cell = upstream_cell(response, _candidate(name))
    assert cell is not None
    assert np.sign(cell.mean) == sign


def test_levels_share_their_variable_s_weight_and_expect_nothing() -> None:
    """A choice without an order has no direction."""
    whole, half = (
        upstream_cell("overcut", _candidate("support", "level"), levels) for levels in (1, 2)
    )
    assert whole is not None
    assert half is not None
    assert (half.weight, half.mean) == (whole.weight / 2, 0.0)


def test_the_form_that_the_map_does_not_name_weighs_less() -> None:
    """Run-out is expected to widen, not to matter both ways."""
    straight = upstream_cell("overcut", _candidate("runout"))
    bent = upstream_cell("overcut", _candidate("runout", form="distance"))
    assert straight is not None
    assert bent is not None
    assert bent.weight < straight.weight
    assert bent.mean == 0.0
