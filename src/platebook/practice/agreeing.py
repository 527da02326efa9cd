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

    `unread` fields were mistyped; nothing is held against them a second time.
    """
    found: list[tuple[str, str]] = []
    for lower, upper in _NOT_ABOVE:
        low, high = _lengths(values, lower, upper)
        if low is not None and high is not None and low > high:
            found.append((lower, f"at most {upper}, which is {high:g} mm"))
    go, nogo = _lengths(values, "seat_go_mm", "seat_nogo_mm")
    if go is not None and nogo is not None and go >= nogo:
        found.append(("seat_go_mm", f"less than seat_nogo_mm, which is {nogo:g} mm"))
    (seat,) = _lengths(values, "seat_diameter_mm")
    if seat is not None and _CALIPER.search(str(values.get("seat_measured_with") or "")):
        refused = refuse_caliper_inside(seat)
        if refused is not None:
            found.append(("seat_diameter_mm", refused.expected))
    severity = cast("tuple[int, ...] | None", values.get("severity"))
    result = cast("tuple[str, ...] | None", values.get("result"))
    too_many = too_many_severities(severity, result)
    if too_many and "result" not in unread:
        found.append(("severity", too_many))
    return tuple(found)


def _lengths(values: Values, *names: str) -> tuple[float | None, ...]:
    return tuple(cast("float | None", values.get(name)) for name in names)
