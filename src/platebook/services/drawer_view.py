"""The drawer of the setter in use: what lies in it, putting in, changing, taking out."""

from dataclasses import dataclass
from typing import get_args

from platebook.practice.problem import Problem
from platebook.practice.text import clean
from platebook.practice.tool_check import ToolCheckRecord
from platebook.reports.figures import counted
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.measuring import checks_by_tool
from platebook.services.naming import tools_named
from platebook.services.people import setter_in_use
from platebook.services.tools import measuring_kind_named, tool_from
from platebook.trade.drawer import Tool, ToolKind

SHORTEST_ENDING = 4
KINDS: tuple[ToolKind, ...] = get_args(ToolKind)
EXPECTED = "a kind and a size, such as: bur 1.9 hart; twist drill 0.65; pin 1.95; measuring caliper"


@dataclass(frozen=True)
class DrawerRow:
    """One tool: its id, kind and name, its size as typed back, and what is known of its use."""

    tool_id: str
    kind: str
    name: str
    size: str
    use: str
    typed: str


def drawer_view(desk: Desk) -> tuple[DrawerRow, ...]:
    """The tools by kind, then size."""
    from platebook.logbook import belongings

    with opened(desk, make=False) as book:
        setter_id = setter_in_use(desk, book).setter_id or ""
        tools = book.ask(belongings.tools, setter_id)
        checks = checks_by_tool(book.ask(belongings.tool_checks, setter_id))
    in_order = sorted(tools, key=lambda t: (KINDS.index(t.kind), t.shape or "", t.size_mm or 0.0))
    return tuple(_row(tool, checks.get(tool.tool_id or "")) for tool in in_order)


def put_in(desk: Desk, typed: str) -> str:
    """Put a tool into the drawer from a line such as `bur 1.9 hart`; says what was put in."""
    from platebook.logbook.adding import add_tools

    tool = tool_typed(typed)
    with opened(desk, make=False) as book:
        setter = setter_in_use(desk, book)
        book.tell(
            add_tools, setter.setter_id or "", [tool], book.stamp(desk.author, desk.clock(), "add")
        )
    return f"{tool.name} lies in the drawer."


def change(desk: Desk, tool_id: str, typed: str) -> str:
    """Change a tool to what is typed; what it has cut and its own marks stay."""
    from platebook.logbook import belongings, records

    after = tool_typed(typed)
    with opened(desk, make=False) as book:
        before = _tool(
            book.ask(belongings.tools, setter_in_use(desk, book).setter_id or ""), tool_id
        )
        made = before.name == tool_typed(_typed(before)).name
        named = after.name if made else before.name
        changed = before.model_copy(
            update={"kind": after.kind, "shape": after.shape, "size_mm": after.size_mm}
            | {"measuring_kind": after.measuring_kind, "name": named}
        )
        book.tell(
            records.amend, "tool", tool_id, changed, book.stamp(desk.author, desk.clock(), "amend")
        )
    return f"{before.name} is now {changed.name}."


def take_out(desk: Desk, tool_id: str) -> str:
    """Take a tool out of the drawer; undo puts it back."""
    from platebook.logbook import belongings, records

    with opened(desk, make=False) as book:
        tool = _tool(book.ask(belongings.tools, setter_in_use(desk, book).setter_id or ""), tool_id)
        book.tell(
            records.hide, "tool", [tool_id], book.stamp(desk.author, desk.clock(), "take out")
        )
    return f"{tool.name} is taken out; undo puts it back."


def take_out_named(desk: Desk, named: str) -> str:
    """Take the tool of this name, id or ending of an id out of the drawer."""
    from platebook.logbook import belongings

    with opened(desk, make=False) as book:
        tools = book.ask(belongings.tools, setter_in_use(desk, book).setter_id or "")
    wanted = clean(named)
    found = tools_named(tools, wanted)
    if not found and len(wanted) >= SHORTEST_ENDING:
        found = tuple(t for t in tools if (t.tool_id or "").endswith(wanted.lower()))
    if len(found) > 1:
        ids = ", ".join(tool.tool_id or "" for tool in found)
        raise Refused(f"tool: read {wanted!r}, which {len(found)} tools are; give an id: {ids}")
    if not found:
        names = ", ".join(tool.name for tool in tools) or "none yet"
        raise Refused(f"tool: read {wanted!r}, expected a tool of the drawer: {names}")
    return take_out(desk, found[0].tool_id or "")


def tool_typed(typed: str) -> Tool:
    """The tool of a line of text: kind, size, for a bur its shape. Refused with what is wrong."""
    words = clean(typed).split()
    kind = next((k for k in KINDS if words[: len(k.split())] == k.split()), None)
    if kind is None:
        raise Refused(f"tool: read {clean(typed)!r}, expected {EXPECTED}")
    rest = words[len(kind.split()) :]
    if kind == "measuring":
        measures, name = _measuring(rest)
        tool, problems = tool_from(kind=kind, size=None, name=name, measuring_kind=measures)
    else:
        size, shape = (rest[0] if rest else None), " ".join(rest[1:]) or None
        tool, problems = tool_from(kind=kind, size=size, shape=shape)
    if tool is None:
        raise Refused("; ".join(_told(problem) for problem in problems))
    return tool


def _measuring(words: list[str]) -> tuple[str | None, str]:
    """The kind of a measuring tool that these words begin with, None for none, and its name."""
    for many in (2, 1):
        begun = " ".join(words[:many])
        if len(words) >= many and measuring_kind_named(begun):
            return begun, " ".join(words[many:])
    return None, " ".join(words)


def _told(problem: Problem) -> str:
    return f"{problem.field}: read {problem.read!r}, expected {problem.expected}"


def _tool(tools: tuple[Tool, ...], tool_id: str) -> Tool:
    for tool in tools:
        if tool.tool_id == tool_id:
            return tool
    raise Refused("tool: it is not in the drawer any more")


def _typed(tool: Tool) -> str:
    if tool.kind == "measuring":
        kind: str = tool.measuring_kind or ""
        parts: tuple[str, ...] = (
            tool.kind,
            kind,
            "" if tool.name in {kind, tool.kind} else tool.name,
        )
    else:
        parts = (tool.kind, f"{tool.size_mm:g}" if tool.size_mm else "", tool.shape or "")
    return " ".join(part for part in parts if part)


def _row(tool: Tool, check: ToolCheckRecord | None) -> DrawerRow:
    use = ""
    if tool.kind == "bur":
        use = f"{counted(tool.seats_cut, 'seat')} cut"
    elif tool.kind == "measuring":
        use = "never checked" if check is None else _reads(check)
        if tool.measuring_kind and tool.measuring_kind != tool.name:
            use = f"{tool.measuring_kind}, {use}"
    return DrawerRow(
        tool_id=tool.tool_id or "",
        kind=tool.kind,
        name=tool.name,
        size=f"{tool.size_mm:.2f}" if tool.size_mm else "",
        use=use,
        typed=_typed(tool),
    )


def _reads(check: ToolCheckRecord) -> str:
    worth = check.worth()
    return f"reads {worth.bias_mm:+.3f} mm{'' if worth.counts else ' (one reading)'}"
