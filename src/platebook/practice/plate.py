"""A plate: one piece of practice sheet with numbered positions and a notch at 12 o'clock."""

from pydantic import Field

from platebook.trade.value import Value


class Plate(Value):
    """One plate. `positions` are named in the order worked, `across` of them in a row.

    Neighbouring positions lie `pitch_mm` apart in both directions, their grid in the middle of
    `width_mm` by `height_mm`; all None where nobody laid it out. A row each in turn is for stones
    of `stones_mm`. `sheet_mm` is one layer.
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
    width_mm: float | None = Field(default=None, gt=0)
    height_mm: float | None = Field(default=None, gt=0)
    stones_mm: tuple[float, ...] = ()
    note: str = ""

    def place_of(self, position: str) -> tuple[int, int] | None:
        """Row and column of a position, counted from 0; None for a name the plate does not have."""
        if position not in self.positions:
            return None
        return divmod(self.positions.index(position), self.across)

    def centre_of(self, position: str) -> tuple[float, float] | None:
        """A position's centre from the top left corner, in mm; None where nobody laid it out."""
        place = self.place_of(position)
        if place is None or None in {self.pitch_mm, self.width_mm, self.height_mm}:
            return None
        pitch, width, height = self.pitch_mm or 0.0, self.width_mm or 0.0, self.height_mm or 0.0
        rows = -(-len(self.positions) // self.across)
        left = (width - (self.across - 1) * pitch) / 2
        top = (height - (rows - 1) * pitch) / 2
        return round(left + place[1] * pitch, 3), round(top + place[0] * pitch, 3)

    def stone_at(self, position: str) -> float | None:
        """The stone size that a position is for, in mm; None where none is named."""
        place = self.place_of(position)
        if place is None or not self.stones_mm:
            return None
        return self.stones_mm[place[0] % len(self.stones_mm)]
