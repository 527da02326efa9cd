"""What sizes are asked with: the stone, the sheet, the tools of a drawer, and a hand."""

from operator import attrgetter
from typing import Literal, Protocol

from pydantic import BaseModel, ConfigDict, Field


class CheckedValue(BaseModel):
    """A frozen value of the trade; two with equal fields are equal."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Stone(CheckedValue):
    """A round faceted stone. Lengths in millimetres; depth is table to culet.

    `diameter_mm` is the girdle (a lot's mean where stones are not measured singly);
    `diameter_min_mm` and `diameter_max_mm` carry ovality. `girdle` is thin, medium or thick.
    `diameter_u_mm` is the standard uncertainty of the diameter, where it is known. Of an uneven
    stone `hole_mm` is the smallest gauged hole it enters, `girdle_low_mm` and `girdle_high_mm` how
    thin and thick its girdle is, and `table_off_mm` how much higher one side of its table lies.
    """

    diameter_mm: float = Field(gt=0)
    diameter_min_mm: float | None = Field(default=None, gt=0)
    diameter_max_mm: float | None = Field(default=None, gt=0)
    diameter_u_mm: float | None = Field(default=None, ge=0)
    depth_mm: float | None = Field(default=None, gt=0)
    crown_mm: float | None = Field(default=None, gt=0)
    girdle: str | None = None
    hole_mm: float | None = Field(default=None, gt=0)
    girdle_low_mm: float | None = Field(default=None, ge=0)
    girdle_high_mm: float | None = Field(default=None, gt=0)
    table_off_mm: float | None = Field(default=None, ge=0)
    material: str | None = None
    hand_cut: bool = False

    @property
    def enters_mm(self) -> float:
        """The round hole it is known to enter: the gauged one, else its diameter."""
        return self.diameter_mm if self.hole_mm is None else self.hole_mm

    @property
    def measured_girdle_mm(self) -> float | None:
        """The middle of the thinnest and thickest girdle; None where not both were measured."""
        if self.girdle_low_mm is None or self.girdle_high_mm is None:
            return None
        return (self.girdle_low_mm + self.girdle_high_mm) / 2


CURVE_LIMITS_MM = (4.0, 100.0)
"""Outer radii of curved metal that stones are set in (judgement)."""


class Curve(CheckedValue):
    """Curved metal: what it is, its outer radius, and how far the hole lies off its crest.

    A hole `off_crest_mm` from the crest is drilled parallel to one on it, so that it leans from the
    surface where it enters; a hole square to the surface is on a crest of its own.
    """

    kind: Literal["ring", "dome"]
    radius_mm: float = Field(gt=0)
    off_crest_mm: float = Field(default=0.0, ge=0)

    def reaches(self, radius_mm: float) -> bool:
        """Whether a hole of this radius lies on the curve with all of its rim."""
        return self.off_crest_mm + radius_mm < self.radius_mm


class Sheet(CheckedValue):
    """Sheet, flat or curved; total thickness is `sheet_mm` times `layers`, in millimetres.

    `pitch_mm` is how far the centres of two neighbouring stones are apart, at the surface.
    """

    sheet_mm: float = Field(gt=0)
    layers: int = Field(default=1, ge=1)
    metal: str | None = None
    backing: str = "none"
    curve: Curve | None = None
    pitch_mm: float | None = Field(default=None, gt=0)

    @property
    def thickness_mm(self) -> float:
        """Total thickness in millimetres, rounded to a micrometre."""
        return round(self.sheet_mm * self.layers, 3)


ToolKind = Literal["twist drill", "bur", "pin", "burnisher", "punch", "measuring"]
MeasuringKind = Literal[
    "caliper",
    "micrometer",
    "bore gauge",
    "pins",
    "depth gauge",
    "dial gauge",
    "microscope",
    "rule",
]


class Tool(CheckedValue):
    """One tool. `size_mm` is its diameter as measured or marked (a burnisher: width that touches).

    `seats_cut` counts the seats cut with a bur before now; `measuring_kind`, `resolution_mm` and
    `mpe_mm` (maximum permissible error) belong to measuring tools.
    """

    tool_id: str | None = None
    kind: ToolKind
    name: str = ""
    shape: str | None = None
    measuring_kind: MeasuringKind | None = None
    size_mm: float | None = Field(default=None, gt=0)
    angle_deg: float | None = Field(default=None, gt=0, lt=180)
    seats_cut: int = Field(default=0, ge=0)
    resolution_mm: float | None = Field(default=None, gt=0)
    mpe_mm: float | None = Field(default=None, gt=0)
    note: str = ""


class Drawer(CheckedValue):
    """All tools of one setter, in the order they were added.

    `last_used` are tools that were never added but used in the last settings: they are at hand
    where the drawer holds none of their kind.
    """

    tools: tuple[Tool, ...] = ()
    last_used: tuple[Tool, ...] = ()

    def of_kind(self, kind: ToolKind, shape: str | None = None) -> tuple[Tool, ...]:
        """Tools of one kind (and shape, where given) that have a size, smallest first."""
        fitting = [
            t
            for t in self.tools
            if t.kind == kind and t.size_mm is not None and (shape is None or t.shape == shape)
        ]
        return tuple(sorted(fitting, key=attrgetter("size_mm")))

    def at_hand(self, kind: ToolKind, shape: str | None = None) -> tuple[Tool, ...]:
        """The drawer's tools of one kind (and shape), smallest first.

        Where it holds none of the kind, those used last.
        """
        drawer = self if self.of_kind(kind) else Drawer(tools=self.last_used)
        return drawer.of_kind(kind, shape)


class HandForShape(CheckedValue):
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


class RestsOnSeats(Protocol):
    """Whatever says how many seats it rests on, of the hand's own and of its class."""

    @property
    def from_attempts(self) -> int:
        """Seats of this hand."""

    @property
    def from_class(self) -> int:
        """Seats of its class."""


def was_read(known: RestsOnSeats) -> bool:
    """Whether seats were read, of this hand or of its class; custom speaks where none were."""
    return bool(known.from_attempts or known.from_class)


class Hand(CheckedValue):
    """The hand of one setter: one entry a bur shape that was used."""

    shapes: tuple[HandForShape, ...] = ()

    def for_shape(self, shape: str) -> HandForShape | None:
        """The entry for this bur shape, or None where nothing is known of it."""
        for known in self.shapes:
            if known.shape == shape:
                return known
        return None
