"""The drawer: what lies in it, tools from what was typed, putting in, changing, taking out."""

from typing import cast, get_args

from platebook.logbook import Logbook, records, setter_records
from platebook.practice.fields import choices
from platebook.practice.glossary import glossary
from platebook.practice.problem import Problem, only_problems
from platebook.practice.reading.field_values import bounds, read_choice
from platebook.practice.text import LONGEST_LINE, clean, folded
from platebook.services.drawer.tool_checks import Checked, check_words, checks_in
from platebook.services.drawer.tool_names import tools_named
from platebook.services.drawer.typed_tools import kind_in, shape_in, size_in
from platebook.services.people.setters import add_tool, tools
from platebook.services.session import Refused, Session, opened, refusal_of, setter_in_use
from platebook.trade.geometry.burs import CONES, angle_of_floor
from platebook.trade.lengths import read_length
from platebook.trade.measuring.tool_checks import measuring_kinds
from platebook.trade.phrases import count_of
from platebook.trade.records import MeasuringKind, Tool, ToolKind
from platebook.values import Value

SIZED = ("twist drill", "bur", "pin")
LIMITS = {
    "twist drill": "pilot_mm",
    "bur": "seat_bur_mm",
    "pin": "seat_go_mm",
    "burnisher": "burnisher_tip_mm",
}
"""The field of the record that has the limits for a kind's size."""

SHAPES = ("seat_bur_shape", "opening_bur_shape")
OTHER_SPELLINGS: dict[str, MeasuringKind] = {
    "calliper": "caliper",
    "calipers": "caliper",
    "callipers": "caliper",
    "pin": "pins",
    "pingauge": "pins",
    "pingauges": "pins",
    "pluggauge": "pins",
    "pluggauges": "pins",
    "smallholegauge": "bore gauge",
    "dial": "dial gauge",
    "dialindicator": "dial gauge",
    "steelrule": "rule",
    "ruler": "rule",
}
"""Other words for a kind, folded."""


def tool_from(  # noqa: PLR0913 - all that may be known of a tool, by keyword
    *,
    kind: str,
    size: str | None,
    name: str = "",
    shape: str | None = None,
    angle_deg: float | None = None,
    floor_deg: float | None = None,
    seats_cut: int = 0,
    resolution: str | None = None,
    mpe: str | None = None,
    measuring_kind: str | None = None,
) -> tuple[Tool | None, tuple[Problem, ...]]:
    """The tool, named by shape and size where it has no name; None with what was wrong.

    A tool may come with notices, such as of a shape that nobody knows.
    """
    problems: list[Problem] = []
    if kind == "measuring" and size and not measuring_kind and measuring_kind_named(size):
        size, measuring_kind = None, size
    size_mm = _size(kind, size or "", problems)
    if len(clean(name)) > LONGEST_LINE:
        expected = f"at most {LONGEST_LINE} characters"
        problems.append(Problem(0, "name", clean(name)[:LONGEST_LINE], expected))
    measures = _measuring_kind(measuring_kind, kind, problems)
    errors = {
        name: _error(name, text, kind, problems)
        for name, text in (("resolution", resolution), ("mpe", mpe))
    }
    if shape is not None:
        shape = _shape(shape, problems)
    angle_deg = _angle(angle_deg, floor_deg, shape, problems)
    if only_problems(problems):
        return None, tuple(problems)
    tool = Tool(
        kind=cast("ToolKind", kind),
        name=clean(name) or _made_name(size_mm, shape, measures or kind),
        shape=shape,
        measuring_kind=measures,
        size_mm=size_mm,
        angle_deg=angle_deg,
        seats_cut=seats_cut,
        resolution_mm=errors["resolution"],
        mpe_mm=errors["mpe"],
    )
    return tool, tuple(problems)


def _made_name(size_mm: float | None, shape: str | None, kind: str) -> str:
    """What a tool is called to which nobody gave a name: "1.9 mm hart bur"."""
    size = f"{size_mm:g} mm" if size_mm else ""
    return " ".join(part for part in (size, shape or "", kind) if part)


def _size(kind: str, text: str, problems: list[Problem]) -> float | None:
    """A size within what such tools have; the limits are the record's (judgement, and wide)."""
    if not clean(text):
        if kind in SIZED:
            problems.append(Problem(0, "size", "nothing", f"the size of the {kind}, such as 1.9"))
        return None
    size_mm, expected = read_length(text)
    if size_mm is not None and kind in LIMITS:
        limits = bounds()[LIMITS[kind]]
        if not limits.low <= size_mm <= limits.high:
            expected = f"a {kind} of {limits.low:g} to {limits.high:g} mm"
    if expected:
        problems.append(Problem(0, "size", clean(text), expected))
    return size_mm


def _angle(
    angle_deg: float | None, floor_deg: float | None, shape: str | None, problems: list[Problem]
) -> float | None:
    """The angle that such a bur is named by, as measured or from the slope of the floor it cuts."""
    if angle_deg is not None and not 0 < angle_deg < 180:
        problems.append(Problem(0, "angle", f"{angle_deg:g}", "degrees between 0 and 180"))
    if floor_deg is None:
        return angle_deg
    if angle_deg is not None:
        problems.append(Problem(0, "floor", f"{floor_deg:g}", "the angle or the floor, not both"))
    elif shape not in CONES:
        expected = f"a bur with a cone ({' or '.join(CONES)}): no other has one slope"
        problems.append(Problem(0, "floor", f"{floor_deg:g}", expected))
    elif not 0 < floor_deg < 90:
        problems.append(Problem(0, "floor", f"{floor_deg:g}", "degrees between 0 and 90"))
    else:
        return angle_of_floor(shape, floor_deg)
    return None


def _shape(text: str, problems: list[Problem]) -> str:
    """The record's word for a shape; another is kept as typed, with a notice."""
    listed = {choice.value: choice for name in SHAPES for choice in choices()[name]}
    typed = clean(text)
    read, expected = read_choice(typed, tuple(listed.values()))
    if expected:
        problems.append(Problem(0, "shape", typed, f"{expected}; kept as typed", "notice"))
    return str(read or typed)


def measuring_kind_named(text: str) -> MeasuringKind | None:
    """The kind of measuring tool that goes by this word; None for any other word."""
    wanted = folded(text)
    spelt = {folded(kind): kind for kind in measuring_kinds()}
    return spelt.get(wanted) or OTHER_SPELLINGS.get(wanted)


def _measuring_kind(text: str | None, kind: str, problems: list[Problem]) -> MeasuringKind | None:
    """The kind of a measuring tool as typed, other words for it understood."""
    if not text:
        return None
    if kind != "measuring":
        problems.append(Problem(0, "kind", clean(text), f"nothing: a {kind} does not measure"))
        return None
    measures = measuring_kind_named(text)
    if measures is None:
        problems.append(Problem(0, "kind", clean(text), f"one of {', '.join(measuring_kinds())}"))
    return measures


def _error(name: str, text: str | None, kind: str, problems: list[Problem]) -> float | None:
    """What a measuring tool's maker says of it, in millimetres."""
    if not text:
        return None
    read, expected = read_length(text)
    if kind != "measuring":
        problems.append(Problem(0, name, clean(text), f"nothing: a {kind} is not read"))
    elif read is None:
        problems.append(Problem(0, name, clean(text), expected))
    return read


NEVER = (
    "Nobody knows yet how far off it reads. Read something of known size five times, such as a "
    "gauge pin or a drill's shank; what it reads later is corrected by that."
)
SHORTEST_ENDING = 4
KINDS: tuple[ToolKind, ...] = get_args(ToolKind)
EXPECTED = "a kind and a size, such as: bur 1.9 hart; twist drill 0.65; pin 1.95; measuring caliper"


class DrawerRow(Value):
    """One tool: its id, kind and name, its size as typed back, and what is known of its use.

    `about` is more of that in sentences. `sure` says of a tool that measures whether it was checked
    by more than one reading; of any other it is so. `sort` is a bur's shape or what a measuring
    tool is, `named` whether somebody gave it a name of its own.
    """

    tool_id: str
    kind: str
    name: str
    size: str
    use: str
    typed: str
    about: tuple[str, ...] = ()
    sure: bool = True
    sort: str = ""
    named: bool = True


def drawer_view(session: Session) -> tuple[DrawerRow, ...]:
    """The tools by kind, then size."""
    with opened(session, make=False) as book:
        setter_id = setter_in_use(session, book).setter_id or ""
        lying = book.ask(setter_records.tools, setter_id)
        checks = checks_in(book, setter_id)
    in_order = sorted(lying, key=lambda t: (KINDS.index(t.kind), t.shape or "", t.size_mm or 0.0))
    return tuple(_row(tool, checks.get(tool.tool_id or "")) for tool in in_order)


def put_in(session: Session, typed: str) -> str:
    """Put a tool into the drawer from a line such as `bur 1.9 hart`; says what was put in."""
    return f"{add_tool(session, tool_typed(typed)).name} lies in the drawer."


def change(session: Session, tool_id: str, typed: str) -> str:
    """Change a tool to what is typed; what it has cut and its own marks stay."""
    after = tool_typed(typed)
    with opened(session, make=False) as book:
        before = _tool(session, book, tool_id)
        made = before.name == tool_typed(_typed(before)).name
        named = after.name if made else before.name
        changed = before.model_copy(
            update={"kind": after.kind, "shape": after.shape, "size_mm": after.size_mm}
            | {"measuring_kind": after.measuring_kind, "name": named}
        )
        book.tell(records.amend, "tool", tool_id, changed, session.stamp(book, "amend"))
    return f"{before.name} is now {changed.name}."


def take_out(session: Session, tool_id: str) -> str:
    """Take a tool out of the drawer; undo puts it back."""
    with opened(session, make=False) as book:
        tool = _tool(session, book, tool_id)
        book.tell(records.hide, "tool", [tool_id], session.stamp(book, "take out"))
    return f"{tool.name} is taken out; undo puts it back."


def take_out_named(session: Session, named: str) -> str:
    """Take the tool of this name, id or ending of an id out of the drawer."""
    wanted, lying = clean(named), tools(session)
    fitting = tools_named(lying, wanted)
    if not fitting and len(wanted) >= SHORTEST_ENDING:
        fitting = tuple(t for t in lying if (t.tool_id or "").endswith(wanted.lower()))
    if len(fitting) > 1:
        ids = ", ".join(tool.tool_id or "" for tool in fitting)
        raise Refused(f"tool: read {wanted!r}, which {len(fitting)} tools are; give an id: {ids}")
    if not fitting:
        names = ", ".join(tool.name for tool in lying) or "none yet"
        raise Refused(f"tool: read {wanted!r}, expected a tool of the drawer: {names}")
    return take_out(session, fitting[0].tool_id or "")


def tool_typed(typed: str) -> Tool:
    """The tool of a line of text: kind, size, for a bur its shape, in any order.

    Refused with what is wrong. Words that are none of these name a bur's unknown shape, or where
    the shape is known, make the whole line its name.
    """
    kind, rest = kind_in(clean(typed).split())
    if kind is None:
        raise Refused(f"tool: read {clean(typed)!r}, expected {EXPECTED}")
    if kind == "measuring":
        measures, name = _measuring(rest)
        tool, problems = tool_from(kind=kind, size=None, name=name, measuring_kind=measures)
    else:
        size, rest = size_in(rest)
        shape, rest = shape_in(rest) if kind == "bur" else (None, rest)
        if size is None and rest:
            size, rest = rest[0], rest[1:]
        left = " ".join(rest)
        named = clean(typed) if left and (shape or kind != "bur") else ""
        shape = shape or (left if kind == "bur" else "") or None
        tool, problems = tool_from(kind=kind, size=size, shape=shape, name=named)
    if tool is None:
        raise refusal_of(problems)
    return tool


def _measuring(words: list[str]) -> tuple[str | None, str]:
    """The kind of a measuring tool that these words begin with, None for none, and its name."""
    for many in (2, 1):
        begun = " ".join(words[:many])
        if len(words) >= many and measuring_kind_named(begun):
            return begun, " ".join(words[many:])
    return None, " ".join(words)


def _tool(session: Session, book: Logbook, tool_id: str) -> Tool:
    """The tool of this id; Refused where it lies in the setter's drawer no more."""
    for tool in book.ask(setter_records.tools, setter_in_use(session, book).setter_id or ""):
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


def _row(tool: Tool, last: Checked | None) -> DrawerRow:
    kind = tool.measuring_kind or tool.kind
    use, about = "", _shape_words(tool.shape)
    if tool.kind == "bur":
        use = f"{count_of(tool.seats_cut, 'seat')} cut" if tool.seats_cut else "no seat cut yet"
    elif tool.kind == "measuring":
        use, about = check_words(last), last.sentences if last is not None else (NEVER,)
        if tool.measuring_kind and tool.measuring_kind != tool.name:
            use = f"{tool.measuring_kind}, {use}"
    return DrawerRow(
        tool_id=tool.tool_id or "",
        kind=tool.kind,
        name=tool.name,
        size=f"{tool.size_mm:.2f}" if tool.size_mm else "",
        use=use,
        typed=_typed(tool),
        about=about,
        sort=tool.shape or tool.measuring_kind or "",
        named=tool.name != _made_name(tool.size_mm, tool.shape, kind),
        sure=tool.kind != "measuring" or (last is not None and last.check.worth().counts),
    )


def _shape_words(shape: str | None) -> tuple[str, ...]:
    """What a bur of this shape is, where the glossary says so."""
    meanings = (t.meaning for t in glossary() if t.field in SHAPES and shape and t.value == shape)
    return tuple(f"{meaning[0].upper()}{meaning[1:]}." for meaning in meanings)[:1]
