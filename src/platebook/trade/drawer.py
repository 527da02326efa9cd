"""The tools a setter owns."""

from typing import Literal

from pydantic import Field

from platebook.trade.value import Value

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


class Tool(Value):
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


class Drawer(Value):
    """All tools of one setter, in the order they were added."""

    tools: tuple[Tool, ...] = ()

    def of_kind(self, kind: ToolKind, shape: str | None = None) -> tuple[Tool, ...]:
        """Tools of one kind (and shape, where given) that have a size, smallest first."""
        found = [
            t
            for t in self.tools
            if t.kind == kind and t.size_mm is not None and (shape is None or t.shape == shape)
        ]
        return tuple(sorted(found, key=lambda t: t.size_mm or 0.0))
