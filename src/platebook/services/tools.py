"""A tool from what a person typed about it."""

from typing import cast

from platebook.practice.problem import Problem
from platebook.practice.text import clean
from platebook.practice.values import read_field
from platebook.trade.drawer import Tool, ToolKind
from platebook.trade.lengths import read_length

SIZED = ("twist drill", "bur", "pin")


def tool_from(  # noqa: PLR0913 - all that may be known of a tool, by keyword
    *,
    kind: str,
    size: str | None,
    name: str = "",
    shape: str | None = None,
    angle_deg: float | None = None,
    seats_cut: int = 0,
    resolution: str | None = None,
    mpe: str | None = None,
) -> tuple[Tool | None, tuple[Problem, ...]]:
    """The tool, named by shape and size where it has no name; None with what was wrong."""
    faults: list[Problem] = []
    size_mm: float | None = None
    if size:
        size_mm, expected = read_length(size)
        if size_mm is None:
            faults.append(Problem(0, "size", clean(size), expected))
    elif kind in SIZED:
        faults.append(Problem(0, "size", "nothing", f"the size of the {kind}, such as 1.9"))
    errors = {
        name: _error(name, text, kind, faults)
        for name, text in (("resolution", resolution), ("mpe", mpe))
    }
    if angle_deg is not None and not 0 < angle_deg < 180:
        faults.append(Problem(0, "angle", f"{angle_deg:g}", "degrees between 0 and 180"))
    if shape is not None:
        read, _ = read_field("seat_bur_shape", shape)
        shape = str(read) if read else clean(shape)
    if faults:
        return None, tuple(faults)
    made = " ".join(p for p in (f"{size_mm:g} mm" if size_mm else "", shape or "", kind) if p)
    tool = Tool(
        kind=cast("ToolKind", kind),
        name=clean(name) or made,
        shape=shape,
        size_mm=size_mm,
        angle_deg=angle_deg,
        seats_cut=seats_cut,
        resolution_mm=errors["resolution"],
        mpe_mm=errors["mpe"],
    )
    return tool, ()


def _error(name: str, text: str | None, kind: str, faults: list[Problem]) -> float | None:
    """What a measuring tool's maker says of it, in millimetres."""
    if not text:
        return None
    read, expected = read_length(text)
    if kind != "measuring":
        faults.append(Problem(0, name, clean(text), f"nothing: a {kind} is not read"))
    elif read is None or read <= 0:
        faults.append(Problem(0, name, clean(text), f"{expected}, above zero"))
    return read
