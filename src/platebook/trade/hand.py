"""A hand as a plain value: how much wider than the bur its seats come out."""

from pydantic import Field

from platebook.trade.value import Value


class HandForShape(Value):
    """Overcut (seat minus bur) of one hand with one bur shape, in millimetres.

    `overcut_mm` and `spread_mm` predict the next seat of a fresh bur; `wear_mm_per_seat` is how the
    overcut moves with each seat the bur has cut. `from_attempts` counts the hand's own seats and
    `from_class` those of its class; custom speaks where both are 0.
    """

    shape: str
    overcut_mm: float
    spread_mm: float = Field(gt=0)
    wear_mm_per_seat: float = 0.0
    from_attempts: int = Field(default=0, ge=0)
    from_class: int = Field(default=0, ge=0)


class Hand(Value):
    """The hand of one setter: one entry a bur shape that was used."""

    shapes: tuple[HandForShape, ...] = ()

    def for_shape(self, shape: str) -> HandForShape | None:
        """The entry for this bur shape, or None where nothing is known of it."""
        for known in self.shapes:
            if known.shape == shape:
                return known
        return None
