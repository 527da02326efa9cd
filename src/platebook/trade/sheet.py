"""The sheet a stone is set in: thickness of one layer, layers, metal and what stands behind it."""

from pydantic import Field

from platebook.trade.value import Value


class Sheet(Value):
    """Flat sheet; total thickness is `sheet_mm` times `layers`, in millimetres."""

    sheet_mm: float = Field(gt=0)
    layers: int = Field(default=1, ge=1)
    metal: str | None = None
    backing: str = "none"

    @property
    def thickness_mm(self) -> float:
        """Total thickness in millimetres, rounded to a micrometre."""
        return round(self.sheet_mm * self.layers, 3)
