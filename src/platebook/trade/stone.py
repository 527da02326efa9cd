"""The stone as measured: what is not measured stays None and is filled from a named cut later."""

from pydantic import Field

from platebook.trade.value import Value


class Stone(Value):
    """A round faceted stone. Lengths in millimetres; depth is table to culet.

    `diameter_mm` is the girdle (a lot's mean where stones are not measured singly);
    `diameter_min_mm` and `diameter_max_mm` carry ovality. `girdle` is thin, medium or thick.
    `diameter_u_mm` is the standard uncertainty of the diameter, where it is known.
    """

    diameter_mm: float = Field(gt=0)
    diameter_min_mm: float | None = Field(default=None, gt=0)
    diameter_max_mm: float | None = Field(default=None, gt=0)
    diameter_u_mm: float | None = Field(default=None, ge=0)
    depth_mm: float | None = Field(default=None, gt=0)
    crown_mm: float | None = Field(default=None, gt=0)
    girdle: str | None = None
    material: str | None = None
    hand_cut: bool = False
