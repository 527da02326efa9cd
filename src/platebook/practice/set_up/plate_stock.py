"""What a plate is made of, and whether that is what is wanted now."""

from collections.abc import Mapping, Sequence

from platebook.practice.attempt import Attempt
from platebook.practice.records import Plate
from platebook.trade.phrases import count_of
from platebook.values import Value

FLAT = "flat"

SAME_SHEET_MM = 0.05
"""Sheets that differ by less are one by another name, as 20 gauge and 0.8 mm are."""


class PlateStock(Value):
    """What a plate is made of; what is None is not known, and fits anything.

    `sheet_mm` is one layer, `curve` what the metal is bent to, where it is not flat.
    """

    metal: str | None = None
    sheet_mm: float | None = None
    layers: int | None = None
    curve: str | None = None

    @classmethod
    def of_set_up(cls, set_up: Mapping[str, str]) -> "PlateStock":
        """What is wanted by the values of a set-up, as text by field."""
        return cls(
            metal=set_up.get("metal"),
            sheet_mm=float(set_up["sheet_mm"]) if "sheet_mm" in set_up else None,
            layers=int(set_up["layers"]) if "layers" in set_up else None,
            curve=set_up.get("curve", FLAT) if "sheet_mm" in set_up else None,
        )

    @classmethod
    def of_plate(cls, attempts: Sequence[Attempt], laid_out: Plate | None) -> "PlateStock":
        """What a plate was laid out as; where that was not said, what the last one on it noted."""
        noted = (a for a in reversed(attempts) if a.sheet_mm is not None or a.metal is not None)
        last, known = next(noted, None), cls()
        if last is not None:
            curve = (last.curve or FLAT) if last.sheet_mm is not None else None
            known = cls(last.metal, last.sheet_mm, last.layers, curve)
        if laid_out is None:
            return known
        of_sheet = laid_out.sheet_mm is not None
        return cls(
            metal=laid_out.metal or known.metal,
            sheet_mm=laid_out.sheet_mm if of_sheet else known.sheet_mm,
            layers=laid_out.layers if of_sheet else known.layers,
            curve=known.curve,
        )

    def differs_from(self, other: "PlateStock") -> str:
        """What this is made of where the other is not, in a few words; empty where they fit."""
        metal = self.metal if _both_differ(self.metal, other.metal) else None
        sheet = self.sheet_mm is not None and other.sheet_mm is not None
        if sheet and abs((self.sheet_mm or 0.0) - (other.sheet_mm or 0.0)) >= SAME_SHEET_MM:
            return f"{self.sheet_mm:.2f} mm {metal or 'sheet'}"
        if metal:
            return metal
        if _both_differ(self.layers, other.layers):
            return count_of(self.layers or 1, "layer")
        return f"{self.curve} metal" if _both_differ(self.curve, other.curve) else ""


ANYTHING = PlateStock()


def _both_differ(one: object, other: object) -> bool:
    return one is not None and other is not None and one != other
