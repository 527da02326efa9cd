"""A plate: one piece of practice sheet with numbered positions and a notch at 12 o'clock."""

from pydantic import Field

from platebook.trade.value import Value


class Plate(Value):
    """One plate. `positions` are named in the order worked, `across` of them in a row.

    Neighbouring positions lie `pitch_mm` apart in both directions; None where nobody laid it out.
    `sheet_mm` is one layer.
    """

    plate_id: str | None = None
    setter_id: str | None = None
    name: str = Field(min_length=1)
    metal: str | None = None
    metal_state: str | None = None
    sheet_mm: float | None = Field(default=None, gt=0)
    layers: int = Field(default=1, ge=1)
    backing: str | None = None
    support: str | None = None
    positions: tuple[str, ...] = ()
    across: int = Field(default=5, ge=1)
    pitch_mm: float | None = Field(default=None, gt=0)
    note: str = ""

    def place_of(self, position: str) -> tuple[int, int] | None:
        """Row and column of a position, counted from 0; None for a name the plate does not have."""
        if position not in self.positions:
            return None
        return divmod(self.positions.index(position), self.across)
