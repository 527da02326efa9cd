"""What the fields of one row say together: pairs that contradict each other."""

import re
from collections.abc import Collection, Mapping
from typing import cast

from platebook.practice.looks import too_many_severities
from platebook.trade.measuring import refuse_caliper_inside

Values = Mapping[str, object]

_CALIPER = re.compile(r"\bcall?iper", re.IGNORECASE)

_NOT_ABOVE = (
    ("stone_diameter_min_mm", "stone_diameter_max_mm"),
    ("stone_depth_mm", "stone_diameter_mm"),
    ("stone_crown_mm", "stone_depth_mm"),
)


def contradictions(values: Values, *, unread: Collection[str] = ()) -> tuple[tuple[str, str], ...]:
    """Field and what was expected of it, for each pair of fields that cannot both be right.

    `values` are those that were read, none of them empty. `unread` fields were mistyped; nothing is
    held against them a second time.
    """
    lengths = cast("Mapping[str, float]", values)
    found: list[tuple[str, str]] = []
    for lower, upper in _NOT_ABOVE:
        if lower in values and upper in values and lengths[lower] > lengths[upper]:
            found.append((lower, f"at most {upper}, which is {lengths[upper]:g} mm"))
    if "seat_go_mm" in values and "seat_nogo_mm" in values:
        go, nogo = lengths["seat_go_mm"], lengths["seat_nogo_mm"]
        if go >= nogo:
            found.append(("seat_go_mm", f"less than seat_nogo_mm, which is {nogo:g} mm"))
    if "seat_diameter_mm" in values and _CALIPER.search(str(values.get("seat_measured_with", ""))):
        refused = refuse_caliper_inside(lengths["seat_diameter_mm"])
        if refused is not None:
            found.append(("seat_diameter_mm", refused.expected))
    if "severity" in values and "result" not in unread:
        severity = cast("tuple[int, ...]", values["severity"])
        result = cast("tuple[str, ...] | None", values.get("result"))
        if too_many := too_many_severities(severity, result):
            found.append(("severity", too_many))
    return tuple(found)
