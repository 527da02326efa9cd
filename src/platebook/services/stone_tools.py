"""What a stone's diameter was read with: that tool's check corrects it and says how sure it is."""

from dataclasses import dataclass

from platebook.practice.text import clean
from platebook.practice.tool_check import ToolCheckRecord
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.measuring import checks_by_tool
from platebook.services.naming import tools_named
from platebook.trade.drawer import Tool
from platebook.trade.measuring import Measured, measure
from platebook.trade.measuring_kinds import takes_outsides

NONE = "none"
SHOWN_MM = 0.0005


@dataclass(frozen=True)
class StoneTool:
    """A measuring tool of the drawer with the check of it that counts, None without one."""

    tool: Tool
    record: ToolCheckRecord | None

    def measured(self, read_mm: float) -> Measured | None:
        """The reading as it counts; None for a tool of which nothing is known."""
        check = self.record.worth() if self.record is not None else None
        found = measure(read_mm, self.tool, check)
        return found if found is not None and found.standard_mm > 0 else None

    def sentence(self, low_mm: float, high_mm: float, found: Measured) -> str:
        """What was read, smallest and largest, and what it is worth, in one sentence."""
        low = low_mm - found.bias_mm - found.expanded_mm
        high = high_mm - found.bias_mm + found.expanded_mm
        read = f"{low_mm:g} mm" if low_mm == high_mm else f"{low_mm:g} to {high_mm:g} mm"
        return (
            f"Read as {read} with {self.tool.name}, {self._worth(found)}: "
            f"the stone lies between {low:.3f} and {high:.3f} mm (about 95 %)."
        )

    def _worth(self, found: Measured) -> str:
        if self.record is None or not self.record.worth().counts:
            return "which is taken by its stated error"
        when = f" (checked {self.record.checked:%Y-%m-%d})" if self.record.checked else ""
        if abs(found.bias_mm) < SHOWN_MM:
            return f"which reads as it is{when}"
        more = "more" if found.bias_mm > 0 else "less"
        return f"which reads {abs(found.bias_mm):.3f} mm {more}{when}"


def stone_tool(desk: Desk, named: str | None) -> StoneTool | None:
    """The tool named, or the only one in the drawer that is checked and closes on a stone.

    None where `named` is "none", and where there is no such tool or several. Refused for a tool
    that is not in the drawer, or that takes no outsides, or of which nothing is known.
    """
    from platebook.logbook import belongings

    if desk.setter_id is None or not desk.path.exists():
        if named and clean(named) != NONE:
            raise Refused(f"measured with: read {clean(named)!r}, expected a setter with a drawer")
        return None
    if named is not None and clean(named) == NONE:
        return None
    with opened(desk, make=False) as book:
        tools = [
            tool for tool in book.ask(belongings.tools, desk.setter_id) if tool.kind == "measuring"
        ]
        counting = checks_by_tool(book.ask(belongings.tool_checks, desk.setter_id))
    known = [StoneTool(tool, counting.get(tool.tool_id or "")) for tool in tools]
    if named is not None:
        return _named(known, clean(named))
    sure = [
        one
        for one in known
        if one.tool.measuring_kind is not None
        and takes_outsides(one.tool)
        and one.record is not None
        and one.record.worth().counts
    ]
    return sure[0] if len(sure) == 1 else None


def _named(known: list[StoneTool], named: str) -> StoneTool:
    fit = [one for one in known if takes_outsides(one.tool)]
    found = tools_named((one.tool for one in known), named)
    meant = [one for one in known if one.tool in found]
    if len(meant) != 1 or meant[0] not in fit:
        listed = ", ".join(one.tool.name for one in fit) or "none yet"
        why = f", as {meant[0].tool.name} does not" if len(meant) == 1 else ""
        raise Refused(
            f"measured with: read {named!r}, expected one measuring tool of the drawer "
            f"that closes on a stone{why}: {listed}"
        )
    if meant[0].measured(1.0) is None:
        raise Refused(
            f"measured with: read {named!r}, expected a tool that was checked "
            f"(platebook drawer check) or whose error is stated (drawer add --mpe)"
        )
    return meant[0]
