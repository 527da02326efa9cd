"""Stones: the profile of a cut, measured or assumed, and what is known of stones and metals.

The proportions of the named cuts are in percent of the girdle diameter, in `data/cuts.csv`.

The facts stand in `data/stones.csv` and `data/metals.csv`, each row with its status (published gem
tables, common practice, or memory).
"""

import functools
import math
from collections.abc import Iterator, Mapping
from typing import Literal

from platebook.tables import Row, csv_rows, rows_as
from platebook.trade.records import Stone
from platebook.trade.rules import RuleBook
from platebook.trade.validation import Fault, TradeError
from platebook.values import Value


class NamedCut(Row):
    """Proportions of a round brilliant, percent of its girdle diameter; angles in degrees."""

    cut: str
    year: int
    table_pct: float
    crown_height_pct: float
    pavilion_depth_pct: float
    crown_angle_deg: float
    pavilion_angle_deg: float
    source: str
    status: str


class Profile(Value):
    """A round stone in section, in millimetres; `assumed` names what was not measured.

    Crown (table to girdle), girdle (a cylinder) and pavilion (girdle to culet, a cone) are
    together its depth; `table_mm` is the table's width. `cut` is the named cut that what is
    assumed comes from.
    """

    diameter_mm: float
    depth_mm: float
    crown_mm: float
    girdle_mm: float
    pavilion_mm: float
    table_mm: float
    cut: str
    assumed: tuple[str, ...] = ()

    @property
    def carried_mm(self) -> float:
        """Table to the girdle's lower edge, the edge that the seat carries."""
        return self.crown_mm + self.girdle_mm

    @property
    def pavilion_angle_deg(self) -> float:
        """Angle of the pavilion from the plane of the girdle."""
        return math.degrees(math.atan2(self.pavilion_mm, self.diameter_mm / 2))

    def under_mm(self, radius_mm: float) -> float:
        """How far the pavilion reaches below the girdle's lower edge at a radius."""
        return self.pavilion_mm * (1 - radius_mm / (self.diameter_mm / 2))


@functools.cache
def named_cuts() -> Mapping[str, NamedCut]:
    """The named cuts by name, oldest first."""
    return {cut.cut: cut for cut in rows_as(NamedCut, csv_rows("platebook.trade", "cuts.csv"))}


def profile(stone: Stone, book: RuleBook | None = None) -> Profile:
    """The stone's section: measured where measured, else from the book's named cut.

    A measured depth is kept whole: crown and girdle are taken first and the pavilion is what
    remains. A girdle measured thin and thick counts by the middle of the two. Raises TradeError
    where nothing remains, and KeyError for an unknown cut.
    """
    book = book or RuleBook()
    named = named_cuts()[book.cut]
    diameter = stone.diameter_mm
    measured_girdle = stone.measured_girdle_mm
    girdle = book.girdle_mm(diameter, stone.girdle) if measured_girdle is None else measured_girdle
    crown = (
        stone.crown_mm if stone.crown_mm is not None else diameter * named.crown_height_pct / 100
    )
    pavilion = diameter * named.pavilion_depth_pct / 100
    if stone.depth_mm is not None:
        pavilion = stone.depth_mm - crown - girdle
    if pavilion <= 0:
        expected = f"more than crown and girdle together ({crown + girdle:.3f} mm)"
        raise TradeError((Fault("depth_mm", f"{stone.depth_mm:g} mm", expected),))
    missing = {
        "depth": stone.depth_mm is None,
        "crown": stone.crown_mm is None,
        "girdle": stone.girdle is None and measured_girdle is None,
    }
    return Profile(
        diameter_mm=diameter,
        depth_mm=crown + girdle + pavilion,
        crown_mm=crown,
        girdle_mm=girdle,
        pavilion_mm=pavilion,
        table_mm=diameter * named.table_pct / 100,
        cut=named.cut,
        assumed=(*(name for name, is_missing in missing.items() if is_missing), "table"),
    )


class StoneFacts(Row):
    """One material: density (specific gravity), hardness (Mohs), toughness and fitness.

    `under_burnishing_pressure` is what to say; `pressure` sums it up. `names` are the words that
    people write for it.
    """

    stone: str
    names: tuple[str, ...]
    specific_gravity: float
    mohs: float
    toughness: str
    under_burnishing_pressure: str
    pressure: Literal["takes it", "caution"]
    status: str


def stone_facts(material: str) -> StoneFacts | None:
    """The facts for a material by any of its names, or None for one that is not in the table."""
    wanted = material.strip().lower()
    return next((s for s in all_stones() if wanted == s.stone or wanted in s.names), None)


@functools.cache
def all_stones() -> tuple[StoneFacts, ...]:
    """All materials in the order of the table."""
    return rows_as(StoneFacts, _with_names("stones.csv"))


class MetalFacts(Row):
    """One metal: what it does under the burnisher, and what that knowledge is worth."""

    metal: str
    names: tuple[str, ...]
    under_the_burnisher: str
    pressure: Literal["takes it", "caution"]
    status: str


def metal_facts(metal: str) -> MetalFacts | None:
    """The facts for a metal by any of its names, or None for one that is not in the table."""
    wanted = metal.strip().lower()
    return next((m for m in all_metals() if wanted == m.metal or wanted in m.names), None)


@functools.cache
def all_metals() -> tuple[MetalFacts, ...]:
    """All metals in the order of the table."""
    return rows_as(MetalFacts, _with_names("metals.csv"))


def _with_names(table: str) -> Iterator[dict[str, object]]:
    for row in csv_rows("platebook.trade", table):
        yield {**row, "names": row["names"].split(";")}


def sold_mm(diameter_mm: float) -> float:
    """The size a stone of this diameter was sold as: the nearest tenth or quarter of a millimetre.

    Round stones are sold in these steps (common practice), and within a parcel they differ by less.
    """
    tenth, quarter = round(diameter_mm, 1), round(diameter_mm * 4) / 4
    return min((quarter, tenth), key=lambda size: round(abs(size - diameter_mm), 6))


def size_text(size_mm: float) -> str:
    """A stone's size for people, with the decimals it has and one at least: 2.0 mm, 1.75 mm."""
    digits = f"{size_mm:.3f}".rstrip("0")
    return f"{digits}{'0' if digits.endswith('.') else ''} mm"
